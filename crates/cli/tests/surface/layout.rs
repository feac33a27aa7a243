//! A new panel laid out: nothing lost, nothing doubled, and wishes that exclude one another named.

use crate::program::run;
use serde_json::Value;
use std::collections::BTreeSet;

const JOB: &str = "cases/1-burnt-stabs.toml";

fn spaces(value: &Value) -> Vec<u64> {
    value.as_array().expect("a list").iter().map(|one| one.as_u64().expect("a space")).collect()
}

#[test]
fn every_circuit_has_its_spaces_once_and_what_is_locked_stays() {
    let ran = run(&["layout", JOB, "--spaces", "30", "--lock", "15=1", "--keep-free", "29,30", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let told: Value = serde_json::from_str(&ran.out).expect("JSON");
    let layouts = told["layouts"].as_array().expect("layouts");
    assert!(2 <= layouts.len(), "aims that differ give layouts that differ");
    for layout in layouts {
        let mut taken = BTreeSet::from([29, 30]);
        let mut moved = BTreeSet::new();
        for circuit in layout["circuits"].as_array().expect("circuits") {
            let (from, to) = (spaces(&circuit["from"]), spaces(&circuit["to"]));
            assert_eq!(from.len(), to.len());
            assert!(to.iter().all(|&space| space <= 30 && taken.insert(space)), "{circuit}");
            if let [one, other] = to[..] {
                assert_eq!(
                    other.abs_diff(one),
                    2,
                    "two poles one below the other, partners either way round"
                );
            }
            if from == [15] {
                assert_eq!(to, [1]);
            }
            moved.extend(from);
        }
        // All spaces with a breaker but the two of the one that feeds the lower section.
        let all: BTreeSet<u64> = (1..=8).chain(13..=24).collect();
        assert_eq!(moved, all);
        assert!(layout["none_below"].as_i64() <= layout["points"].as_i64());
    }
}

#[test]
fn wishes_that_exclude_one_another_are_named() {
    let ran = run(&["layout", JOB, "--spaces", "30", "--lock", "15=1", "--keep-free", "1,2"]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("the circuit of 15 into space 1; space 1 kept free"), "{}", ran.err);
    assert!(!ran.err.contains("space 2"), "{}", ran.err);
    let small = run(&["layout", JOB, "--spaces", "12"]);
    assert!(small.err.contains("do not fit into so few spaces"), "{}", small.err);
}

#[test]
fn a_lock_of_a_space_without_a_circuit_is_refused() {
    let ran = run(&["layout", JOB, "--spaces", "30", "--lock", "10=1"]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("no circuit in space 10"), "{}", ran.err);
    let wrong = run(&["layout", JOB, "--spaces", "30", "--lock", "ten"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("write `15=1`"), "{}", wrong.err);
}

#[test]
fn the_sheet_says_what_is_proven_and_what_is_not_known() {
    let out = run(&["layout", JOB, "--spaces", "30"]).out;
    // Line breaks are of the page, not of the words.
    let out = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "INVENTED",
        "PROPOSED",
        "WHY THERE",
        "NOT KNOWN",
        "splices 6",
        "goes by the measures of usual cabinets",
        "MIND",
    ] {
        assert!(out.to_uppercase().contains(&words.to_uppercase()), "{words}: {out}");
    }
    assert!(out.contains("proven"), "{out}");
}
