//! A breaker that opened by itself.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, about, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::Slot;
use record::Body;
use record::fact::TripSeen;
use record::limits;
use record::text::AsText;

pub(super) const FORM: Form = Form {
    title: "A breaker opened",
    lede: "By itself, seen now or told. With current and time it tells whether the breaker was right.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let states = ask.standing.states().iter().map(|state| (state.name.clone(), state.name.clone())).collect();
    html! {
        div.caution { p { "Do not close it again and again to find out: each closing on a burnt stab makes it worse." } }
        (about(ask))
        (ask.slot("Breaker in", "Choose a space"))
        (sheet.number(&Keypad { name: "amps", label: "Current before it opened", unit: "A", hint: "If it was clamped.", value: None, required: false }))
        (sheet.number(&Keypad { name: "after_min", label: "After", unit: "min", hint: "How long that current had flowed.", value: None, required: false }))
        (ask.choose("state", "Load state", "", "In none of them, or not known", vec![(String::new(), states)], ""))
        (moment(ask))
        (actions("Save trip"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let slot = taking.need::<Slot>("place", "Choose the space of the breaker.");
    let amps = taking.may_number("amps", limits::TRIP_AMPS, "A");
    let after_min = taking.may_number("after_min", limits::MINUTES, "min");
    let state = taking.name("state");
    taking.state = state.clone();
    taking.about = slot.clone();
    let Some(slot) = slot else { return Vec::new() };
    vec![TripSeen { slot: AsText(slot), amps, after_min, state }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Trip(body) = body else { return Vec::new() };
    let mut pairs = vec![pair("place", &body.slot.0)];
    pairs.extend(body.amps.map(|amps| pair("amps", amps)));
    pairs.extend(body.after_min.map(|minutes| pair("after_min", minutes)));
    pairs.extend(body.state.as_ref().map(|state| pair("state", state)));
    pairs
}
