//! A temperature at a place.

use super::ask::Ask;
use super::standing::Series;
use super::state::unit_of;
use super::taking::Taking;
use super::{Form, Pairs, about, moment, pair, series_actions};
use crate::form::Keypad;
use maud::{Markup, html};
use model::Slot;
use model::evidence::{Surface, TemperatureMethod};
use model::place::Place;
use record::Body;
use record::fact::{TemperatureAs, TemperatureTaken};
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Temperature",
    lede: "From straight ahead and close.",
    show,
    read,
    pairs,
    series: Some(Series::Faces),
};

const OUTSIDE: [(&str, &str, &str); 2] =
    [("face", "Breaker face", "beside the handle"), ("receptacle", "Receptacle", "on this circuit")];
const BEHIND: [(&str, &str, &str); 3] = [
    ("load", "Load terminal", "or the insulation within an inch"),
    ("wire", "Wire behind it", "beyond the joint"),
    ("neutral-wire", "Neutral wire", "of this circuit"),
];

/// Part and slot of a place; a place that is not of a pole has none.
fn part_of(place: &Place) -> Option<(&'static str, &Slot)> {
    Some(match place {
        Place::Face(slot) => ("face", slot),
        Place::Load(slot) => ("load", slot),
        Place::Wire(slot) => ("wire", slot),
        Place::NeutralWire(slot) => ("neutral-wire", slot),
        Place::Receptacle(slot) => ("receptacle", slot),
        _ => return None,
    })
}

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let place = ask.place("place").or_else(|| ask.place("elsewhere"));
    let (part, slot, elsewhere) = match &place {
        Some(place) => match part_of(place) {
            Some((part, slot)) => (part, slot.to_string(), String::new()),
            None => ("face", String::new(), place.to_string()),
        },
        None => ("face", ask.query_slot().map(|slot| slot.to_string()).unwrap_or_default(), String::new()),
    };
    let part = ask.values.text("part").unwrap_or(part);
    let hidden = BEHIND.iter().any(|(word, _, _)| *word == part)
        || !matches!(place, None | Some(Place::Cover(_) | Place::Face(_) | Place::Receptacle(_)));
    let last = ask.standing.instrument(|body| match body {
        Body::Temperature(body) => body.instrument.as_deref(),
        _ => None,
    });
    let unit = ask.standing.live.iter().rev().find_map(|fact| match &fact.body {
        Body::Temperature(body) => Some(if matches!(body.value, TemperatureAs::F(_)) { "f" } else { "c" }),
        _ => None,
    });
    let unit = ask.sheet.value("unit", unit.unwrap_or("c"));
    // A place of the query was taken apart above, so the lists are given their values here.
    let place_value = match &place {
        Some(place @ Place::Cover(_)) => place.to_string(),
        _ => slot,
    };
    let elsewhere_groups = ask.of_panels(
        |panel, leg| {
            vec![
                ask.place_choice(&Place::Lug(panel.clone(), leg)),
                ask.place_choice(&Place::Line(panel.clone(), leg)),
            ]
        },
        |panel| {
            [
                Place::NeutralLug(panel.clone()),
                Place::NeutralLine(panel.clone()),
                Place::NeutralBar(panel.clone()),
                Place::Earth(panel.clone()),
            ]
            .iter()
            .map(|place| ask.place_choice(place))
            .collect()
        },
    );
    let mut outside = ask.slots();
    for (group, cover) in outside
        .iter_mut()
        .zip(ask.of_panels(|_, _| Vec::new(), |panel| vec![ask.place_choice(&Place::Cover(panel.clone()))]))
    {
        group.1.extend(cover.1);
    }
    // Where it is known, the number comes first: a thumb's way from one face to the next.
    let named = place.is_some() || ask.query_slot().is_some();
    let whereabouts = html! {
        (ask.list("place", "Where", "Choose a space", &outside, &place_value))
        (sheet.pick("part", "At the", "", &OUTSIDE, part))
        (ask.behind("Behind the dead front", hidden, html! {
            (sheet.with_id("behind").pick("part", "Or at the", "", &BEHIND, part))
            (ask.list("elsewhere", "Or at another place", "None: the space above", &elsewhere_groups, &elsewhere))
        }))
    };
    html! {
        (about(ask))
        @if !named { (whereabouts) }
        (sheet.signed(&Keypad {
            name: "value", label: "Temperature", unit: "", hint: "", value: None, required: true,
        }))
        (sheet.pick_narrow("unit", "Unit", "", &[("c", "°C", ""), ("f", "°F", "")], &unit))
        @if named { (whereabouts) }
        (ask.state())
        details.more open[hidden || ask.sheet.is_again()] {
            summary { "Instrument and surface" }
            (sheet.pick("method", "Taken by", "", &[("infrared", "Infrared", "spot or camera"), ("contact", "Contact", "probe on the surface")], "infrared"))
            (sheet.pick("surface", "The spot looked at", "Bare metal fools an infrared spot: put tape on it when it is dead, or use a probe.",
                &[("matte", "Matte", "plastic, insulation, paint, tape"), ("bare-metal", "Bare metal", "shiny")], if hidden { "" } else { "matte" }))
            (ask.instrument(last, "By the shop’s own name; readings of one instrument share its error."))
            (sheet.number(&Keypad { name: "emissivity", label: "Emissivity set", unit: "", hint: "Left empty: 0.95.", value: None, required: false }))
            (sheet.signed(&Keypad { name: "reflected", label: "Reflected temperature set", unit: "", hint: "In the same unit. Usually left empty.", value: None, required: false }))
        }
        (moment(ask))
        (series_actions("Save"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let place = read_place(taking);
    let value = match taking.may_temperature("value", limits::SURFACE_C) {
        None if taking.text("value").is_none() => {
            taking.wrong("value", "Type the temperature as displayed.");
            None
        }
        value => value,
    };
    let method = taking.may::<TemperatureMethod>("method").unwrap_or(TemperatureMethod::Infrared);
    let surface = taking.may::<Surface>("surface");
    let plain = place.as_ref().is_none_or(Place::is_outside);
    if method == TemperatureMethod::Infrared {
        if surface == Some(Surface::BareMetal) {
            taking.wrong("surface", "An infrared spot on bare metal shows the room, not the metal. Use a contact probe, or tape put on while it is dead.");
        } else if surface.is_none() && !plain {
            taking.wrong("surface", "Say what the spot looked at: metal may be bare there.");
        }
    }
    let emissivity = taking.may_number("emissivity", limits::EMISSIVITY, "");
    let reflected = taking.may_temperature("reflected", limits::REFLECTED_C);
    let instrument = taking.name("instrument");
    let state = taking.state();
    if !plain {
        taking.needs_cover_off();
    }
    let (Some(place), Some(value)) = (place, value) else { return Vec::new() };
    taking.about = place.slot().cloned();
    vec![
        TemperatureTaken {
            place: AsText(place),
            value,
            method: AsText(method),
            surface: AsText(surface.unwrap_or(Surface::Matte)),
            emissivity,
            reflected,
            instrument,
            state,
        }
        .into(),
    ]
}

/// The place from its list, its part and the other list.
fn read_place(taking: &mut Taking<'_>) -> Option<Place> {
    if taking.text("elsewhere").is_some() {
        return taking.may("elsewhere");
    }
    let Some(text) = taking.text("place") else {
        taking.wrong("place", "Choose where it was taken.");
        return None;
    };
    if text.contains(':') || text.ends_with("cover") || text.ends_with("earth") {
        return taking.may("place");
    }
    let slot = taking.may::<Slot>("place")?;
    match taking.text("part").unwrap_or("face") {
        "face" => Some(Place::Face(slot)),
        "load" => Some(Place::Load(slot)),
        "wire" => Some(Place::Wire(slot)),
        "neutral-wire" => Some(Place::NeutralWire(slot)),
        "receptacle" => Some(Place::Receptacle(slot)),
        _ => {
            taking.wrong("part", "Choose where on this circuit it was taken.");
            None
        }
    }
}

fn pairs(body: &Body) -> Pairs {
    let Body::Temperature(body) = body else { return Vec::new() };
    let place = &body.place.0;
    let mut pairs = match (place, part_of(place)) {
        (_, Some((part, slot))) => vec![pair("place", slot), pair("part", part)],
        (Place::Cover(_), None) => vec![pair("place", place)],
        (_, None) => vec![pair("elsewhere", place)],
    };
    pairs.push(pair("value", body.value.number()));
    pairs.push(unit_of(body.value));
    pairs.push(pair("method", body.method.0.write()));
    pairs.push(pair("surface", body.surface.0.write()));
    pairs.extend(body.emissivity.map(|value| pair("emissivity", value)));
    pairs.extend(body.reflected.map(|value| pair("reflected", value.number())));
    pairs.extend(body.instrument.as_ref().map(|name| pair("instrument", name)));
    pairs.push(pair("state", &body.state));
    pairs
}
