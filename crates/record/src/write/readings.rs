//! Readings and signs as tables.

use super::Context;
use super::entry::Entry;
use crate::fact::{Body, Fact, TemperatureTaken};
use model::evidence::{Surface, TemperatureMethod};
use model::place::Place;

/// A reading as an entry of its own; nothing for other facts.
pub(super) fn reading(cx: &Context<'_>, fact: &Fact) -> String {
    let in_state = |heading: &str, state: &str| {
        let mut entry = cx.entry(heading, fact, cx.state_at(state), "id");
        entry.text("state", state);
        entry
    };
    let entry = match &fact.body {
        Body::Temperature(body) => {
            let heading = if is_face(body) { "[[face]]" } else { "[[temperature]]" };
            let mut entry = in_state(heading, &body.state);
            temperature(&mut entry, body);
            entry
        }
        Body::Touch(body) => {
            let mut entry = in_state("[[touch]]", &body.state);
            entry.thing("space", &body.slot.0);
            entry.thing("feel", &body.feel.0);
            entry.maybe_flag("void", body.void.then_some(true));
            entry
        }
        Body::Clamp(body) => {
            let mut entry = in_state("[[clamp]]", &body.state);
            entry.thing("place", &body.place.0);
            entry.number("amps", body.amps);
            entry.maybe_text("instrument", body.instrument.as_deref());
            entry
        }
        Body::Voltage(body) => {
            let mut entry = in_state("[[voltage]]", &body.state);
            entry.thing("from", &body.from.0);
            entry.thing("to", &body.to.0);
            entry.number("volts", body.volts);
            entry.maybe_text("instrument", body.instrument.as_deref());
            entry
        }
        Body::Drop(body) => {
            let mut entry = in_state("[[drop]]", &body.state);
            entry.thing("from", &body.from.0);
            entry.thing("to", &body.to.0);
            entry.number("mv", body.mv);
            entry.maybe_number("amps", body.amps);
            entry.maybe_text("instrument", body.instrument.as_deref());
            entry
        }
        Body::Trip(body) => {
            let base = body.state.as_deref().map_or(cx.start, |state| cx.state_at(state));
            let mut entry = cx.entry("[[trip]]", fact, base, "id");
            entry.thing("space", &body.slot.0);
            entry.maybe_number("amps", body.amps);
            entry.maybe_number("after_min", body.after_min);
            entry.maybe_text("state", body.state.as_deref());
            entry
        }
        Body::Sign(body) => {
            let mut entry = cx.entry("[[sign]]", fact, cx.start, "id");
            entry.thing("what", &body.sign.0);
            entry.thing("place", &body.scope.0);
            entry.maybe_flag("seen", (!body.seen).then_some(false));
            entry.words("words", &body.words);
            entry.maybe_text("photo", body.photo.as_ref().map(|photo| photo.0.as_str()));
            entry
        }
        _ => return String::new(),
    };
    entry.finish()
}

/// Can it be written as the reading of a face, which has no `surface`?
fn is_face(body: &TemperatureTaken) -> bool {
    matches!(body.place.0, Place::Face(_)) && body.surface.0 == Surface::Matte
}

fn temperature(entry: &mut Entry, body: &TemperatureTaken) {
    match &body.place.0 {
        Place::Face(slot) if is_face(body) => entry.thing("space", slot),
        place => {
            entry.thing("place", place);
            entry.thing("surface", &body.surface.0);
        }
    }
    entry.temperature(("c", "f"), body.value);
    entry.unless("method", &body.method.0, &TemperatureMethod::Infrared);
    entry.maybe_number("emissivity", body.emissivity);
    if let Some(reflected) = body.reflected {
        entry.temperature(("reflected_c", "reflected_f"), reflected);
    }
    entry.maybe_text("instrument", body.instrument.as_deref());
}
