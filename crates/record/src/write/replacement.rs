//! What was prepared for the replacement, as tables and as facts.

use super::Context;
use super::entry::{Entry, quote};
use super::equipment::{cabinet, conductor, half_width, space};
use super::from_job;
use crate::fact::{Body, CircuitSurveyed, Fact, LayoutChosen, SeatChosen, SpacesHeld, SurpriseAnswered};
use crate::text::{AsText, Textual};
use model::replacement::{Arrangement, Seated, SurpriseAnswer, SurveyedCircuit};
use model::{Leg, Space};

/// A fact of the replacement as an entry; nothing for other facts.
pub(super) fn entry(cx: &Context<'_>, fact: &Fact) -> String {
    let start = |heading| cx.entry(heading, fact, cx.start, "id");
    match &fact.body {
        Body::Circuit(body) => circuit(start("[[circuit]]"), body).finish(),
        Body::Surprise(body) => surprise(start("[[surprise]]"), body).finish(),
        Body::Arrangement(body) => {
            let (entry, inner) = arrangement(start("[[arrangement]]"), body);
            inner.into_iter().fold(entry.finish(), |out, part| out + &part.finish())
        }
        _ => String::new(),
    }
}

fn circuit(mut entry: Entry, body: &CircuitSurveyed) -> Entry {
    entry.thing("space", &body.slot.0);
    entry.words("name", &body.name);
    if let Some(poles) = body.poles {
        entry.raw("poles", &poles.to_string());
    }
    entry.maybe_number("rating_a", body.rating_a);
    entry.words("feeds", &body.feeds);
    entry.words("room", &body.room);
    entry.maybe_thing("class", body.class.as_ref().map(|class| &class.0));
    entry.braces("conductor", &conductor(&body.conductor));
    entry.maybe_flag("multiwire", body.multiwire);
    if let Some(partner) = &body.partner {
        entry.raw("partner", &space(partner.0));
    }
    entry.maybe_flag("uses_neutral", body.uses_neutral);
    entry.maybe_flag("grounded", body.grounded);
    entry.maybe_thing("protection", body.protection.as_ref().map(|one| &one.0));
    entry.maybe_thing("protection_after", body.protection_after.as_ref().map(|one| &one.0));
    entry.maybe_flag("continuous", body.continuous);
    entry.maybe_flag("motor", body.motor);
    entry.words("together", &body.together);
    entry.words("words", &body.words);
    entry
}

fn surprise(mut entry: Entry, body: &SurpriseAnswered) -> Entry {
    entry.text("question", &body.question);
    entry.thing("answer", &body.answer.0);
    entry.maybe_thing("space", body.slot.as_ref().map(|slot| &slot.0));
    entry.maybe_thing("carry", body.carry.as_ref().map(|carry| &carry.0));
    entry.maybe_number("hours", body.hours);
    if let Some(usd) = body.cost_usd {
        entry.raw("cost_usd", &usd.to_string());
    }
    entry.maybe_flag("charged", body.charged);
    entry.words("words", &body.words);
    entry
}

fn list(spaces: &[AsText<Space>]) -> String {
    let all: Vec<String> = spaces.iter().map(|one| space(one.0)).collect();
    format!("[{}]", all.join(", "))
}

fn arrangement(mut entry: Entry, body: &LayoutChosen) -> (Entry, Vec<Entry>) {
    entry.text("panel", body.panel.0.as_str());
    entry.raw("spaces", &body.spaces.to_string());
    if body.columns != 2 {
        entry.raw("columns", &body.columns.to_string());
    }
    entry.unless("first_leg", &body.first_leg.0, &Leg::A);
    entry.maybe_thing("fed_at", body.fed_at.as_ref().map(|end| &end.0));
    if let Some(where_to) = &body.half_width {
        entry.raw("half_width", &half_width(where_to));
    }
    entry.maybe_number("bus_rating_a", body.bus_rating_a);
    entry.maybe_number("main_a", body.main_a);
    entry.maybe_number("stab_limit_a", body.stab_limit_a);
    entry.braces("cabinet", &cabinet(&body.cabinet));
    entry.words("aim", &body.aim);
    entry.words("words", &body.words);
    if body.seats.is_empty() {
        entry.raw("seat", "[]");
    }
    let seats = body.seats.iter().map(|seat| {
        let mut part = Entry::new("[[arrangement.seat]]");
        part.maybe_thing("circuit", seat.circuit.as_ref().map(|slot| &slot.0));
        part.maybe_text("new", seat.new.as_deref());
        part.raw("to", &list(&seat.to));
        part.maybe_flag("locked", seat.locked.then_some(true));
        part
    });
    let held = body.held.iter().map(|held| {
        let mut part = Entry::new("[[arrangement.held]]");
        part.raw("spaces", &list(&held.spaces));
        part.raw("for", &quote(&held.held_for.0.write()));
        part
    });
    let inner = seats.chain(held).collect();
    (entry, inner)
}

/// A chosen layout as an entry to be added to a job file.
pub fn arrangement_entry(body: &LayoutChosen) -> String {
    let (entry, inner) = arrangement(Entry::new("[[arrangement]]"), body);
    inner.into_iter().fold(entry.finish(), |out, part| out + &part.finish())
}

/// The fact of a surveyed circuit.
pub(super) fn of_circuit(from: &SurveyedCircuit) -> CircuitSurveyed {
    CircuitSurveyed {
        slot: AsText(from.slot.clone()),
        name: from.name.clone(),
        poles: from.poles,
        rating_a: from.rating.map(|rating| rating.a()),
        feeds: from.feeds.clone(),
        room: from.room.clone(),
        class: from.class.map(AsText),
        conductor: from_job::conductor(&from.conductor),
        multiwire: from.multiwire,
        partner: from.partner.map(AsText),
        uses_neutral: from.uses_neutral,
        grounded: from.grounded,
        protection: from.protection.map(AsText),
        protection_after: from.protection_after.map(AsText),
        continuous: from.continuous,
        motor: from.motor,
        together: from.together.clone(),
        words: from.words.clone(),
    }
}

/// The fact of an answer.
pub(super) fn of_surprise(from: &SurpriseAnswer) -> SurpriseAnswered {
    SurpriseAnswered {
        question: from.question.clone(),
        answer: AsText(from.found),
        slot: from.slot.clone().map(AsText),
        carry: from.carry.map(AsText),
        hours: from.cost.hours,
        cost_usd: from.cost.usd,
        charged: from.cost.charged,
        words: from.words.clone(),
    }
}

/// The fact of a chosen layout.
pub(super) fn of_arrangement(from: &Arrangement) -> LayoutChosen {
    let new = &from.new;
    let seats = from.seats.iter().map(|seat| {
        let (circuit, name) = match &seat.what {
            Seated::Circuit(slot) => (Some(AsText(slot.clone())), None),
            Seated::New(name) => (None, Some(name.clone())),
        };
        let to = seat.spaces.iter().copied().map(AsText).collect();
        SeatChosen { circuit, new: name, to, locked: seat.locked }
    });
    let held = from.held.iter().map(|held| SpacesHeld {
        spaces: held.spaces.iter().copied().map(AsText).collect(),
        held_for: AsText(held.held_for),
    });
    LayoutChosen {
        panel: AsText(from.panel.clone()),
        spaces: new.n_spaces,
        columns: new.n_columns,
        first_leg: AsText(new.first_leg),
        fed_at: new.fed_at.map(AsText),
        half_width: from_job::half_width(&new.half_width),
        bus_rating_a: new.bus_rating.map(|rating| rating.a()),
        main_a: new.main.map(|rating| rating.a()),
        stab_limit_a: new.stab_limit.map(|limit| limit.a()),
        cabinet: from_job::cabinet(&new.cabinet),
        seats: seats.collect(),
        held: held.collect(),
        aim: from.aim.clone(),
        words: from.words.clone(),
    }
}
