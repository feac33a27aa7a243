//! Load states as tables, with the plain readings in their quick form.

use super::Context;
use super::entry::{Entry, quote};
use super::number::decimal;
use crate::fact::{Body, ClampTaken, Fact, LoadStateHeld, TemperatureAs, TemperatureTaken};
use crate::text::Textual;
use model::evidence::{ClampPlace, Surface, TemperatureMethod};
use model::place::Place;
use std::collections::BTreeSet;

/// Every state. Its quick readings are those that say no more than the quick form can.
pub(super) fn states(cx: &Context<'_>) -> String {
    let mut out = String::new();
    let mut done: BTreeSet<&str> = BTreeSet::new();
    for fact in cx.facts {
        let Body::State(body) = &fact.body else { continue };
        let mut entry = cx.entry("[[state]]", fact, cx.start, "id");
        entry.text("name", &body.name);
        entry.words("words", &body.words);
        entry.maybe_number("held_min", body.held_min);
        if let Some(room) = body.room {
            entry.temperature(("room_c", "room_f"), room);
        }
        if !body.unloaded.is_empty() {
            let slots: Vec<String> = body.unloaded.iter().map(|slot| quote(&slot.0.write())).collect();
            entry.raw("unloaded", &format!("[{}]", slots.join(", ")));
        }
        if done.insert(&body.name) {
            quick_amps(cx, &mut entry, fact, body);
            quick_faces(cx, &mut entry, fact, body);
        }
        out.push_str(&entry.finish());
    }
    out
}

/// Does the reading take time and author from its state, and nothing of its own?
fn takes_over(reading: &Fact, state: &Fact) -> bool {
    reading.at == state.at
        && reading.by == state.by
        && reading.supersedes.is_empty()
        && reading.has_derived_id()
}

/// Clamp readings in quick form: all of the instrument of the first.
fn amps_of<'a>(cx: &Context<'a>, state: &Fact, name: &str) -> Vec<(&'a Fact, &'a ClampTaken)> {
    let mut taken: Vec<(&Fact, &ClampTaken)> = Vec::new();
    let mut places: BTreeSet<String> = BTreeSet::new();
    for fact in cx.facts {
        let Body::Clamp(body) = &fact.body else { continue };
        let same_instrument = taken.first().is_none_or(|(_, first)| first.instrument == body.instrument);
        if body.state == name
            && takes_over(fact, state)
            && same_instrument
            && places.insert(body.place.0.write())
        {
            taken.push((fact, body));
        }
    }
    taken.sort_by_key(|(_, body)| clamp_order(&body.place.0));
    taken
}

fn clamp_order(place: &ClampPlace) -> (u8, String, Option<model::Space>) {
    match place {
        ClampPlace::Line(..) => (0, place.write(), None),
        ClampPlace::Neutral(_) => (1, place.write(), None),
        ClampPlace::Electrode(_) => (2, place.write(), None),
        ClampPlace::Pole(slot) => (3, slot.panel.to_string(), Some(slot.space)),
    }
}

fn quick_amps(cx: &Context<'_>, entry: &mut Entry, state: &Fact, body: &LoadStateHeld) {
    let taken = amps_of(cx, state, &body.name);
    let lines: Vec<(String, String)> =
        taken.iter().map(|(_, body)| (quote(&body.place.0.write()), decimal(body.amps))).collect();
    entry.braces("amps", &lines);
    entry.maybe_text("clamp", taken.first().and_then(|(_, body)| body.instrument.as_deref()));
}

/// Face readings in quick form: all of unit and instrument of the first.
fn faces_of<'a>(cx: &Context<'a>, state: &Fact, name: &str) -> Vec<(&'a Fact, &'a TemperatureTaken)> {
    let mut taken: Vec<(&Fact, &TemperatureTaken)> = Vec::new();
    let mut places: BTreeSet<&Place> = BTreeSet::new();
    for fact in cx.facts {
        let Body::Temperature(body) = &fact.body else { continue };
        let plain = matches!(body.place.0, Place::Face(_))
            && body.method.0 == TemperatureMethod::Infrared
            && body.surface.0 == Surface::Matte
            && body.emissivity.is_none()
            && body.reflected.is_none();
        let like_first = taken.first().is_none_or(|(_, first)| {
            first.instrument == body.instrument && is_celsius(first) == is_celsius(body)
        });
        if plain
            && body.state == name
            && takes_over(fact, state)
            && like_first
            && places.insert(&body.place.0)
        {
            taken.push((fact, body));
        }
    }
    taken.sort_by_key(|(_, body)| &body.place.0);
    taken
}

fn is_celsius(body: &TemperatureTaken) -> bool {
    matches!(body.value, TemperatureAs::C(_))
}

fn quick_faces(cx: &Context<'_>, entry: &mut Entry, state: &Fact, body: &LoadStateHeld) {
    let taken = faces_of(cx, state, &body.name);
    let Some((_, first)) = taken.first() else { return };
    let key = if is_celsius(first) { "faces_c" } else { "faces_f" };
    let lines: Vec<(String, String)> = taken
        .iter()
        .filter_map(|(_, body)| body.place.0.slot().map(|slot| (slot, body)))
        .map(|(slot, body)| (quote(&slot.write()), decimal(body.value.number())))
        .collect();
    entry.braces(key, &lines);
    entry.maybe_text("thermometer", first.instrument.as_deref());
}

/// Ids of the readings that stand in quick form in a state.
pub(super) fn quick(cx: &Context<'_>) -> BTreeSet<model::FactId> {
    let mut names: BTreeSet<&str> = BTreeSet::new();
    let mut ids = BTreeSet::new();
    for fact in cx.facts {
        let Body::State(body) = &fact.body else { continue };
        if !names.insert(&body.name) {
            continue;
        }
        ids.extend(amps_of(cx, fact, &body.name).into_iter().map(|(fact, _)| fact.id().clone()));
        ids.extend(faces_of(cx, fact, &body.name).into_iter().map(|(fact, _)| fact.id().clone()));
    }
    ids
}
