//! Next best checks as buttons, and all that can be entered.

use crate::context::JobView;
use crate::entry::standing::Standing;
use crate::entry::words::{enter, exposure_words, installation};
use crate::route::{EntryKind, Route};
use crate::screen::joint::named;
use maud::{Markup, html};
use model::advice::CheckAdvice;
use model::job::Exposure;
use model::place::Place;

/// Checks listed.
const N_CHECKS: usize = 4;

/// The form that a check opens, and the fields it fills.
fn form(view: &JobView, check: &CheckAdvice, standing: &Standing<'_>) -> String {
    // The advice names the load state in quotation marks; the form takes it by name.
    let state = standing
        .states()
        .into_iter()
        .find(|state| check.what.contains(&format!("\"{}\"", state.name)))
        .map_or(standing.state.as_str(), |state| state.name.as_str());
    let place = |idx: usize| check.places.get(idx).map(Place::to_string).unwrap_or_default();
    let slot = check.places.iter().find_map(Place::slot).map(|slot| slot.to_string()).unwrap_or_default();
    match check.kind.as_str() {
        "face-temperature" => enter(view, EntryKind::Temperature, &[("place", &slot), ("state", state)]),
        // What is made to run is a load state of its own: entered first, or the face would stand under the old one.
        "load-and-read" => enter(view, EntryKind::State, &[]),
        "terminal-temperature" | "lug-temperature" => {
            enter(view, EntryKind::Temperature, &[("place", &place(0)), ("state", state)])
        }
        "clamp" => enter(view, EntryKind::Clamp, &[("place", &slot), ("state", state)]),
        "drop" => enter(view, EntryKind::Drop, &[("from", &place(0)), ("to", &place(1)), ("state", state)]),
        "leg-voltages" => enter(view, EntryKind::Voltage, &[("state", state)]),
        _ => enter(view, EntryKind::Sign, &[("place", &slot)]),
    }
}

/// What a check would show under each rival.
fn details(check: &CheckAdvice, view: &JobView) -> Markup {
    let named = |text: &str| match (view.judged.shown(), installation(view)) {
        (Some(assessment), Some(installation)) => named(text, installation, assessment),
        _ => text.to_owned(),
    };
    html! {
        details.working {
            summary { "What to expect" }
            p { (check.who) ", about " (format!("{:.0}", check.minutes.max(1.0))) " min, worth " (format!("{:.2}", check.gain_bits)) " bit." }
            ul { @for (rival, reading) in &check.expects { li { "If " (named(rival)) ": " (reading) } } }
        }
    }
}

/// The checks that tell most, those that are allowed now as buttons.
pub(super) fn checks(view: &JobView, standing: &Standing<'_>) -> Markup {
    let all = view.judged.shown().map(|assessment| assessment.next_checks.as_slice()).unwrap_or_default();
    let (now, later): (Vec<&CheckAdvice>, Vec<&CheckAdvice>) =
        all.iter().partition(|check| check.exposure <= standing.exposure);
    html! {
        h2 { "Next best check" }
        @if all.is_empty() {
            @if view.judged.shown().is_some() {
                p.quiet { "No check that is safe here would change the judgement much." }
            } @else {
                p { "Run the usual heavy loads for half an hour, then take every face by infrared." }
                a.big.full href=(enter(view, EntryKind::Temperature, &[("state", &standing.state)])) { "Face temperatures" }
            }
        }
        @if let Some((best, others)) = now.split_first() {
            div.check { (one(best, "big full", view, standing)) }
            @if !others.is_empty() {
                details.more {
                    summary { "Other checks" }
                    ul.rows {
                        @for check in others.iter().take(N_CHECKS - 1) {
                            li.row.check { (one(check, "plain full", view, standing)) }
                        }
                    }
                }
            }
        }
        @if !later.is_empty() {
            details.more {
                summary { (later.len()) " more with the panel opened further" }
                ul.rows {
                    @for check in later.iter().take(N_CHECKS) {
                        li.row { p.grow { (check.what) } p.quiet { (needs(check.exposure)) } }
                    }
                }
            }
        }
    }
}

/// One check that is allowed now: what to do, what to mind, and the button that opens its form.
fn one(check: &CheckAdvice, class: &str, view: &JobView, standing: &Standing<'_>) -> Markup {
    html! {
        p.grow { (check.what) }
        @if !check.cautions.is_empty() { div.caution { @for caution in &check.cautions { p { (caution) } } } }
        a class=(class) href=(form(view, check, standing)) { (button(check)) }
        (details(check, view))
    }
}

/// The row at the bottom: the best check that is allowed now, and all that can be recorded.
pub(super) fn actions(view: &JobView, standing: &Standing<'_>) -> Markup {
    let all = view.judged.shown().map(|assessment| assessment.next_checks.as_slice()).unwrap_or_default();
    let first = all.iter().find(|check| check.exposure <= standing.exposure);
    html! {
        a.plain href="#enter" { "Record" }
        @match first {
            Some(check) => a.big href=(form(view, check, standing)) { (button(check)) },
            None => a.big href=(enter(view, EntryKind::Temperature, &[("state", &standing.state)])) { "Face temperatures" },
        }
    }
}

fn button(check: &CheckAdvice) -> &'static str {
    match check.kind.as_str() {
        "face-temperature" => "Take the face temperature",
        "load-and-read" => "Enter what runs, then read",
        "terminal-temperature" => "Take the terminal's temperature",
        "lug-temperature" => "Take the lug's temperature",
        "clamp" => "Clamp the current",
        "drop" => "Take the drop",
        "leg-voltages" => "Take the voltages",
        _ => "Look for signs",
    }
}

fn needs(exposure: Exposure) -> String {
    match exposure {
        Exposure::CoverOn => exposure_words(exposure).to_owned(),
        Exposure::CoverOff => "Needs the cover off by a qualified person.".to_owned(),
        Exposure::ProvenDead => "Needs the panel proven dead.".to_owned(),
    }
}

/// Everything that can be entered, and the other pages of the job.
pub(super) fn entries(view: &JobView, standing: &Standing<'_>) -> Markup {
    let state = standing.state.as_str();
    let readings = [
        (EntryKind::Touch, "Touch"),
        (EntryKind::Temperature, "Temperature"),
        (EntryKind::Clamp, "Current"),
        (EntryKind::Drop, "Drop"),
        (EntryKind::Voltage, "Voltages"),
        (EntryKind::Trip, "Trip"),
        (EntryKind::Sign, "Sign"),
    ];
    let course = [
        (EntryKind::Complaint, "Complaint"),
        (EntryKind::Service, "Service"),
        (EntryKind::Breaker, "Breaker"),
        (EntryKind::Opening, "Opening"),
        (EntryKind::Decision, "Decision"),
        (EntryKind::Work, "Work"),
        (EntryKind::Interim, "Plan"),
        (EntryKind::Promise, "Promise"),
        (EntryKind::Kept, "Done"),
    ];
    html! {
        h2 { "Record" }
        div.links {
            @for (kind, word) in readings { a.plain.small href=(enter(view, kind, &[("state", state)])) { (word) } }
            a.plain.small href=(Route::Photos(view.name.clone())) { "Photo" }
        }
        div.links {
            @for (kind, word) in course { a.plain.small href=(enter(view, kind, &[])) { (word) } }
        }
    }
}
