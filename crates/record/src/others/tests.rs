//! What somebody outside the shop must not see, and what must stay.

use super::*;
use crate::{fact_schema, read_job, settle};
use model::Date;

const CASES: [&str; 3] = [
    include_str!("../../../../cases/1-burnt-stabs.toml"),
    include_str!("../../../../cases/2-overload.toml"),
    include_str!("../../../../cases/3-service-neutral.toml"),
];

/// One of each kind that the cases lack; invented.
const MORE: &[&str] = &[
    r#"{"kind":"clamp","place":"main/15","amps":12.0,"instrument":"meter of JD","state":"breakfast"}"#,
    r#"{"kind":"opening","joint":"main:stab:15","found":"burnt","words":"brown at the lower jaw"}"#,
    r#"{"kind":"work","kind_of_work":"stop-gap","words":"moved for the lady of the house","slots":["main/15"],"moved_to":["main/12"],"expires":"2026-01-10","recheck":"2026-01-05"}"#,
    r#"{"kind":"exposure","reached":"cover-off"}"#,
    r#"{"kind":"cut","words":"the crew of Quenmarsh"}"#,
    r#"{"kind":"source","source":"the neighbour's line","found":true,"cut":true,"looked":"at 11 Kiln Row"}"#,
    r#"{"kind":"decision","words":"the owner's sister decides"}"#,
    r#"{"kind":"promise","of_kind":"call","words":"ring the sister","due":"2026-01-02"}"#,
    r#"{"kind":"call","words":"a neighbour rang"}"#,
    r#"{"kind":"retraction","words":"typed for another house"}"#,
];

fn facts(case: usize) -> Vec<Fact> {
    let mut facts = read_job("case", CASES[case], Date::constant(2026, 1, 1)).facts;
    let at = facts[0].at;
    for body in MORE {
        match serde_json::from_str::<Body>(body) {
            Ok(body) => {
                facts.push(Fact::new(at, Some("J. Doe".to_owned()), vec![facts[3].id().clone()], body))
            }
            Err(error) => assert!(body.contains("promise") || body.contains("call"), "{error}: {body}"),
        }
    }
    facts
}

fn text_of(facts: &[Fact]) -> String {
    facts.iter().map(|fact| fact.to_json() + "\n").collect()
}

#[test]
fn the_list_names_only_what_there_is() {
    let schema = fact_schema().to_string();
    for (kind, shown) in SHOWN.iter() {
        assert!(schema.contains(&format!("\"{kind}\"")), "no kind {kind}");
        let paths = shown.codes.iter().chain(&shown.dates).chain(&shown.labels).chain(&shown.fill);
        for path in paths.chain(shown.names.keys()) {
            for part in path.split('.') {
                assert!(schema.contains(&format!("\"{part}\"")), "no {part} of {kind}");
            }
        }
    }
    assert!(PLAIN.iter().all(|word| *word == word.to_lowercase() && !word.contains(' ')));
}

#[test]
fn nothing_that_was_written_freely_is_left() {
    for (case, town) in [(0, "Kiln Row"), (1, "Alder Lane"), (2, "")] {
        let facts = facts(case);
        let shown = text_of(&for_others(&facts, "ref-1"));
        for word in
            ["Quenmarsh", "Q-01", "sister", "neighbour", "J. Doe", "JD", "electrician", "breakfast", "brown"]
        {
            assert!(!shown.contains(word), "{word} in {shown}");
        }
        assert!(town.is_empty() || !shown.contains(town));
    }
}

/// Every text of every fact in turn is made one that somebody typed; whatever the format lets through must not be shown.
#[test]
fn whatever_is_typed_into_any_text_is_not_shown() {
    let mut n_tried = 0;
    for case in 0..CASES.len() {
        let facts = facts(case);
        for (at, fact) in facts.iter().enumerate() {
            let whole = serde_json::to_value(fact).expect("JSON");
            let mut paths = Vec::new();
            leaves(&whole, &mut Vec::new(), &mut paths);
            for path in paths {
                for typed in ["Canary of 9 Kiln Row", "Canary-Row.9"] {
                    let mut changed = whole.clone();
                    *at_path(&mut changed, &path) = Value::String(typed.to_owned());
                    let Ok(changed) = serde_json::from_value::<Fact>(changed) else { continue };
                    let mut others = facts.clone();
                    others[at] = changed;
                    let shown = text_of(&for_others(&others, "ref-1"));
                    assert!(!shown.contains("Canary"), "{path:?} of {}", fact.to_json());
                    n_tried += 1;
                }
            }
        }
    }
    println!("{n_tried} texts tried");
    assert!(500 < n_tried, "{n_tried}");
}

fn leaves(value: &Value, path: &mut Vec<String>, out: &mut Vec<Vec<String>>) {
    match value {
        Value::Object(fields) => fields.iter().for_each(|(key, value)| {
            path.push(key.clone());
            leaves(value, path, out);
            path.pop();
        }),
        Value::Array(items) => items.iter().enumerate().for_each(|(at, value)| {
            path.push(at.to_string());
            leaves(value, path, out);
            path.pop();
        }),
        Value::String(_) => out.push(path.clone()),
        _ => {}
    }
}

fn at_path<'a>(value: &'a mut Value, path: &[String]) -> &'a mut Value {
    path.iter().fold(value, |value, part| match value {
        Value::Array(items) => &mut items[part.parse::<usize>().expect("a place")],
        value => &mut value[part.as_str()],
    })
}

#[test]
fn what_is_known_of_the_panel_stays() {
    for (case, text) in CASES.iter().enumerate() {
        let facts = read_job("case", text, Date::constant(2026, 1, 1)).facts;
        let whole = settle(&facts, None).job.expect("a job");
        let settled = settle(&for_others(&facts, "ref-1"), None);
        assert!(settled.set_aside.is_empty(), "{:?}", settled.set_aside);
        let job = settled.job.expect("a job");
        assert_eq!(
            (job.id.as_str(), job.place.as_str(), job.owner.as_str()),
            ("ref-1", "place and town", "")
        );
        assert_eq!(job.observations.len(), whole.observations.len(), "case {case}");
        for (one, other) in job.installation.panels.iter().zip(&whole.installation.panels) {
            let feeds = |panel: &model::panel::Panel| -> Vec<String> {
                panel.breakers.iter().map(|breaker| format!("{:?}", breaker.circuit)).collect()
            };
            let plain = feeds(one).iter().zip(feeds(other)).filter(|(one, other)| **one == *other).count();
            assert!(other.breakers.len() <= plain + 2, "case {case}: {plain} of {}", other.breakers.len());
        }
    }
}

#[test]
fn plain_labels_stay_and_others_go() {
    for plain in ["kitchen receptacles, east", "Bedroom 2", "sub-panel", "lights, upper floor", ""] {
        assert!(is_plain(plain), "{plain}");
    }
    for telling in ["bedroom of Anna", "9 Kiln Row", "12", "kitchen <b>", "Kern's office", "küche"] {
        assert!(!is_plain(telling), "{telling}");
    }
}

#[test]
fn panels_with_telling_names_are_renamed_everywhere() {
    let text = CASES[2]
        .replace("\"main\"", "\"Kern-villa\"")
        .replace("main:", "Kern-villa:")
        .replace("main/", "Kern-villa/");
    let facts = read_job("case", &text, Date::constant(2026, 1, 1)).facts;
    let shown = for_others(&facts, "ref-1");
    assert!(!text_of(&shown).contains("Kern"));
    let settled = settle(&shown, None);
    assert!(settled.set_aside.is_empty(), "{:?}", settled.set_aside);
    assert_eq!(settled.job.expect("a job").installation.panels[0].id.as_str(), "part-1");
}
