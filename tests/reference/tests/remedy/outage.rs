//! The chance to have the power back by an hour, against a Monte Carlo script that shares no code with ours.

use remedy::Three;
use remedy::outage::{Arrival, Day, Delay, Task, Visit, outlook};
use serde_json::Value;

/// Runs of ours.
const RUNS: usize = 40_000;

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn count(value: &Value) -> u32 {
    u32::try_from(value.as_u64().expect("a whole number")).expect("small")
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

fn three(value: &Value) -> Three {
    Three::try_from([number(&value[0]), number(&value[1]), number(&value[2])]).expect("in order")
}

fn visit(value: &Value) -> Option<Visit> {
    let id = value["id"].as_str()?.to_owned();
    let arrival = match value["kind"].as_str() {
        Some("booked") => Arrival::Booked {
            from: number(&value["from"]),
            to: number(&value["to"]),
            until: number(&value["until"]),
        },
        _ => Arrival::Called { wait: three(&value["wait"]), latest: number(&value["latest"]) },
    };
    Some(Visit { words: id.clone(), id, arrival, no_show: number(&value["no_show"]) })
}

fn delay(value: &Value) -> Delay {
    Delay {
        n_yes: count(&value["n_yes"]),
        n_unknown: count(&value["n_unknown"]),
        chance: number(&value["chance"]),
        minutes: three(&value["minutes"]),
    }
}

fn day(case: &Value) -> Day {
    let task = |(idx, value): (usize, &Value)| Task {
        id: format!("task-{idx}"),
        words: String::new(),
        minutes: three(&value["minutes"]),
        people: count(&value["people"]),
        after: list(&value["after"]).iter().map(|before| count(before) as usize).collect(),
        visit: visit(&value["visit"]),
        delays: list(&value["delays"]).iter().map(delay).collect(),
        dark: value["dark"] == true,
        back: value["back"] == true,
    };
    Day {
        start: number(&case["start"]),
        crew: count(&case["crew"]),
        pace: three(&case["pace"]),
        tasks: list(&case["tasks"]).iter().enumerate().map(task).collect(),
    }
}

/// Twelve invented days: the share of the runs with the power back by five times of each, and the share in which each
/// visit is missed.
///
/// - **Source:** `scripts/outage_monte_carlo.py`, Python's standard library, 60,000 runs, output in
///   `fixtures/outage/cases.json`.
/// - **Tolerance:** 4.5 standard errors of the difference of two shares; with some ninety comparisons chance alone goes
///   beyond it once in 1,600 such tests.
#[test]
fn val_chances_to_be_back_are_those_of_another_simulation() {
    let cases: Value =
        serde_json::from_str(include_str!("../../fixtures/outage/cases.json")).expect("the fixture is JSON");
    let (mut compared, mut largest) = (0, 0.0_f64);
    for case in list(&cases) {
        let day = day(case);
        let ours = outlook(&day, 7, RUNS);
        let theirs = &case["monte_carlo"];
        let runs = number(&theirs["runs"]);
        let mut hold = |what: &str, ours: f64, theirs: f64| {
            let error = (theirs * (1.0 - theirs) * (1.0 / runs + 1.0 / RUNS as f64)).sqrt().max(1.0 / runs);
            let away = (ours - theirs).abs() / error;
            assert!(away < 4.5, "day {}: {what}: {ours} ours, {theirs} theirs", case["seed"]);
            largest = largest.max(away);
            compared += 1;
        };
        for row in list(&theirs["back_by"]) {
            hold(&format!("back by {}", row[0]), ours.chance_by(number(&row[0])), number(&row[1]));
        }
        for (visit, share) in theirs["missed"].as_object().expect("visits") {
            let mine = ours.missed.iter().find(|(id, _)| id == visit).map_or(0.0, |(_, share)| *share);
            hold(&format!("{visit} missed"), mine, number(share));
        }
    }
    println!("{compared} shares compared, the largest {largest:.2} standard errors apart");
    assert!(60 <= compared, "{compared}");
}
