//! Two phones without a network and a laptop: whatever they record, in whatever order they meet, with an answer that
//! was lost, a clock that is a day off, or a phone whose browser dropped what it kept, all fold to one state.

use crate::ground::{CASES, NOW, desk, facts};
use jiff::ToSpan;
use phone::{Shelf, answer_json};
use proptest::prelude::*;
use record::Fact;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// What somebody does.
#[derive(Debug, Clone)]
enum Act {
    /// Fills a form: which device, which form, which space, which value.
    Enter { who: usize, form: usize, space: usize, value: u8 },
    /// A phone reaches the bench: it sends what waits and gets what is new.
    Meet { who: usize },
    /// It reaches the bench, which stores; the answer is lost.
    LoseAnswer { who: usize },
    /// Its browser drops the facts that it keeps. What waits is in the outbox still.
    Evict { who: usize },
}

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        6 => (0..3usize, 0..6usize, 0..4usize, any::<u8>())
            .prop_map(|(who, form, space, value)| Act::Enter { who, form, space, value }),
        2 => (0..2usize).prop_map(|who| Act::Meet { who }),
        1 => (0..2usize).prop_map(|who| Act::LoseAnswer { who }),
        1 => (0..2usize).prop_map(|who| Act::Evict { who }),
    ]
}

/// The bench's store: facts in the order of arrival, each once.
#[derive(Default)]
struct Store(Vec<Fact>);

impl Store {
    fn append(&mut self, facts: &[Fact]) {
        for fact in facts {
            if self.0.iter().all(|held| held.id() != fact.id()) {
                self.0.push(fact.clone());
            }
        }
    }
}

/// A device that records: with the name of its owner and a clock.
struct Device {
    name: &'static str,
    kept: Vec<Fact>,
    waiting: Vec<(u64, Vec<Fact>)>,
    shelf: Shelf,
    days_off: i64,
    n: u64,
}

impl Device {
    fn new(name: &'static str, kept: &[Fact], days_off: i64) -> Device {
        let (waiting, shelf) = (Vec::new(), Shelf::default());
        Device { name, kept: kept.to_vec(), waiting, shelf, days_off, n: 0 }
    }

    /// Reads a form as the phone does when it is kept; its facts wait then.
    fn enter(&mut self, job: &str, form: usize, space: usize, value: u8) -> Result<(), String> {
        self.n += 1;
        let at =
            NOW.checked_add(self.days_off.days()).and_then(|at| at.checked_add((self.n as i64).minutes()));
        let at = at.map_err(|error| error.to_string())?.to_string();
        let (action, fields) = form_of(job, form, space, value, &at);
        let lines = |facts: &[Fact]| facts.iter().map(Fact::to_json).collect::<Vec<_>>();
        let mut queue: Vec<Value> = self
            .waiting
            .iter()
            .map(|(n, facts)| json!({ "n": n, "job": job, "action": "", "facts": lines(facts) }))
            .collect();
        queue.push(json!({ "n": self.n, "job": job, "action": action, "fields": fields }));
        let mut told = desk(60);
        told["name"] = self.name.into();
        let question = json!({
            "what": "read", "path": action, "now": at, "desk": told, "queue": queue,
            "jobs": [{ "job": job, "facts": lines(&self.kept), "changed": NOW }],
        });
        let answer: Value = serde_json::from_str(&answer_json(&question.to_string(), &mut self.shelf))
            .map_err(|error| error.to_string())?;
        if answer["status"] != 200 {
            return Err(answer.to_string());
        }
        let made = answer["facts"].as_array().ok_or("no facts")?;
        let made: Result<Vec<Fact>, _> =
            made.iter().map(|line| Fact::from_json(line.as_str().unwrap_or_default())).collect();
        self.waiting.push((self.n, made.map_err(|error| error.to_string())?));
        Ok(())
    }

    fn meet(&mut self, store: &mut Store, answered: bool) {
        for (_, facts) in &self.waiting {
            store.append(facts);
        }
        if answered {
            self.waiting.clear();
            self.kept.clone_from(&store.0);
        }
    }

    /// The facts that it holds, in its own order.
    fn held(&self) -> Vec<Fact> {
        let mut own = Store(Vec::new());
        own.append(&self.kept);
        self.waiting.iter().for_each(|(_, facts)| own.append(facts));
        own.0
    }
}

const SPACES: [&str; 4] = ["15", "16", "19", "20"];

fn form_of(job: &str, form: usize, space: usize, value: u8, at: &str) -> (String, Vec<[String; 2]>) {
    let space = SPACES[space];
    let place = format!("main/{space}");
    let feel = if value.is_multiple_of(2) { "warm" } else { "not-warm" };
    let amps = format!("{}.{}", 1 + value % 12, value % 10);
    let celsius = format!("{}.5", 25 + value % 30);
    let rating = if value.is_multiple_of(2) { "15" } else { "20" };
    let (kind, pairs): (&str, Vec<(&str, &str)>) = match form {
        0 => ("touch", vec![("place", &place), ("state", "breakfast"), ("feel", feel)]),
        1 => ("clamp", vec![("place", &place), ("state", "breakfast"), ("amps", &amps), ("cover", "yes")]),
        2 => (
            "temperature",
            vec![("place", &place), ("state", "breakfast"), ("value", &celsius), ("unit", "c")],
        ),
        // Two devices may describe one breaker differently.
        3 => {
            ("breaker", vec![("spaces", space), ("rating_a", rating), ("feeds", feel), ("class", "general")])
        }
        4 => ("complaint", vec![("of", "flicker"), ("words", &amps)]),
        _ => ("state", vec![("name", feel), ("words", &celsius), ("held_min", "20")]),
    };
    let mut fields: Vec<[String; 2]> =
        pairs.into_iter().map(|(name, value)| [name.to_owned(), value.to_owned()]).collect();
    fields.push(["at".to_owned(), at.to_owned()]);
    (format!("/jobs/{job}/enter/{kind}"), fields)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 10, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn all_devices_fold_to_one_state_and_nothing_is_lost(acts in prop::collection::vec(act(), 1..22)) {
        let (job, base) = facts(CASES[0].1);
        let mut store = Store(base.clone());
        let mut devices = [
            Device::new("JD", &base, 0),
            // Its clock is a day behind.
            Device::new("MS", &base, -1),
            Device::new("laptop", &base, 0),
        ];
        let mut entered = BTreeSet::new();
        for act in &acts {
            match *act {
                Act::Enter { who, form, space, value } => {
                    if devices[who].enter(&job, form, space, value).is_ok() {
                        let made = devices[who].waiting.last().map(|(_, facts)| facts.clone()).unwrap_or_default();
                        entered.extend(made.iter().map(|fact| fact.id().clone()));
                    }
                    // The laptop is the bench: what it takes is stored, and it holds what is stored.
                    devices[2].meet(&mut store, true);
                }
                Act::Meet { who } => devices[who].meet(&mut store, true),
                Act::LoseAnswer { who } => devices[who].meet(&mut store, false),
                Act::Evict { who } => devices[who].kept.clear(),
            }
        }
        for who in [1, 0] {
            devices[who].meet(&mut store, false);
        }
        let at_bench = record::settle(&store.0, Some(NOW.date()));
        let held: BTreeSet<_> = store.0.iter().map(|fact| fact.id().clone()).collect();
        prop_assert!(entered.is_subset(&held), "what was entered is there");
        for device in &devices {
            // Its own facts first, in its own order, then what is new: another order than that of the bench.
            let mut own = Store(device.held());
            own.append(&store.0);
            prop_assert_eq!(own.0.len(), store.0.len());
            let here = record::settle(&own.0, Some(NOW.date()));
            prop_assert_eq!(&here, &at_bench, "{}", device.name);
        }
    }
}

#[test]
fn every_form_of_the_test_is_taken() {
    let (job, base) = facts(CASES[0].1);
    for form in 0..6 {
        let mut device = Device::new("JD", &base, 0);
        assert_eq!(device.enter(&job, form, 0, 4), Ok(()), "form {form}");
        assert!(!device.waiting[0].1.is_empty());
    }
}
