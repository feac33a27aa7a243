//! A current.

use super::ask::Ask;
use super::standing::Series;
use super::taking::Taking;
use super::words::clamp_words;
use super::{Form, Pairs, about, moment, pair, series_actions};
use crate::form::Keypad;
use maud::{Markup, html};
use model::Slot;
use model::evidence::ClampPlace;
use model::place::Place;
use record::Body;
use record::fact::ClampTaken;
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Clamp a current",
    lede: "Around one conductor, steady. Conductors are not moved for it.",
    show,
    read,
    pairs,
    series: Some(Series::Clamps),
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let last = ask.standing.instrument(|body| match body {
        Body::Clamp(body) => body.instrument.as_deref(),
        _ => None,
    });
    let slot = ask.query_slot().map(|slot| slot.to_string()).unwrap_or_default();
    let elsewhere = ask.of_panels(
        |panel, leg| vec![choice(ask, &ClampPlace::Line(panel.clone(), leg))],
        |panel| {
            vec![
                choice(ask, &ClampPlace::Neutral(panel.clone())),
                choice(ask, &ClampPlace::Electrode(panel.clone())),
            ]
        },
    );
    let elsewhere_value = match ask.values.text("elsewhere") {
        Some(text) => text.to_owned(),
        // A check names the place in the words of probes.
        None => match ask.place("place") {
            Some(Place::Line(panel, leg) | Place::Lug(panel, leg)) => ClampPlace::Line(panel, leg).write(),
            Some(Place::NeutralLine(panel) | Place::NeutralLug(panel)) => ClampPlace::Neutral(panel).write(),
            Some(Place::Earth(panel)) => ClampPlace::Electrode(panel).write(),
            _ => String::new(),
        },
    };
    html! {
        (about(ask))
        (ask.behind("Clamping", true, html! {
            (sheet.number(&Keypad { name: "amps", label: "Current", unit: "A", hint: "", value: None, required: true }))
            (ask.list("place", "Branch conductor of", "Choose a space", &ask.slots(), &slot))
            (ask.list("elsewhere", "Or around", "None: the conductor above", &elsewhere, &elsewhere_value))
            (ask.state())
            (ask.instrument(last, "By the shop’s own name."))
            (moment(ask))
            (series_actions("Save"))
        }))
    }
}

fn choice(ask: &Ask<'_>, place: &ClampPlace) -> (String, String) {
    (place.write(), study::words::capital(&clamp_words(ask.installation(), place)))
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let place = if taking.text("elsewhere").is_some() {
        taking.may::<ClampPlace>("elsewhere")
    } else {
        taking.need::<Slot>("place", "Choose the conductor that was clamped.").map(ClampPlace::Pole)
    };
    let amps = taking.number("amps", "Type the current as displayed.", limits::AMPS, "A");
    let instrument = taking.name("instrument");
    let state = taking.state();
    if !matches!(place, Some(ClampPlace::Electrode(_))) {
        taking.needs_cover_off();
    }
    let (Some(place), Some(amps)) = (place, amps) else { return Vec::new() };
    if let ClampPlace::Pole(slot) = &place {
        taking.about = Some(slot.clone());
    }
    vec![ClampTaken { place: AsText(place), amps, instrument, state }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Clamp(body) = body else { return Vec::new() };
    let mut pairs = match &body.place.0 {
        ClampPlace::Pole(slot) => vec![pair("place", slot)],
        place => vec![pair("elsewhere", place.write())],
    };
    pairs.push(pair("amps", body.amps));
    pairs.extend(body.instrument.as_ref().map(|name| pair("instrument", name)));
    pairs.push(pair("state", &body.state));
    pairs
}
