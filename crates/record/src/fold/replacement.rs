//! What was prepared for the replacement, into the model.

use super::equipment::{cabinet, conductor, half_width};
use crate::fact::{Body, CircuitSurveyed, Fact, LayoutChosen, SurpriseAnswered};
use model::Current;
use model::panel::Panel;
use model::replacement::{
    ArrangedSeat, Arrangement, HeldSpaces, NewPanel, Replacement, Seated, SurpriseAnswer, SurpriseCost,
    SurveyedCircuit,
};

/// Adds a fact of the replacement; other facts add nothing.
pub(super) fn add(to: &mut Replacement, fact: &Fact) {
    match &fact.body {
        Body::Circuit(body) => to.circuits.push(circuit(fact, body)),
        Body::Surprise(body) => to.surprises.push(surprise(fact, body)),
        Body::Arrangement(body) => to.arrangements.push(arrangement(fact, body)),
        _ => {}
    }
}

/// A partner that the survey found is one for the isolation and for moves, too, where none was drawn.
pub(super) fn share_neutral(panel: &mut Panel, body: &CircuitSurveyed) {
    let Some(partner) = body.partner.map(|partner| partner.0) else { return };
    if panel.breaker_at(partner).is_none() || body.multiwire == Some(false) {
        return;
    }
    for (mine, other) in [(body.slot.0.space, partner), (partner, body.slot.0.space)] {
        let breaker = panel.breakers.iter_mut().find(|breaker| breaker.spaces.contains(&mine));
        if let Some(circuit) = breaker.and_then(|breaker| breaker.circuit.as_mut()) {
            circuit.partner = circuit.partner.or(Some(other));
        }
    }
}

fn circuit(fact: &Fact, body: &CircuitSurveyed) -> SurveyedCircuit {
    SurveyedCircuit {
        fact: fact.id().clone(),
        at: fact.at,
        by: fact.by.clone(),
        slot: body.slot.0.clone(),
        name: body.name.clone(),
        poles: body.poles,
        rating: body.rating_a.map(Current::from_a),
        feeds: body.feeds.clone(),
        room: body.room.clone(),
        class: body.class.map(|class| class.0),
        conductor: conductor(&body.conductor),
        multiwire: body.multiwire,
        partner: body.partner.map(|partner| partner.0),
        uses_neutral: body.uses_neutral,
        grounded: body.grounded,
        protection: body.protection.map(|protection| protection.0),
        protection_after: body.protection_after.map(|protection| protection.0),
        continuous: body.continuous,
        motor: body.motor,
        together: body.together.clone(),
        words: body.words.clone(),
    }
}

fn surprise(fact: &Fact, body: &SurpriseAnswered) -> SurpriseAnswer {
    SurpriseAnswer {
        fact: fact.id().clone(),
        at: fact.at,
        by: fact.by.clone(),
        question: body.question.clone(),
        slot: body.slot.as_ref().map(|slot| slot.0.clone()),
        found: body.answer.0,
        carry: body.carry.map(|carry| carry.0),
        cost: SurpriseCost { hours: body.hours, usd: body.cost_usd, charged: body.charged },
        words: body.words.clone(),
    }
}

/// The new panel of a chosen layout.
pub(crate) fn new_panel(body: &LayoutChosen) -> NewPanel {
    NewPanel {
        n_spaces: body.spaces,
        n_columns: body.columns,
        first_leg: body.first_leg.0,
        fed_at: body.fed_at.map(|end| end.0),
        half_width: half_width(body.half_width.as_ref()),
        bus_rating: body.bus_rating_a.map(Current::from_a),
        main: body.main_a.map(Current::from_a),
        stab_limit: body.stab_limit_a.map(Current::from_a),
        cabinet: cabinet(&body.cabinet),
    }
}

fn arrangement(fact: &Fact, body: &LayoutChosen) -> Arrangement {
    let seats = body.seats.iter().filter_map(|seat| {
        let what = match (&seat.circuit, &seat.new) {
            (Some(slot), _) => Seated::Circuit(slot.0.clone()),
            (None, Some(name)) => Seated::New(name.clone()),
            (None, None) => return None,
        };
        Some(ArrangedSeat {
            what,
            spaces: seat.to.iter().map(|space| space.0).collect(),
            locked: seat.locked,
        })
    });
    let held = body.held.iter().map(|held| HeldSpaces {
        spaces: held.spaces.iter().map(|space| space.0).collect(),
        held_for: held.held_for.0,
    });
    Arrangement {
        fact: fact.id().clone(),
        at: fact.at,
        by: fact.by.clone(),
        panel: body.panel.0.clone(),
        new: new_panel(body),
        seats: seats.collect(),
        held: held.collect(),
        aim: body.aim.clone(),
        words: body.words.clone(),
    }
}
