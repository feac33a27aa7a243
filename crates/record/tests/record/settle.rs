//! Facts of two devices that contradict each other still make a job, and none of them is lost.

use super::TODAY;
use super::invented::{Dice, facts as invented};
use jiff::civil::date;
use model::{FactId, PanelId, Slot, Space};
use proptest::prelude::*;
use record::fact::*;
use record::text::AsText;
use record::{Fact, Settled, Severity, fold, news, read_job, settle};
use std::collections::BTreeSet;

const FILE: &str = r#"
panelwright = 1

[job]
id = "2026-017"
opened = 2026-03-04
exposure = "cover-off"

[[panel]]
spaces = 12
main = "lugs"

[[panel.breaker]]
space = 5
rating_a = 20

[[panel.breaker]]
space = 9
poles = 2
rating_a = 40

[[state]]
name = "all on"
at = 2026-03-04T14:30
faces_c = { "5" = 41, "9" = 33 }
"#;

fn facts() -> Vec<Fact> {
    read_job("job.toml", FILE, TODAY).facts
}

fn of_kind(facts: &[Fact], kind: &str) -> Fact {
    facts.iter().find(|fact| fact.body.kind() == kind).expect("the file has one").clone()
}

fn at(hour: i8, body: impl Into<Body>, supersedes: Vec<FactId>) -> Fact {
    let at = date(2026, 3, 4).at(hour, 0, 0, 0);
    Fact::new(at, Some("second phone".to_owned()), supersedes, body.into())
}

fn panel_of(facts: &[Fact]) -> Box<PanelDescribed> {
    let Body::Panel(body) = of_kind(facts, "panel").body else { unreachable!("asked for a panel") };
    body
}

fn breaker(spaces: &[u16], rating_a: f64) -> Box<BreakerDescribed> {
    let Body::Breaker(mut body) = of_kind(&facts(), "breaker").body else {
        unreachable!("asked for a breaker")
    };
    body.spaces = spaces.iter().map(|&space| AsText(Space::whole(space))).collect();
    body.rating_a = rating_a;
    body
}

fn aside(settled: &Settled) -> Vec<(&str, &str)> {
    settled.set_aside.iter().map(|aside| (aside.fact.as_str(), aside.code)).collect()
}

/// Used, replaced or set aside: each fact one of them.
fn lost(facts: &[Fact], settled: &Settled) -> Vec<FactId> {
    let Some(job) = &settled.job else { return Vec::new() };
    let seen: BTreeSet<&FactId> = job
        .observations
        .iter()
        .map(|seen| &seen.fact)
        .chain(job.complaints.iter().map(|it| &it.fact))
        .chain(job.calls.iter().map(|it| &it.fact))
        .chain(job.photos.iter().map(|it| &it.fact))
        .chain(job.photos.iter().flat_map(|it| &it.pins).map(|it| &it.fact))
        .chain(job.openings.iter().map(|it| &it.fact))
        .chain(job.handles.iter().map(|it| &it.fact))
        .chain(job.cuts.iter().map(|it| &it.fact))
        .chain(job.sources.iter().map(|it| &it.fact))
        .chain(job.proofs.iter().map(|it| &it.fact))
        .chain(job.premises.adoption.iter().map(|it| &it.fact))
        .chain(job.premises.dwellings.iter().map(|it| &it.fact))
        .chain(job.premises.appliances.iter().map(|it| &it.fact))
        .chain(job.premises.demand.iter().map(|it| &it.fact))
        .chain(job.premises.site.iter().map(|it| &it.fact))
        .chain(job.interims.iter().map(|it| &it.fact))
        .chain(job.promises.iter().map(|it| &it.fact))
        .chain(job.kept.iter().map(|it| &it.fact))
        .chain(job.replacement.circuits.iter().map(|it| &it.fact))
        .chain(job.replacement.surprises.iter().map(|it| &it.fact))
        .chain(job.replacement.arrangements.iter().map(|it| &it.fact))
        .chain(job.install.facts())
        .chain(job.replacement.quotes.iter().map(|it| &it.fact))
        .chain(job.replacement.outages.iter().map(|it| &it.fact))
        .chain(job.replacement.ticks.iter().map(|it| &it.fact))
        .chain(job.replacement.used.iter().map(|it| &it.fact))
        .chain(job.work.iter().map(|it| &it.fact))
        .chain(job.decisions.iter().map(|it| &it.fact))
        .collect();
    let carried = |fact: &Fact| match &fact.body {
        Body::Panel(body) => job.installation.panel(&body.panel.0).is_some(),
        Body::Breaker(body) => {
            let slot = Slot::new(body.panel.0.clone(), body.spaces[0].0);
            job.installation.breaker_at(&slot).is_some_and(|breaker| breaker.rating.a() == body.rating_a)
        }
        Body::State(body) => job.load_states.iter().any(|state| state.name == body.name),
        // Two that say the same are one thing: the first stands for both.
        Body::Adoption(_) => job.premises.adoption.is_some(),
        Body::Dwelling(body) => job.premises.dwellings.iter().any(|known| known.unit == body.unit),
        Body::Appliance(body) => job.premises.appliances.iter().any(|known| known.item.name == body.name),
        Body::Demand(_) => job.premises.demand.is_some(),
        Body::Site(_) => job.premises.site.is_some(),
        Body::Job(_) | Body::Service(_) | Body::Exposure(_) | Body::Retraction(_) => true,
        _ => seen.contains(fact.id()),
    };
    let out = |fact: &Fact| {
        settled.replaced.contains_key(fact.id()) || settled.set_aside.iter().any(|it| it.fact == *fact.id())
    };
    facts.iter().filter(|fact| !out(fact) && !carried(fact)).map(|fact| fact.id().clone()).collect()
}

#[test]
fn a_job_that_is_only_opened_stands() {
    let opened = vec![of_kind(&facts(), "job")];
    let settled = settle(&opened, Some(TODAY));
    let job = settled.job.as_ref().expect("opened");
    assert!(job.installation.panels.is_empty());
    assert!(aside(&settled).is_empty() && settled.warnings.is_empty(), "{settled:?}");
    assert_eq!(settled.missing[0].code, "no-panel");
    let nothing = settle(&[], Some(TODAY));
    assert_eq!((nothing.job, nothing.missing[0].code), (None, "no-job"));
}

#[test]
fn the_later_description_of_a_panel_is_used_whole_and_what_fits_it_stays() {
    let mut facts = facts();
    let mut smaller = panel_of(&facts);
    smaller.spaces = 8;
    smaller.sections[0].rows = [1, 4];
    let later = at(18, smaller, vec![]);
    facts.push(later.clone());
    let settled = settle(&facts, Some(TODAY));
    let job = settled.job.as_ref().expect("opened");
    assert_eq!(job.installation.panels[0].n_spaces, 8);
    assert_eq!(job.installation.panels[0].breakers.len(), 1, "the one in space 5 fits");
    assert_eq!(job.observations.len(), 1);
    let codes: Vec<&str> = settled.set_aside.iter().map(|aside| aside.code).collect();
    assert_eq!(codes.len(), 3, "{:?}", settled.set_aside);
    let breaker =
        settled.set_aside.iter().find(|aside| aside.fact.as_str().starts_with("breaker")).expect("9");
    assert_eq!((breaker.in_favour_of.as_ref(), breaker.code), (Some(later.id()), "unknown-space"));
    // Taken back, all is as it was.
    facts.push(at(19, Retraction { words: String::new() }, vec![later.id().clone()]));
    let settled = settle(&facts, Some(TODAY));
    assert!(aside(&settled).is_empty(), "{settled:?}");
    assert_eq!(settled.job, fold(&facts).ok());
}

#[test]
fn of_three_breakers_that_overlap_in_a_chain_the_latest_and_the_first_stand() {
    let facts: Vec<Fact> = facts().into_iter().filter(|fact| fact.body.kind() != "breaker").collect();
    let (a, b, c) = (breaker(&[1, 3], 20.0), breaker(&[3, 5], 30.0), breaker(&[5, 7], 40.0));
    let mut facts: Vec<Fact> = facts.into_iter().filter(|fact| fact.body.kind() != "temperature").collect();
    facts.extend([at(15, a, vec![]), at(16, b, vec![]), at(17, c, vec![])]);
    let settled = settle(&facts, Some(TODAY));
    let job = settled.job.as_ref().expect("opened");
    let ratings: Vec<f64> = job.installation.breakers().map(|(_, breaker)| breaker.rating.a()).collect();
    assert_eq!(ratings, [20.0, 40.0]);
    let [aside] = settled.set_aside.as_slice() else { panic!("one is set aside: {settled:?}") };
    assert_eq!(aside.why, "a later entry puts another breaker into space main/5, or describes it anew");
}

#[test]
fn a_later_entry_that_cannot_be_does_not_displace_an_earlier_one() {
    let mut facts = facts();
    let impossible = at(18, breaker(&[5], -20.0), vec![]);
    facts.push(impossible.clone());
    let settled = settle(&facts, Some(TODAY));
    assert_eq!(aside(&settled), [(impossible.id().as_str(), "rating-not-positive")]);
    assert_eq!(settled.set_aside[0].in_favour_of, None);
    assert_eq!(settled.job.expect("opened").installation.panels[0].breakers.len(), 2);
}

#[test]
fn a_split_panel_stands_before_its_section_main_is_described_and_rules_out_a_wrong_one() {
    let mut facts = vec![of_kind(&facts(), "job")];
    let mut split = panel_of(&self::facts());
    split.sections[0].rows = [1, 3];
    let mut lower = split.sections[0].clone();
    lower.id = AsText(model::SectionId::new("lower"));
    lower.rows = [4, 6];
    lower.feed = FeedDescribed::Breaker(AsText(Slot::new(PanelId::new("main"), Space::whole(1))));
    split.sections.push(lower);
    facts.push(at(15, split, vec![]));
    let settled = settle(&facts, Some(TODAY));
    assert_eq!(settled.missing[0].code, "feed-unknown");
    assert_eq!(settled.job.as_ref().expect("opened").installation.panels[0].sections.len(), 2);
    assert!(aside(&settled).is_empty(), "{settled:?}");
    let single = at(16, breaker(&[1], 20.0), vec![]);
    facts.push(single.clone());
    let settled = settle(&facts, Some(TODAY));
    assert_eq!(aside(&settled), [(single.id().as_str(), "feed-too-few-poles")]);
    facts.push(at(17, breaker(&[1, 3], 60.0), vec![]));
    let settled = settle(&facts, Some(TODAY));
    assert_eq!(aside(&settled), [(single.id().as_str(), "space-taken")]);
    assert!(settled.missing.is_empty());
}

#[test]
fn two_facts_of_one_id_and_a_circle_of_replacements_leave_the_later() {
    let good = facts();
    let mut one = at(15, DecisionMade { words: "one".to_owned(), declined: false }, vec![FactId::new("two")]);
    let mut two = at(16, DecisionMade { words: "two".to_owned(), declined: false }, vec![FactId::new("one")]);
    one.id.0 = FactId::new("one");
    two.id.0 = FactId::new("two");
    let mut facts = good.clone();
    facts.extend([one.clone(), two.clone()]);
    let settled = settle(&facts, Some(TODAY));
    assert_eq!(settled.job.as_ref().expect("opened").decisions[0].words, "two");
    assert_eq!(settled.replaced.get(one.id()), Some(two.id()));
    two.supersedes.clear();
    one.supersedes.clear();
    one.id = two.id.clone();
    let mut facts = good;
    facts.extend([two.clone(), one]);
    let settled = settle(&facts, Some(TODAY));
    assert_eq!(aside(&settled), [("two", "duplicate-id")]);
    assert_eq!(settled.job.as_ref().expect("opened").decisions[0].words, "two");
    assert!(settled.is_used(two.id()));
}

#[test]
fn a_clock_that_is_ahead_and_a_pointer_at_another_device_hide_nothing() {
    let mut facts = facts();
    let Body::Temperature(reading) = of_kind(&facts, "temperature").body else {
        unreachable!("asked for one")
    };
    let body = TemperatureTaken { value: TemperatureAs::C(44.0), ..reading };
    let ahead = date(2027, 1, 1).at(0, 0, 0, 0);
    facts.push(Fact::new(ahead, None, vec![FactId::new("elsewhere")], body.into()));
    let complaint = ComplaintMade {
        of: AsText(model::job::ComplaintKind::Smell),
        slot: Some(AsText(Slot::new(PanelId::new("main"), Space::whole(2)))),
        words: "hot smell".to_owned(),
    };
    facts.push(at(13, complaint, vec![]));
    let settled = settle(&facts, Some(TODAY));
    let job = settled.job.as_ref().expect("opened");
    assert_eq!((job.observations.len(), job.complaints[0].slot.as_ref()), (3, None));
    assert!(aside(&settled).is_empty(), "{settled:?}");
    let codes: Vec<&str> = settled.warnings.iter().map(|problem| problem.code).collect();
    assert_eq!(codes, ["unknown-id", "no-breaker", "future-date"]);
    assert!(settled.warnings.iter().all(|problem| problem.severity == Severity::Warning));
}

#[test]
fn a_pin_waits_for_its_photo() {
    let mut facts = facts();
    let sha256 = "0f".repeat(32);
    let slot = Some(AsText(Slot::new(PanelId::new("main"), Space::whole(5))));
    let words = String::new();
    let pin = PhotoPinned { photo: sha256.clone(), x: 0.25, y: 0.75, slot, words: words.clone() };
    facts.push(at(15, pin, vec![]));
    assert_eq!(aside(&settle(&facts, Some(TODAY)))[0].1, "unknown-id");
    let off = PhotoPinned { photo: sha256.clone(), x: 1.5, y: f64::NAN, slot: None, words: words.clone() };
    facts.push(at(16, off, vec![]));
    facts.push(at(14, PhotoTaken { sha256, words, slot: None }, vec![]));
    let settled = settle(&facts, Some(TODAY));
    let job = settled.job.as_ref().expect("opened");
    assert_eq!(job.photos[0].pins.iter().map(|pin| (pin.x, pin.y)).collect::<Vec<_>>(), [(0.25, 0.75)]);
    assert_eq!(settled.set_aside.iter().map(|aside| aside.code).collect::<Vec<_>>(), ["implausible"]);
}

#[test]
fn a_form_hears_what_its_facts_would_bring_up_and_nothing_else() {
    let mut facts = facts();
    let second = at(18, breaker(&[5], 30.0), vec![]);
    let told = news(&facts, std::slice::from_ref(&second), Some(TODAY));
    assert_eq!(told.iter().map(|problem| problem.code).collect::<Vec<_>>(), ["space-taken"]);
    let first = of_kind(&facts, "breaker").id().clone();
    assert_eq!(news(&facts, &[at(18, breaker(&[5], 30.0), vec![first])], Some(TODAY)), []);
    facts.push(second);
    assert_eq!(
        news(&facts, &[at(19, breaker(&[2], 30.0), vec![])], Some(TODAY)),
        [],
        "the old quarrel is no news"
    );
    assert_eq!(news(&[], &[of_kind(&facts, "job"), of_kind(&facts, "panel")], Some(TODAY)), []);
}

fn numbers() -> impl Strategy<Value = Vec<u32>> {
    prop::collection::vec(any::<u32>(), 1..200)
}

/// Facts of two houses told as one, so that nearly everything contradicts something; some with ids of each other,
/// some pointing at each other.
fn quarrel(ours: &[u32], theirs: &[u32]) -> Vec<Fact> {
    let mut facts = invented(&mut Dice::new(ours));
    for (idx, mut fact) in invented(&mut Dice::new(theirs)).into_iter().enumerate() {
        let dice = theirs[idx % theirs.len()] as usize;
        if dice.is_multiple_of(3) {
            fact.at = fact.at.saturating_add(jiff::Span::new().minutes(dice as i64 % 90 - 45));
        }
        if dice.is_multiple_of(7) {
            fact.supersedes.push(facts[dice % facts.len()].id.clone());
        }
        let other = &facts[dice % facts.len()];
        if dice.is_multiple_of(11) && other.body.kind() != "job" && fact.body.kind() != "job" {
            fact.id = other.id.clone();
        }
        if dice.is_multiple_of(13) {
            let target = dice % facts.len();
            facts[target].supersedes.push(fact.id.clone());
        }
        facts.push(fact);
    }
    facts
}

/// All values of a stored fact that are no table and no list.
fn leaves<'a>(value: &'a mut serde_json::Value, all: &mut Vec<&'a mut serde_json::Value>) {
    match value {
        serde_json::Value::Object(pairs) => pairs.values_mut().for_each(|value| leaves(value, all)),
        serde_json::Value::Array(items) => items.iter_mut().for_each(|value| leaves(value, all)),
        leaf => all.push(leaf),
    }
}

/// The facts with some of their numbers and texts replaced by what a broken device might send; those that are no
/// facts any more left out.
fn torn(facts: &[Fact], dice: &[u32]) -> Vec<Fact> {
    let numbers = [0.0_f64, -1.0, 1.0, 2.0, 255.0, 65535.0, 1e300];
    let texts =
        ["main/1", "main/65535", "main", "other", "", "A", "C", "208Y/120", "lug:C", "main:stab:1", "9b"];
    let mut all = Vec::new();
    for (idx, fact) in facts.iter().enumerate() {
        let dice = dice[idx % dice.len()].rotate_left(idx as u32) as usize;
        let mut value: serde_json::Value = serde_json::from_str(&fact.to_json()).expect("just written");
        if dice.is_multiple_of(3) {
            let mut leaves_of = Vec::new();
            leaves(&mut value["body"], &mut leaves_of);
            let n = leaves_of.len();
            let leaf = &mut *leaves_of[dice / 3 % n];
            let whole = leaf.is_u64();
            match leaf {
                serde_json::Value::Number(_) if whole => {
                    *leaf = (numbers[dice / 7 % 6].max(0.0) as u64).into()
                }
                serde_json::Value::Number(_) => *leaf = numbers[dice / 7 % numbers.len()].into(),
                serde_json::Value::String(_) => *leaf = texts[dice / 7 % texts.len()].into(),
                serde_json::Value::Bool(flag) => *flag = !*flag,
                _ => {}
            }
        }
        all.extend(Fact::from_json(&value.to_string()));
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn verif_facts_that_fit_together_settle_into_their_fold(numbers in numbers()) {
        let facts = invented(&mut Dice::new(&numbers));
        let settled = settle(&facts, Some(TODAY));
        prop_assert_eq!(&settled.job, &fold(&facts).ok());
        prop_assert!(settled.set_aside.is_empty(), "{:?}", settled.set_aside);
        prop_assert_eq!(lost(&facts, &settled), []);
    }

    #[test]
    fn verif_no_fact_of_two_devices_is_lost_and_what_is_used_folds(ours in numbers(), theirs in numbers()) {
        let facts = quarrel(&ours, &theirs);
        let settled = settle(&facts, Some(TODAY));
        prop_assert!(settled.job.is_some());
        prop_assert_eq!(lost(&facts, &settled), []);
        // Each once.
        let ids: BTreeSet<&FactId> = settled.set_aside.iter().map(|aside| &aside.fact).collect();
        prop_assert_eq!(ids.len(), settled.set_aside.len());
        // Whoever is used in place of another is used.
        for aside in settled.set_aside.iter().filter(|aside| aside.code == "space-taken") {
            prop_assert!(aside.in_favour_of.as_ref().is_some_and(|id| settled.is_used(id)), "{:?}", aside);
        }
        // What is used goes together.
        let mut used: Vec<Fact> = facts.iter().filter(|fact| settled.is_used(fact.id())).cloned().collect();
        used.iter_mut().for_each(|fact| fact.supersedes.clear());
        let doubles = settled.set_aside.iter().any(|aside| aside.code == "duplicate-id");
        let again = settle(&used, Some(TODAY));
        if !doubles {
            prop_assert!(again.set_aside.is_empty(), "{:?}", again.set_aside);
            // What was set aside is told of in the job, and is not there the second time.
            let without = |job: Option<model::job::Job>| job.map(|job| model::job::Job { doubts: Vec::new(), ..job });
            prop_assert_eq!(without(again.job), without(settled.job));
        }
    }

    #[test]
    fn verif_settling_knows_no_order(ours in numbers(), theirs in numbers(), order in numbers()) {
        let facts = quarrel(&ours, &theirs);
        let mut arrived: Vec<(u32, Fact)> = facts
            .iter()
            .enumerate()
            .map(|(idx, fact)| (order[idx % order.len()].rotate_left(idx as u32), fact.clone()))
            .collect();
        arrived.sort_by_key(|(number, _)| *number);
        let arrived: Vec<Fact> = arrived.into_iter().map(|(_, fact)| fact).collect();
        prop_assert_eq!(settle(&arrived, Some(TODAY)), settle(&facts, Some(TODAY)));
    }

    #[test]
    fn verif_whatever_a_device_sends_a_job_comes_of_it(ours in numbers(), theirs in numbers(), dice in numbers()) {
        let facts = torn(&quarrel(&ours, &theirs), &dice);
        let settled = settle(&facts, Some(TODAY));
        prop_assert_eq!(settled.job.is_some(), facts.iter().any(|fact| fact.body.kind() == "job"));
        prop_assert_eq!(lost(&facts, &settled), []);
        let used: Vec<Fact> = facts
            .iter()
            .filter(|fact| settled.is_used(fact.id()))
            .map(|fact| Fact { supersedes: Vec::new(), ..fact.clone() })
            .collect();
        let doubles = settled.set_aside.iter().any(|aside| aside.code == "duplicate-id");
        prop_assert!(doubles || settle(&used, Some(TODAY)).set_aside.is_empty());
        let _ = news(&facts[..facts.len() / 2], &facts[facts.len() / 2..], Some(TODAY));
    }
}
