//! What runs now: a load state.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use record::Body;
use record::fact::{LoadStateHeld, TemperatureAs};
use record::limits;
use record::text::AsText;

pub(super) const FORM: Form = Form {
    title: "Load state",
    lede: "What runs while you take readings. Give it a short name; every reading then belongs to it.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let unit = if ask.values.text("unit") == Some("f") { "f" } else { "c" };
    let poles: Vec<(String, String)> = ask.slots().into_iter().flat_map(|(_, all)| all).collect();
    let several = ask.installation().is_some_and(|installation| 1 < installation.panels.len());
    let labels: Vec<(String, String, String)> = poles
        .into_iter()
        .map(|(slot, words)| {
            let (space, feeds) = words.split_once(" · ").unwrap_or((words.as_str(), ""));
            let space = if several { slot.clone() } else { space.to_owned() };
            (slot, space, feeds.to_owned())
        })
        .collect();
    let poles: Vec<(&str, &str, &str)> =
        labels.iter().map(|(slot, space, feeds)| (slot.as_str(), space.as_str(), feeds.as_str())).collect();
    let usual = ["breakfast", "heavy loads on", "everything off", "as found", "dryer on", "range on"];
    html! {
        (sheet.text_among("name", "Name", "Short, for example: dryer on", "", &usual))
        (sheet.words("words", "What runs", "Which loads, on which circuits.", ""))
        (sheet.number(&Keypad {
            name: "held_min", label: "Running for", unit: "min", hint: "Faces follow a load slowly: half an hour or more is best.",
            value: None, required: false,
        }))
        details.more open[ask.values.text("room").is_some()] {
            summary { "Room temperature" }
            (sheet.pick_narrow("unit", "Unit", "", &[("c", "°C", ""), ("f", "°F", "")], unit))
            (sheet.signed(&Keypad { name: "room", label: "Room air", unit: "", hint: "", value: None, required: false }))
        }
        @if !poles.is_empty() {
            details.more open[ask.values.text("unloaded").is_some()] {
                summary { "Poles that carry nothing" }
                (sheet.pick_any("unloaded", "Carry nothing now", "Switched off or unplugged: their current is zero, not unknown. One of them may serve as a tap on the bus.", &poles, &[]))
            }
        }
        (moment(ask))
        (actions("Save load state"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let name = taking.name("name");
    if name.is_none() && taking.text("name").is_none() {
        taking.wrong("name", "Give the load state a name, for example: dryer on.");
    }
    let words = taking.words("words");
    let held_min = taking.may_number("held_min", limits::MINUTES, "min");
    let room = taking.may_temperature("room", limits::ROOM_C);
    let unloaded = taking.slots("unloaded").into_iter().map(AsText).collect();
    let Some(name) = name else { return Vec::new() };
    vec![LoadStateHeld { name, words, held_min, room, unloaded }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::State(body) = body else { return Vec::new() };
    let mut pairs = vec![pair("name", &body.name), pair("words", &body.words)];
    pairs.extend(body.held_min.map(|minutes| pair("held_min", minutes)));
    if let Some(room) = body.room {
        pairs.push(pair("room", room.number()));
        pairs.push(unit_of(room));
    }
    pairs.extend(body.unloaded.iter().map(|slot| pair("unloaded", &slot.0)));
    pairs
}

/// The unit in which a temperature was read.
pub(super) fn unit_of(value: TemperatureAs) -> (String, String) {
    pair("unit", if matches!(value, TemperatureAs::F(_)) { "f" } else { "c" })
}
