//! A millivolt drop along a conductor path.

use super::ask::{Ask, Groups};
use super::standing::Series;
use super::taking::Taking;
use super::voltage::places;
use super::words::{enter, installation, place_words};
use super::{Form, Pairs, about, moment, pair, series_actions};
use crate::form::Keypad;
use crate::route::EntryKind;
use maud::{Markup, html};
use model::breaker::Handle;
use model::installation::Installation;
use model::place::Place;
use model::{Leg, Slot};
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
    series: Some(Series::Drops),
};

/// A drop further below zero than this is no rest of a subtraction, mV.
const BELOW_ZERO_MV: f64 = -5.0;

/// Voltage taps on the bus for a pole: breakers that are on and carry nothing, on the same leg of the same section, the
/// nearest first. One that is off shows nothing of the bus.
fn taps(ask: &Ask<'_>, slot: &Slot) -> Vec<Place> {
    let panel = ask.installation().and_then(|installation| installation.panel(&slot.panel));
    let Some((panel, section)) = panel.and_then(|panel| Some((panel, panel.section_of(slot.space)?))) else {
        return Vec::new();
    };
    let state = ask.sheet.value("state", &ask.standing.state);
    let row = panel.row_of(slot.space);
    let on = panel.breakers.iter().filter(|breaker| breaker.handle == Handle::On);
    let mut taps: Vec<Slot> = on
        .flat_map(|breaker| breaker.spaces.iter().map(|&space| Slot::new(panel.id.clone(), space)))
        .filter(|tap| {
            tap != slot
                && panel.leg_of(tap.space) == panel.leg_of(slot.space)
                && section.holds_row(panel.row_of(tap.space))
                && ask.standing.is_idle(panel, tap, &state)
        })
        .collect();
    taps.sort_by_key(|tap| panel.row_of(tap.space).abs_diff(row));
    taps.into_iter().map(Place::Load).collect()
}

/// On which conductor a place is: a leg of its panel, or the neutral. Nothing where that cannot be told.
fn conductor(installation: Option<&Installation>, place: &Place) -> Option<Option<Leg>> {
    match place {
        Place::Lug(_, leg) | Place::Line(_, leg) => Some(Some(*leg)),
        Place::Load(slot) | Place::Wire(slot) => {
            let panel = installation?.panel(&slot.panel).filter(|panel| panel.has_space(slot.space))?;
            Some(Some(panel.leg_of(slot.space)))
        }
        Place::NeutralLug(_) | Place::NeutralLine(_) | Place::NeutralBar(_) | Place::NeutralWire(_) => {
            Some(None)
        }
        Place::Face(_) | Place::Cover(_) | Place::Receptacle(_) | Place::Earth(_) => None,
    }
}

/// The places offered for a pole: taps on the bus first, then what else is on its leg. All of them where no pole is meant.
fn offered(ask: &Ask<'_>, slot: Option<&Slot>, taps: &[Place]) -> Groups {
    let mut groups = places(ask);
    let Some(slot) = slot else { return groups };
    let installation = ask.installation();
    let leg = conductor(installation, &Place::Load(slot.clone()));
    let read = |text: &str| super::words::read_place(ask.view, text);
    for (_, all) in &mut groups {
        all.retain(|(text, _)| {
            read(text).is_some_and(|place| {
                place.panel() == &slot.panel
                    && conductor(installation, &place) == leg
                    && !taps.contains(&place)
            })
        });
    }
    let taps = taps.iter().map(|tap| ask.place_choice(tap)).collect();
    groups.insert(0, ("Carries nothing: a tap on the bus".to_owned(), taps));
    groups
}

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let slot = ask.query_slot();
    let taps = slot.as_ref().map(|slot| taps(ask, slot)).unwrap_or_default();
    let state = sheet.value("state", &ask.standing.state);
    let clamped = slot.as_ref().and_then(|slot| ask.standing.clamped(slot, &state));
    let current = match clamped {
        Some(amps) => {
            format!("As clamped with this load state: {amps} A. Type it anew where it has changed.")
        }
        None => "Clamped at the same time; without it the drop says little.".to_owned(),
    };
    let to = slot.as_ref().map(|slot| Place::Load(slot.clone()).to_string()).unwrap_or_default();
    let from = taps.first().map(ToString::to_string).unwrap_or_default();
    let named = [ask.place("from"), ask.place("to")].into_iter().flatten().any(|place| {
        slot.as_ref().is_none_or(|slot| {
            conductor(ask.installation(), &place) != conductor(ask.installation(), &Place::Load(slot.clone()))
        })
    });
    let of = slot.as_ref().filter(|_| !named);
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
        (about(ask))
        (ask.behind("Probing", true, html! {
            div.caution { p { "Screw heads only. Both ends are live at line voltage to earth: leads and meter of category III or better." } }
            (ask.choose("from", "From, nearer the source", "", "Choose a place", offered(ask, of, &taps), &from))
            (ask.choose("to", "To, nearer the load", "", "Choose a place", offered(ask, of, &taps), &to))
            @if of.is_some() { p.aside { a href=(enter(ask.view, EntryKind::Drop, &[("state", &state)])) { "Other legs, neutral, other panels" } } }
            (sheet.number(&Keypad { name: "mv", label: "Drop", unit: "mV", hint: "Millivolts. A reading with the load off is subtracted first.", value: None, required: true }))
            (sheet.number(&Keypad { name: "amps", label: "Current at that moment", unit: "A", hint: &current, value: clamped, required: false }))
            (ask.state())
            (ask.instrument(last, ""))
            (moment(ask))
            (series_actions("Save drop"))
        }))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let from = taking.need::<Place>("from", "Choose where the first probe was.");
    let to = taking.need::<Place>("to", "Choose where the second probe was.");
    let mv = drop_mv(taking);
    let amps = taking.may_number("amps", limits::AMPS, "A");
    let instrument = taking.name("instrument");
    let state = taking.state();
    if from.is_some() && from == to {
        taking.wrong("to", "Both probes are at one place.");
    }
    across(taking, from.as_ref(), to.as_ref());
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

/// The drop; below zero the probes are the other way round.
fn drop_mv(taking: &mut Taking<'_>) -> Option<f64> {
    let all = (-limits::DROP_MV.1, limits::DROP_MV.1);
    let mv = taking.number("mv", "Type the drop as displayed, in millivolts.", all, "mV")?;
    if mv < BELOW_ZERO_MV {
        taking.wrong(
            "mv",
            format!(
                "{mv} mV is below zero: the probes are the other way round. Swap them, or leave out the sign."
            ),
        );
        return None;
    }
    Some(mv)
}

/// Between two conductors a meter shows the supply, not a drop.
fn across(taking: &mut Taking<'_>, from: Option<&Place>, to: Option<&Place>) {
    let (Some(from), Some(to)) = (from, to) else { return };
    if from.panel() != to.panel() {
        return;
    }
    let installation = installation(taking.view);
    let (Some(one), Some(other)) = (conductor(installation, from), conductor(installation, to)) else {
        return;
    };
    if one == other {
        return;
    }
    let word = |of: Option<Leg>| of.map_or_else(|| "the neutral".to_owned(), |leg| format!("leg {leg}"));
    let said = |place: &Place, of| format!("{} is on {}", place_words(installation, place), word(of));
    let message = format!(
        "{}, {}: between them a meter shows the supply, not a drop. Choose two places on one leg, or on the neutral.",
        study::words::capital(&said(from, one)),
        said(to, other)
    );
    taking.wrong("to", message);
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
