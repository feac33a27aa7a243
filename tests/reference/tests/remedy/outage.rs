//! The chance to have the power back by an hour, against a Monte Carlo script that shares no code with ours.

use remedy::Three;
use remedy::outage::{Arrival, Booking, Day, Delay, Minute, Task, Visit, best_hour, booking_hours, outlook};
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

/// Eighteen invented days: the share of the runs with the power back by five times of each, and the share in which each
/// visit is missed.
///
/// - **Source:** `scripts/outage_monte_carlo.py`, Python's standard library, 60,000 runs, output in
///   `fixtures/outage/cases.json`.
/// - **Tolerance:** 4.5 standard errors of the difference of two shares; with some 130 comparisons chance alone goes
///   beyond it once in 1,100 such tests.
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

/// A day with inspector and utility booked as told; called where they are not.
fn booked(day: &Day, booking: &Booking) -> Day {
    let mut day = day.clone();
    for visit in day.tasks.iter_mut().filter_map(|task| task.visit.as_mut()) {
        let window = match visit.id.as_str() {
            "inspector" => booking.inspector,
            "reconnect" => booking.reconnect,
            _ => None,
        };
        if let Some((from, to)) = window {
            visit.arrival = Arrival::Booked { from, to, until: to };
        }
    }
    day
}

/// Six invented days with an inspector: the chance of the power back that day for each hour at which he and the utility
/// are booked ahead, and that no hour of the script is clearly better than the one that is proposed.
///
/// - **Source:** as above, 10,000 runs an hour.
/// - **Tolerance:** 4.5 standard errors of the difference of two shares; the proposed hour may be worse than another one
///   by that, and by the percentage point below which two hours count as alike.
#[test]
fn val_hours_that_are_booked_ahead_have_the_chances_of_another_simulation() {
    let cases: Value =
        serde_json::from_str(include_str!("../../fixtures/outage/cases.json")).expect("the fixture is JSON");
    let (mut compared, mut spread) = (0, 0.0_f64);
    for case in list(&cases).iter().filter(|case| case["ahead"].is_object()) {
        let (day, theirs) = (day(case), &case["ahead"]);
        let runs = number(&theirs["runs"]);
        let window = |value: &Value| value.as_f64().map(|from| (from, from + 60.0));
        let (mut least, mut most) = (1.0_f64, 0.0_f64);
        let tolerance = |share: f64, mine: usize| {
            4.5 * (share * (1.0 - share) * (1.0 / runs + 1.0 / mine as f64)).sqrt().max(1.0 / runs)
        };
        for row in list(&theirs["hours"]) {
            let share = number(&row[2]);
            let booking =
                Booking { inspector: window(&row[0]), reconnect: window(&row[1]), ..Booking::default() };
            let ours = 1.0 - outlook(&booked(&day, &booking), 11, RUNS / 2).not_that_day();
            assert!((ours - share).abs() < tolerance(share, RUNS / 2), "{}: {row}: {ours}", case["seed"]);
            (least, most) = (least.min(share), most.max(share));
            compared += 1;
        }
        let hours = booking_hours(
            |booking: &Booking| booked(&day, booking),
            &Booking::default(),
            &remedy::work::steps(),
            3,
            RUNS / 10,
        );
        let best = best_hour(&hours).expect("hours were tried");
        assert!(
            most - 0.01 - tolerance(most, RUNS / 10) < best.that_day,
            "{}: {best:?}, {most}",
            case["seed"]
        );
        let late: Minute = best.inspector.map_or(0.0, |(_, to)| to);
        assert!(late <= 990.0, "beyond the inspector's last hour: {best:?}");
        spread = spread.max(most - least);
    }
    println!("{compared} hours compared; the hour moves the chance by up to {:.0} points", spread * 100.0);
    assert!(60 <= compared && 0.2 < spread, "{compared} {spread}");
}
