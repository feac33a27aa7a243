//! Work done; a stop-gap has a last day and a recheck, and a circuit is moved only as one, with its buses proven dead.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::route::Route;
use maud::{Markup, html};
use model::{JointId, Slot, Space};
use record::Body;
use record::fact::{WorkDone, WorkKind};
use record::text::AsText;

pub(super) const FORM: Form = Form {
    title: "Work done",
    lede: "What was changed, and whether it is meant to last.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let poles: Vec<(String, String)> = ask.slots().into_iter().flat_map(|(_, all)| all).collect();
    let labels: Vec<(&str, &str, &str)> = poles
        .iter()
        .map(|(slot, words)| {
            let (space, feeds) = words.split_once(" · ").unwrap_or((words, ""));
            (slot.as_str(), space, feeds)
        })
        .collect();
    let usual = ask.query_slot().map(|slot| slot.to_string());
    let usual: Vec<&str> = usual.as_deref().into_iter().collect();
    let free = free(ask);
    let free_labels: Vec<(&str, &str, &str)> =
        free.iter().map(|(slot, space)| (slot.as_str(), space.as_str(), "")).collect();
    html! {
        (sheet.pick("kind", "Meant to", "", &[
            ("stop-gap", "Bridge the time", "a stop-gap, with a last day"),
            ("lasting", "Last", ""),
        ], "stop-gap"))
        (sheet.day("expires", "Last day of the stop-gap", "A stop-gap without a last day is not saved: they become permanent.", None))
        (sheet.day("recheck", "Recheck of the stop-gap", "The day on which it is looked at again.", None))
        (sheet.words("words", "What was done", "From where to where, what is off and must stay off, who was told.", ""))
        @if !labels.is_empty() {
            details.more open[!usual.is_empty() || ask.values.text("slots").is_some()] {
                summary { "Spaces touched" }
                (sheet.pick_any("slots", "Spaces", "", &labels, &usual))
            }
        }
        @if !free.is_empty() {
            details.more open[ask.values.text("moved_to").is_some()] {
                summary { "A circuit was moved" }
                div.caution { p { "A move is a stop-gap. It is taken only where the bus of the old and of the new space was proven \
                    dead on that day, on record. Never off a live stab." } }
                (sheet.pick_any("moved_to", "Moved to", "Every pole.", &free_labels, &[]))
                p { a href=(Route::Isolation(ask.view.name.clone())) { "Isolation" } }
            }
        }
        (moment(ask))
        (actions("Save work"))
    }
}

/// Every whole space, as something to move to.
fn free(ask: &Ask<'_>) -> Vec<(String, String)> {
    let panels = ask.installation().map(|all| all.panels.as_slice()).unwrap_or_default();
    let several = 1 < panels.len();
    let of = |panel: &model::panel::Panel| {
        let words = |space: Space| {
            let held = if panel.breaker_at(space).is_some() { "" } else { " empty" };
            let name = if several { format!("{} {space}{held}", panel.id) } else { format!("{space}{held}") };
            (Slot::new(panel.id.clone(), space).to_string(), name)
        };
        (1..=panel.n_spaces).map(Space::whole).map(words).collect::<Vec<_>>()
    };
    panels.iter().flat_map(of).collect()
}

/// A circuit is moved only where the buses of the old and the new place counted as dead.
fn closed(taking: &mut Taking<'_>, slots: &[Slot], moved_to: &[Slot]) {
    if slots.is_empty() {
        taking.wrong("slots", "Say from which space it was moved.");
    }
    let Some(job) = &taking.view.settled.job else { return };
    let mut why: Vec<String> = slots
        .iter()
        .chain(moved_to)
        .flat_map(|slot| study::closed(job, &JointId::Stab(slot.clone()), Some(taking.at)))
        .collect();
    why.dedup();
    if !why.is_empty() {
        let why = why.join(" ");
        taking.wrong(
            "moved_to",
            format!("Closed: a circuit is moved only where its buses are proven dead. {why}"),
        );
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let kind_of_work = match taking.text("kind") {
        Some("stop-gap") => Some(WorkKind::StopGap),
        Some("lasting") => Some(WorkKind::Lasting),
        _ => {
            taking.wrong("kind", "Choose whether it is meant to last.");
            None
        }
    };
    let words = taking.words("words");
    if taking.text("words").is_none() {
        taking.wrong("words", "Write what was done.");
    }
    let slots = taking.slots("slots");
    let moved_to = taking.slots("moved_to");
    if !moved_to.is_empty() {
        closed(taking, &slots, &moved_to);
    }
    let (expires, recheck) = (taking.reader.day("expires"), taking.reader.day("recheck"));
    let made = taking.at.date();
    match kind_of_work {
        Some(WorkKind::StopGap) => super::interim::days(taking, made, expires, recheck),
        Some(WorkKind::Lasting) => {
            for (field, given) in [
                ("expires", expires.is_some()),
                ("recheck", recheck.is_some()),
                ("moved_to", !moved_to.is_empty()),
            ] {
                if given {
                    taking.wrong(
                        field,
                        "Only a stop-gap has days, and a move is always one: leave it empty, or choose stop-gap.",
                    );
                }
            }
        }
        None => {}
    }
    let Some(kind_of_work) = kind_of_work else { return Vec::new() };
    let as_texts = |slots: Vec<Slot>| slots.into_iter().map(AsText).collect();
    let (slots, moved_to) = (as_texts(slots), as_texts(moved_to));
    vec![WorkDone { kind_of_work, words, slots, moved_to, expires, recheck }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Work(body) = body else { return Vec::new() };
    let kind = match body.kind_of_work {
        WorkKind::Lasting => "lasting",
        WorkKind::StopGap => "stop-gap",
    };
    let mut pairs = vec![pair("kind", kind), pair("words", &body.words)];
    pairs.extend(body.slots.iter().map(|slot| pair("slots", &slot.0)));
    pairs.extend(body.moved_to.iter().map(|slot| pair("moved_to", &slot.0)));
    pairs.extend(body.expires.map(|day| pair("expires", day)));
    pairs.extend(body.recheck.map(|day| pair("recheck", day)));
    pairs
}
