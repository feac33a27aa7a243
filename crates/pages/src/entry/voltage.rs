//! Voltages: of both legs at once, or between any two places.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::panel::Panel;
use model::place::Place;
use model::{Leg, PanelId, Slot};
use record::Body;
use record::fact::VoltageTaken;
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Voltages",
    lede: "Both legs to neutral at once, then again with a known heater on one leg, in a load state of its own.",
    show,
    read,
    pairs,
    series: None,
};

/// Names of the number fields, one a leg.
const VOLTS: [(Leg, &str, &str, &str); 3] = [
    (Leg::A, "volts-A", "on-A", "Leg A"),
    (Leg::B, "volts-B", "on-B", "Leg B"),
    (Leg::C, "volts-C", "on-C", "Leg C"),
];

fn panel<'a>(ask: &Ask<'a>) -> Option<&'a Panel> {
    let installation = ask.installation()?;
    let named = ask.values.text("panel").and_then(|name| installation.panel(&PanelId::new(name)));
    let of_place = ask.place("place").and_then(|place| installation.panel(place.panel()));
    named.or(of_place).or_else(|| installation.panels.first())
}

const fn to_neutral(leg: Leg) -> &'static str {
    match leg {
        Leg::A => "A to neutral",
        Leg::B => "B to neutral",
        Leg::C => "C to neutral",
    }
}

/// Receptacle circuits of a leg, as choices.
fn circuits(ask: &Ask<'_>, panel: &Panel, leg: Leg) -> Vec<(String, Vec<(String, String)>)> {
    let mut groups = ask.slots();
    for (_, all) in &mut groups {
        all.retain(|(text, _)| match super::words::read_slot(ask.view, text) {
            Some(slot) => slot.panel == panel.id && panel.leg_of(slot.space) == leg,
            None => false,
        });
    }
    groups.retain(|(_, all)| !all.is_empty());
    groups
}

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let Some(panel) = panel(ask) else {
        return html! { div.note { p { "Describe the panel first: then its legs can be named." } } };
    };
    let last = ask.standing.instrument(|body| match body {
        Body::Voltage(body) => body.instrument.as_deref(),
        _ => None,
    });
    let between = ask.values.text("from").is_some() || ask.values.text("to").is_some();
    let behind = ask.values.text("where") == Some("lugs");
    let query_leg =
        ask.query_slot().filter(|slot| slot.panel == panel.id).map(|slot| (panel.leg_of(slot.space), slot));
    let legs = panel.system.legs();
    let pad = |name: &'static str, label: &'static str| Keypad {
        name,
        label,
        unit: "V",
        hint: "",
        value: None,
        required: false,
    };
    html! {
        input type="hidden" name="panel" value=(panel.id);
        (sheet.pick_list("where", "Taken at", "", &[
            ("receptacles", "One receptacle a leg", "dead front stays on; the wire to the receptacle adds a little"),
            ("lugs", "Line lugs and neutral bar", "behind the dead front: qualified person only"),
        ], "receptacles"))
        @for (leg, volts, on, label) in VOLTS.iter().filter(|(leg, ..)| legs.contains(leg)) {
            fieldset.group {
                legend { (label) }
                (sheet.number(&pad(volts, to_neutral(*leg))))
                @let usual = query_leg.as_ref().filter(|(of, _)| of == leg).map(|(_, slot)| slot.to_string());
                (ask.choose(on, &format!("Receptacle of leg {leg} on"), "", "Choose a circuit of this leg", circuits(ask, panel, *leg), &usual.unwrap_or_default()))
            }
        }
        (ask.state())
        (ask.behind("Leg to leg, at the lugs", behind, html! {
            (sheet.number(&Keypad { name: "volts-AB", label: "Leg A to leg B", unit: "V", hint: "Line lug to line lug.", value: None, required: false }))
        }))
        details.more open[between] {
            summary { "Between two other places" }
            (ask.choose("from", "From", "", "Choose a place", places(ask), ""))
            (ask.choose("to", "To", "", "Choose a place", places(ask), ""))
            (sheet.number(&pad("volts", "Voltage between them")))
        }
        div.note { p { "Above 130 V or below 105 V on a leg: unplug electronics and call the utility now." } }
        (ask.instrument(last, ""))
        (moment(ask))
        (actions("Save voltages"))
    }
}

/// Places where a probe finds a conductor, as choices.
pub(super) fn places(ask: &Ask<'_>) -> Vec<(String, Vec<(String, String)>)> {
    type OfSlot = fn(Slot) -> Place;
    let kinds: [(&str, &str, OfSlot); 4] = [
        ("Load terminals", "Terminal", Place::Load),
        ("Wires behind the terminals", "Wire", Place::Wire),
        ("Neutral wires", "Neutral wire", Place::NeutralWire),
        ("Receptacles", "Receptacle", Place::Receptacle),
    ];
    let of_legs = ask.of_panels(
        |panel, leg| {
            vec![
                ask.place_choice(&Place::Lug(panel.clone(), leg)),
                ask.place_choice(&Place::Line(panel.clone(), leg)),
            ]
        },
        |panel| {
            let all = [
                Place::NeutralLug(panel.clone()),
                Place::NeutralLine(panel.clone()),
                Place::NeutralBar(panel.clone()),
                Place::Earth(panel.clone()),
            ];
            all.iter().map(|place| ask.place_choice(place)).collect()
        },
    );
    let mut groups: Vec<(String, Vec<(String, String)>)> =
        of_legs.into_iter().map(|(panel, all)| (format!("{panel}: lugs, neutral, earth"), all)).collect();
    for (heading, word, of) in kinds {
        let all = ask.of_slots(|slot| of(slot.clone()).to_string()).into_iter().flat_map(|(_, all)| all);
        let all = all.map(|(value, words)| (value, format!("{word} {words}"))).collect();
        groups.push((heading.to_owned(), all));
    }
    groups
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let panel = match taking.may::<PanelId>("panel").or_else(|| taking.home()) {
        Some(panel) => panel,
        None => PanelId::new("main"),
    };
    let lugs = taking.text("where") == Some("lugs");
    let instrument = taking.name("instrument");
    let state = taking.state();
    let mut all = Vec::new();
    let mut behind = lugs;
    for (leg, volts, on, _) in VOLTS {
        let Some(value) = taking.may_number(volts, limits::VOLTS, "V") else { continue };
        let (from, to) = if lugs {
            (Place::Lug(panel.clone(), leg), Place::NeutralBar(panel.clone()))
        } else {
            let missing =
                format!("Choose the circuit of leg {leg} whose receptacle was used, or take the lugs.");
            let Some(slot) = taking.need::<Slot>(on, &missing) else { continue };
            (Place::Receptacle(slot.clone()), Place::NeutralWire(slot))
        };
        all.push((from, to, value));
    }
    if let Some(value) = taking.may_number("volts-AB", limits::VOLTS, "V") {
        behind = true;
        all.push((Place::Lug(panel.clone(), Leg::A), Place::Lug(panel.clone(), Leg::B), value));
    }
    if taking.text("volts").is_some() || taking.text("from").is_some() || taking.text("to").is_some() {
        let from = taking.need::<Place>("from", "Choose where the first probe was.");
        let to = taking.need::<Place>("to", "Choose where the second probe was.");
        let value = taking.number("volts", "Type the voltage as displayed.", limits::VOLTS, "V");
        if let (Some(from), Some(to), Some(value)) = (from, to, value) {
            if from == to {
                taking.wrong("to", "Both probes are at one place.");
            }
            let at_receptacle = |place: &Place| matches!(place, Place::Receptacle(_) | Place::NeutralWire(_));
            behind |= !(at_receptacle(&from) && at_receptacle(&to));
            all.push((from, to, value));
        }
    }
    if all.is_empty()
        && taking.text("volts").is_none()
        && VOLTS.iter().all(|(_, volts, ..)| taking.text(volts).is_none())
    {
        taking.wrong("volts-A", "Type at least one voltage.");
    }
    if behind {
        taking.needs_cover_off();
    }
    all.into_iter()
        .map(|(from, to, volts)| {
            let (instrument, state) = (instrument.clone(), state.clone());
            VoltageTaken { from: AsText(from), to: AsText(to), volts, instrument, state }.into()
        })
        .collect()
}

fn pairs(body: &Body) -> Pairs {
    let Body::Voltage(body) = body else { return Vec::new() };
    let of_leg = |leg: Leg| VOLTS.iter().find(|(one, ..)| *one == leg).map(|(_, volts, on, _)| (*volts, *on));
    let (from, to) = (&body.from.0, &body.to.0);
    let mut pairs = vec![pair("panel", from.panel())];
    match (from, to) {
        (Place::Lug(panel, leg), Place::NeutralBar(bar)) if panel == bar => {
            pairs.push(pair("where", "lugs"));
            pairs.extend(of_leg(*leg).map(|(volts, _)| pair(volts, body.volts)));
        }
        (Place::Lug(panel, Leg::A), Place::Lug(other, Leg::B)) if panel == other => {
            pairs.push(pair("where", "lugs"));
            pairs.push(pair("volts-AB", body.volts));
        }
        _ => {
            pairs.push(pair("from", from.write()));
            pairs.push(pair("to", to.write()));
            pairs.push(pair("volts", body.volts));
        }
    }
    pairs.extend(body.instrument.as_ref().map(|name| pair("instrument", name)));
    pairs.push(pair("state", &body.state));
    pairs
}
