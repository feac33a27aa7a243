//! What a person wrote goes when a job is forgotten, and what was measured stays.

use super::TODAY;
use super::invented::{Dice, facts as invented};
use proptest::prelude::*;
use record::fact::{Body, JobForgotten};
use record::forget::{REMOVED, as_forgotten, redacted};
use record::{Fact, settle};
use serde_json::Value;
use std::collections::BTreeSet;

/// Put in place of every text that may be anything.
const SECRET: &str = "Zebra Quill 7";

/// Texts that may be anything and stay: of the shop and its tools, of the code, and names of parts of a panel.
const STAYS: &[&str] = &[
    "id",
    "by",
    "job",
    "town",
    "panel",
    "section",
    "instrument",
    "tool",
    "tester",
    "insulation",
    "sha256",
    "photo",
    "label",
    "option",
    "with",
    "book",
    "step",
    "part",
    "question",
    "aim",
    "limits",
    "watch",
    "slip",
    "rule",
    "document",
    "note",
    "word",
    "meter@energised",
    "place@adoption",
    "done@outage",
    "supersedes",
];

/// Every text of a fact, one after the other, replaced by the secret: the facts that come out of it.
fn with_secrets(fact: &Fact) -> Vec<(String, Fact)> {
    let whole: Value = serde_json::from_str(&fact.to_json()).expect("JSON");
    let mut places = Vec::new();
    texts(&whole, String::new(), &mut places);
    let mut out = Vec::new();
    for place in places {
        let mut changed = whole.clone();
        *changed.pointer_mut(&place).expect("it was found there") = SECRET.into();
        if let Ok(fact) = Fact::from_json(&changed.to_string()) {
            let key = place.rsplit('/').find(|part| part.parse::<usize>().is_err()).unwrap_or_default();
            out.push((key.to_owned(), fact));
        }
    }
    out
}

fn texts(value: &Value, at: String, places: &mut Vec<String>) {
    match value {
        Value::String(_) => places.push(at),
        Value::Array(all) => {
            all.iter().enumerate().for_each(|(n, one)| texts(one, format!("{at}/{n}"), places))
        }
        Value::Object(all) => all.iter().for_each(|(key, one)| texts(one, format!("{at}/{key}"), places)),
        _ => {}
    }
}

fn numbers(value: &Value, all: &mut Vec<String>) {
    match value {
        Value::Number(number) => all.push(number.to_string()),
        Value::Array(values) => values.iter().for_each(|one| numbers(one, all)),
        Value::Object(values) => values.values().for_each(|one| numbers(one, all)),
        _ => {}
    }
}

fn numbers_of(fact: &Fact) -> Vec<String> {
    let mut all = Vec::new();
    numbers(&serde_json::from_str(&fact.to_json()).expect("JSON"), &mut all);
    all
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]
    #[test]
    fn no_text_that_may_be_anything_is_left_and_every_number_is(draw in prop::collection::vec(any::<u32>(), 40..200)) {
        for fact in invented(&mut Dice::new(&draw)) {
            let kept = redacted(&fact);
            prop_assert_eq!(&redacted(&kept), &kept, "once more changes nothing");
            prop_assert_eq!(&Fact::from_json(&kept.to_json()).expect("it reads back"), &kept);
            prop_assert_eq!(numbers_of(&fact), numbers_of(&kept));
            prop_assert_eq!((fact.at, fact.body.kind()), (kept.at, kept.body.kind()));
            for (key, secret) in with_secrets(&fact) {
                let kind = format!("{key}@{}", secret.body.kind());
                if STAYS.contains(&key.as_str()) || STAYS.contains(&kind.as_str()) {
                    continue;
                }
                prop_assert!(!redacted(&secret).to_json().contains(SECRET), "{kind} of {} stays", secret.to_json());
            }
        }
    }

    #[test]
    fn a_forgotten_job_still_stands(draw in prop::collection::vec(any::<u32>(), 40..200)) {
        let mut facts = invented(&mut Dice::new(&draw));
        let before = settle(&facts, Some(TODAY));
        let last = facts.iter().map(|fact| fact.at).max().expect("some");
        facts.push(Fact::new(last, None, vec![], JobForgotten { words: "in writing".to_owned() }.into()));
        let after = settle(&facts, Some(TODAY));
        // Redacted by the store or by whoever looks, it is the same.
        prop_assert_eq!(&settle(&as_forgotten(facts.clone()), Some(TODAY)), &after);
        let (before, after) = (before.job.expect("opened"), after.job.expect("opened"));
        prop_assert_eq!(before.openings.len(), after.openings.len());
        prop_assert_eq!(before.installation.panels.len(), after.installation.panels.len());
        prop_assert!(after.photos.is_empty());
    }
}

#[test]
fn names_of_facts_hold_nothing_of_what_they_are_about() {
    let draw: Vec<u32> = (0..200).map(|n: u32| n.wrapping_mul(2_654_435_761)).collect();
    let facts = invented(&mut Dice::new(&draw));
    let ids: BTreeSet<String> = facts.iter().map(|fact| redacted(fact).id().to_string()).collect();
    assert!(ids.iter().all(|id| id.starts_with("kept-")), "{ids:?}");
    let different: BTreeSet<&str> = facts.iter().map(|fact| fact.id().as_str()).collect();
    assert_eq!(ids.len(), different.len(), "two facts stay two");
    let job = facts.iter().find(|fact| matches!(fact.body, Body::Job(_))).expect("opened");
    let Body::Job(kept) = redacted(job).body else { unreachable!("it stays what it is") };
    assert!(kept.owner.is_empty() || kept.owner == REMOVED);
}
