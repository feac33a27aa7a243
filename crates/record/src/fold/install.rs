//! Facts of the new panel into the model.

use crate::fact::{Body, Fact, TorqueFrom};
use model::install::{
    Card, Energised, Install, Installed, NeutralRead, Permit, TorqueSource, Torqued, Tried, Verified,
};
use model::isolation::PairReading;
use model::{Current, Voltage};

/// Adds a fact of the new panel; other facts add nothing.
pub(super) fn add(install: &mut Install, fact: &Fact) {
    let (id, at, by) = (fact.id().clone(), fact.at, fact.by.clone());
    match &fact.body {
        Body::Permit(body) => install.permits.push(Permit {
            fact: id,
            at,
            number: body.number.clone(),
            rating: body.rating_a.map(Current::from_a),
            n_spaces: body.spaces,
            circuits: body
                .circuits
                .iter()
                .map(|one| (vec![one.space.0], Current::from_a(one.amps)))
                .collect(),
            passed: body.passed,
            failed: body.failed,
            flagged: body.flagged.iter().map(|one| one.0).collect(),
            words: body.words.clone(),
        }),
        Body::Installed(body) => install.installed.push(Installed {
            fact: id,
            at,
            by,
            spaces: body.spaces.iter().map(|space| space.0).collect(),
            rating: Current::from_a(body.rating_a),
            protection: body.protection.0,
            from: body.from.iter().map(|slot| slot.0.clone()).collect(),
            size: body.size.map(|size| size.0),
            spliced: body.spliced,
            words: body.words.clone(),
        }),
        Body::Torqued(body) => install.torqued.push(Torqued {
            fact: id,
            at,
            by,
            terminal: body.terminal.0,
            value: body.value.quantity(),
            source: match &body.source {
                TorqueFrom::Label(hash) => TorqueSource::Label(hash.clone()),
                TorqueFrom::Sheet(words) => TorqueSource::Sheet(words.clone()),
            },
            tool: body.tool.clone(),
            calibrated: body.calibrated,
            due: body.due,
        }),
        Body::Energised(body) => install.energised.push(Energised {
            fact: id,
            at,
            by,
            stage: body.stage.0,
            spaces: body.spaces.iter().map(|space| space.0).collect(),
            readings: body
                .readings
                .iter()
                .map(|read| PairReading { pair: read.pair.0, value: Voltage::from_v(read.volts) })
                .collect(),
            legs: body.legs.iter().map(|read| (read.leg.0, Current::from_a(read.amps))).collect(),
            meter: body.meter.clone(),
        }),
        Body::Verified(body) => install.verified.push(Verified {
            fact: id,
            at,
            by,
            terminal: body.terminal.0,
            value: body.value.quantity(),
            room: body.room.map(|room| room.quantity()),
            current: body.amps.map(Current::from_a),
            held_min: body.held_min,
            surface: body.surface.0,
            method: body.method.0,
            instrument: body.instrument.clone(),
        }),
        Body::SharedNeutral(body) => install.neutrals.push(NeutralRead {
            fact: id,
            at,
            by,
            spaces: body.spaces.map(|space| space.0),
            hots: body.hots.map(Current::from_a),
            neutral: Current::from_a(body.neutral),
            between: body.between.map(Voltage::from_v),
        }),
        Body::Tried(body) => install.tried.push(Tried {
            fact: id,
            at,
            by,
            space: body.space.0,
            how: body.how.0,
            passed: body.passed,
            words: body.words.clone(),
        }),
        Body::Card(body) => install.cards.push(Card {
            fact: id,
            at,
            width: body.width.map(|side| side.quantity()),
            height: body.height.map(|side| side.quantity()),
            lines: body.lines.iter().map(|line| (line.space.0, line.words.clone())).collect(),
        }),
        _ => {}
    }
}
