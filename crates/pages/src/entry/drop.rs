//! A millivolt drop along a conductor path.

use super::ask::Ask;
use super::taking::Taking;
use super::voltage::places;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::breaker::Handle;
use model::place::Place;
use model::{Slot, Space};
use record::Body;
use record::fact::DropTaken;
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Millivolt drop",
    lede: "Millivolts lost along one conductor under load.",
    show,
    read,
    pairs,
    series: None,
};

/// A voltage tap on the bus for a pole: an unloaded breaker on the same leg of the same section, the nearest.
fn tap(ask: &Ask<'_>, slot: &Slot) -> Option<Place> {
    let installation = ask.installation()?;
    let panel = installation.panel(&slot.panel)?;
    let section = panel.section_of(slot.space)?;
    let state = ask.sheet.value("state", &ask.standing.state);
    let unloaded = ask.standing.states().into_iter().find(|held| held.name == state)?;
    let row = panel.row_of(slot.space);
    let mut taps: Vec<Space> = panel
        .breakers
        .iter()
        .filter(|breaker| breaker.handle == Handle::On)
        .flat_map(|breaker| breaker.spaces.iter().copied())
        .filter(|&space| {
            space != slot.space
                && panel.leg_of(space) == panel.leg_of(slot.space)
                && section.holds_row(panel.row_of(space))
                && unloaded.unloaded.iter().any(|free| free.0 == Slot::new(panel.id.clone(), space))
        })
        .collect();
    taps.sort_by_key(|&space| panel.row_of(space).abs_diff(row));
    taps.first().map(|&space| Place::Load(Slot::new(panel.id.clone(), space)))
}

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let slot = ask.query_slot();
    let to = slot.as_ref().map(|slot| Place::Load(slot.clone()).to_string()).unwrap_or_default();
    let from =
        slot.as_ref().and_then(|slot| tap(ask, slot)).map(|place| place.to_string()).unwrap_or_default();
    let last = ask.standing.instrument(|body| match body {
        Body::Drop(body) => body.instrument.as_deref(),
        _ => None,
    });
    html! {
        details.working {
            summary { "How: a tap on the bus" }
            p { "An unloaded breaker on the same leg carries no current, so its load terminal shows the voltage of the bus itself. \
                 From there to the load terminal of the loaded breaker the meter reads stab and pole of that breaker alone. Nothing \
                 is pulled and nothing is switched." }
        }
        (ask.behind("Probing", true, html! {
            div.caution { p { "Screw heads only. Both ends are live at line voltage to earth: leads and meter of category III or better." } }
            (ask.choose("from", "From, nearer the source", "", "Choose a place", places(ask), &from))
            (ask.choose("to", "To, nearer the load", "", "Choose a place", places(ask), &to))
            (sheet.number(&Keypad { name: "mv", label: "Drop", unit: "mV", hint: "Millivolts. A reading with the load off is subtracted first.", value: None, required: true }))
            (sheet.number(&Keypad { name: "amps", label: "Current at that moment", unit: "A", hint: "Clamped at the same time; without it the drop says little.", value: None, required: false }))
            (ask.state())
            (ask.instrument(last, ""))
            (moment(ask))
            (actions("Save drop"))
        }))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let from = taking.need::<Place>("from", "Choose where the first probe was.");
    let to = taking.need::<Place>("to", "Choose where the second probe was.");
    let mv = taking.number("mv", "Type the drop as displayed, in millivolts.", limits::DROP_MV, "mV");
    let amps = taking.may_number("amps", limits::AMPS, "A");
    let instrument = taking.name("instrument");
    let state = taking.state();
    if from.is_some() && from == to {
        taking.wrong("to", "Both probes are at one place.");
    }
    for (field, place) in [("from", &from), ("to", &to)] {
        if matches!(place, Some(Place::Face(_) | Place::Cover(_))) {
            taking.wrong(field, "A probe finds no metal there: take a terminal, a lug or a bar.");
        }
    }
    taking.needs_cover_off();
    let (Some(from), Some(to), Some(mv)) = (from, to, mv) else { return Vec::new() };
    taking.about = to.slot().cloned();
    vec![DropTaken { from: AsText(from), to: AsText(to), mv, amps, instrument, state }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Drop(body) = body else { return Vec::new() };
    let mut pairs =
        vec![pair("from", body.from.0.write()), pair("to", body.to.0.write()), pair("mv", body.mv)];
    pairs.extend(body.amps.map(|amps| pair("amps", amps)));
    pairs.extend(body.instrument.as_ref().map(|name| pair("instrument", name)));
    pairs.push(pair("state", &body.state));
    pairs
}
