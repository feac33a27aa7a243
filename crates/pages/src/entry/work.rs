//! Work done; a stop-gap has a last day.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
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
    html! {
        (sheet.pick("kind", "Meant to", "", &[
            ("stop-gap", "Bridge the time", "a stop-gap, with a last day"),
            ("lasting", "Last", ""),
        ], "stop-gap"))
        (sheet.day("expires", "Last day of the stop-gap", "A stop-gap without a last day is not saved: they become permanent.", None))
        (sheet.words("words", "What was done", "From where to where, what is off and must stay off, who was told.", ""))
        @if !labels.is_empty() {
            details.more open[!usual.is_empty() || ask.values.text("slots").is_some()] {
                summary { "Spaces touched" }
                (sheet.pick_any("slots", "Spaces", "", &labels, &usual))
            }
        }
        (moment(ask))
        (actions("Save work"))
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
    let slots = taking.slots("slots").into_iter().map(AsText).collect();
    let expires = taking.reader.day("expires");
    match (kind_of_work, expires) {
        (Some(WorkKind::StopGap), None) if taking.text("expires").is_none() => {
            taking.wrong("expires", "A stop-gap needs its last day.");
        }
        (Some(WorkKind::StopGap), Some(day)) if day <= taking.at.date() => {
            taking.wrong("expires", "The last day must come after the day of the work.");
        }
        (Some(WorkKind::Lasting), Some(_)) => {
            taking.wrong("expires", "Only a stop-gap has a last day: leave it empty, or choose stop-gap.");
        }
        _ => {}
    }
    let Some(kind_of_work) = kind_of_work else { return Vec::new() };
    vec![WorkDone { kind_of_work, words, slots, expires }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Work(body) = body else { return Vec::new() };
    let kind = match body.kind_of_work {
        WorkKind::Lasting => "lasting",
        WorkKind::StopGap => "stop-gap",
    };
    let mut pairs = vec![pair("kind", kind), pair("words", &body.words)];
    pairs.extend(body.slots.iter().map(|slot| pair("slots", &slot.0)));
    pairs.extend(body.expires.map(|day| pair("expires", day)));
    pairs
}
