//! Surveyed circuits and chosen layouts: each circuit once, each pole in a space of its own and on a leg of its own.

use super::{Finding, Site, Spot};
use crate::fact::{Body, CircuitSurveyed, Fact, LayoutChosen, SeatChosen};
use crate::fold::new_panel;
use crate::limits;
use model::panel::{Bus, Panel};
use model::{Slot, Space};

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
        match &fact.body {
            Body::Circuit(body) => circuit(site, fact, body, findings),
            Body::Surprise(body) => {
                if let Some(slot) = &body.slot {
                    site.known_pole(&slot.0, &Spot::field(fact.id(), ("place", 0)), findings);
                }
                if let Some(hours) = body.hours {
                    super::install::ranged(fact, "hours", hours, limits::SURPRISE_H, "h", findings);
                }
            }
            Body::Arrangement(body) => arrangement(site, fact, body, findings),
            _ => {}
        }
    }
}

fn circuit(site: &Site<'_>, fact: &Fact, body: &CircuitSurveyed, findings: &mut Vec<Finding>) {
    let spot = |field| Spot::field(fact.id(), (field, 0));
    site.known_pole(&body.slot.0, &spot("place"), findings);
    if body.poles.is_some_and(|poles| poles == 0 || 3 < poles) {
        findings.push(Finding::error(
            "pole-count",
            spot("poles"),
            format!("a circuit with {} poles", body.poles.unwrap_or_default()),
            "a circuit has one, two or three poles",
        ));
    }
    let Some(partner) = &body.partner else { return };
    if body.multiwire == Some(false) {
        findings.push(Finding::error(
            "key-does-not-fit",
            spot("partner"),
            "a circuit that is no multiwire circuit has no partner",
            "leave out `partner`, or write `multiwire = true`",
        ));
        return;
    }
    if partner.0 == body.slot.0.space {
        findings.push(Finding::error(
            "partner-is-itself",
            spot("partner"),
            format!("the circuit in space {} is named as its own partner", partner.0),
            "name the space of the pole that shares its neutral",
        ));
        return;
    }
    let other = Slot::new(body.slot.0.panel.clone(), partner.0);
    site.known_pole(&other, &spot("partner"), findings);
}

/// The new panel as far as spaces and legs go.
fn board(old: &Panel, body: &LayoutChosen) -> Panel {
    let new = new_panel(body);
    Panel {
        n_spaces: new.n_spaces,
        n_columns: new.n_columns,
        first_leg: new.first_leg,
        half_width: new.half_width,
        bus: Bus::default(),
        sections: Vec::new(),
        breakers: Vec::new(),
        ..old.clone()
    }
}

fn arrangement(site: &Site<'_>, fact: &Fact, body: &LayoutChosen, findings: &mut Vec<Finding>) {
    let Some(old) = site.known_panel(&body.panel.0, &Spot::field(fact.id(), ("panel", 0)), findings) else {
        return;
    };
    let new = board(old, body);
    let mut taken: Vec<Space> = Vec::new();
    for (idx, seat) in body.seats.iter().enumerate() {
        let at = Spot::field(fact.id(), ("seat", idx));
        if let Some(slot) = &seat.circuit {
            site.known_pole(&slot.0, &at, findings);
        }
        let same = |other: &&SeatChosen| other.circuit == seat.circuit && other.new == seat.new;
        if body.seats[..idx].iter().any(|other| same(&other)) {
            findings.push(Finding::error(
                "seated-twice",
                at.clone(),
                format!("{} has a place already", named(seat)),
                "give each circuit one place",
            ));
        }
        let spaces: Vec<Space> = seat.to.iter().map(|space| space.0).collect();
        if let Some(n_poles) = seat.circuit.as_ref().and_then(|slot| poles_of(site, old, &slot.0))
            && n_poles < spaces.len()
        {
            findings.push(Finding::error(
                "seat-poles",
                at.clone(),
                format!("{} is given {} spaces, more than its poles: {n_poles}", named(seat), spaces.len()),
                "give each pole one space; the partner of a multiwire circuit has a seat of its own",
            ));
        }
        poles(&new, &spaces, &at, findings);
        occupy(&new, &spaces, &at, &mut taken, findings);
        if let Some(other) = partner_on_leg(site, old, &new, body, idx) {
            findings.push(Finding::warning(
                "partner-same-leg",
                at,
                format!("{} and its partner in space {other} would sit on one leg of the new panel", named(seat)),
                "partners of a multiwire circuit stand one below the other: else their neutral carries the sum",
            ));
        }
    }
    for (idx, held) in body.held.iter().enumerate() {
        let spaces: Vec<Space> = held.spaces.iter().map(|space| space.0).collect();
        occupy(&new, &spaces, &Spot::field(fact.id(), ("held", idx)), &mut taken, findings);
    }
}

/// Poles of a circuit as surveyed, else of its breaker; `None` where no breaker is known there.
fn poles_of(site: &Site<'_>, old: &Panel, slot: &Slot) -> Option<usize> {
    if slot.panel != old.id {
        return None;
    }
    let surveyed = site.live.facts.iter().rev().find_map(|fact| match &fact.body {
        Body::Circuit(circuit) if circuit.slot.0 == *slot => circuit.poles.map(usize::from),
        _ => None,
    });
    surveyed.or_else(|| old.breaker_at(slot.space).map(|breaker| breaker.spaces.len()))
}

/// The old space of the partner, where the layout puts both on one leg. Told at the later of the two.
fn partner_on_leg(
    site: &Site<'_>,
    old: &Panel,
    new: &Panel,
    body: &LayoutChosen,
    idx: usize,
) -> Option<Space> {
    let mine = &body.seats[idx];
    let slot = &mine.circuit.as_ref()?.0;
    let surveyed = site.live.facts.iter().rev().find_map(|fact| match &fact.body {
        Body::Circuit(circuit) if circuit.slot.0 == *slot => circuit.partner.map(|space| space.0),
        _ => None,
    });
    let drawn = || old.breaker_at(slot.space)?.circuit.as_ref()?.partner;
    let partner = surveyed.or_else(drawn)?;
    let other = body.seats[..idx].iter().find(|seat| {
        seat.circuit.as_ref().is_some_and(|of| of.0.panel == slot.panel && of.0.space == partner)
    })?;
    let legs = (new.leg_of(mine.to.first()?.0), new.leg_of(other.to.first()?.0));
    (legs.0 == legs.1).then_some(partner)
}

fn named(seat: &SeatChosen) -> String {
    match (&seat.circuit, &seat.new) {
        (Some(slot), _) => format!("the circuit in space {}", slot.0.space),
        (None, Some(name)) => format!("the new circuit `{name}`"),
        (None, None) => "a place without a circuit".to_owned(),
    }
}

/// Spaces that the new panel has, and that nobody else takes.
fn occupy(new: &Panel, spaces: &[Space], at: &Spot, taken: &mut Vec<Space>, findings: &mut Vec<Finding>) {
    for &space in spaces {
        if !new.has_space(space) {
            findings.push(Finding::error(
                "unknown-space",
                at.clone(),
                format!("the new panel has no space {space}"),
                format!("it has spaces 1 to {}", new.n_spaces),
            ));
        } else if space.half.is_some() && !new.half_width.allows(space.number) {
            findings.push(Finding::error(
                "half-width-not-allowed",
                at.clone(),
                format!(
                    "space {space} is half of a space, and the new panel allows no half-width breaker there"
                ),
                "if its label allows it, say so at the layout: `half_width`",
            ));
        } else if taken.iter().any(|other| other.overlaps(space)) {
            findings.push(Finding::error(
                "space-taken",
                at.clone(),
                format!("space {space} of the new panel is taken already"),
                "give each pole a space of its own",
            ));
        }
        taken.push(space);
    }
}

/// Poles of one breaker follow each other down one column, each on a leg of its own.
fn poles(new: &Panel, spaces: &[Space], at: &Spot, findings: &mut Vec<Finding>) {
    if spaces.is_empty() || 3 < spaces.len() {
        findings.push(Finding::error(
            "pole-count",
            at.clone(),
            format!("a place of {} spaces", spaces.len()),
            "a breaker has one, two or three poles, each in a space",
        ));
        return;
    }
    let legs = |pair: &[Space]| new.leg_of(pair[0]) == new.leg_of(pair[1]);
    if spaces.windows(2).any(legs) {
        findings.push(Finding::error(
            "same-leg",
            at.clone(),
            format!("spaces {} and {} are on one leg of the new panel", spaces[0], spaces[1]),
            "poles of one breaker stand one below the other",
        ));
        return;
    }
    let mut in_order = spaces.to_vec();
    in_order.sort_by_key(|space| (new.row_of(*space), space.half));
    let follow = in_order.windows(2).all(|pair| {
        new.column_of(pair[0]) == new.column_of(pair[1]) && new.row_of(pair[0]) + 1 == new.row_of(pair[1])
    });
    if !follow {
        let names: Vec<String> = spaces.iter().map(ToString::to_string).collect();
        findings.push(Finding::error(
            "poles-not-adjacent",
            at.clone(),
            format!("spaces {} do not follow each other down one column of the new panel", names.join(", ")),
            "poles of one breaker stand one below the other",
        ));
    }
}
