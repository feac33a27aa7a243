//! The new panel: spaces once, values with their source and their tool, steps that say what was switched on.

use super::quantity::number;
use super::{Finding, Site, Spot, said};
use crate::fact::{
    Body, BreakerInstalled, CardHung, Fact, NeutralClamped, PermitFiled, StageReached, TerminalTorqued,
    TerminalVerified, TorqueAs, TorqueFrom,
};
use crate::limits::{self, Plausible};
use crate::text::Textual;
use model::Space;
use model::evidence::{Surface, TemperatureMethod};
use model::install::Stage;
use std::collections::BTreeSet;

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
        match &fact.body {
            Body::Permit(body) => permit(fact, body, findings),
            Body::Installed(body) => installed(site, fact, body, findings),
            Body::Torqued(body) => torqued(fact, body, findings),
            Body::Energised(body) => energised(fact, body, findings),
            Body::Verified(body) => verified(fact, body, findings),
            Body::SharedNeutral(body) => shared(fact, body, findings),
            Body::Card(body) => card(fact, body, findings),
            _ => {}
        }
    }
}

pub(super) fn ranged(
    fact: &Fact,
    field: &'static str,
    value: f64,
    range: Plausible,
    unit: &str,
    findings: &mut Vec<Finding>,
) {
    let spot = Spot::field(fact.id(), (field, 0));
    let hint = format!("from {} to {} {unit}; is it the right unit?", range.0, range.1);
    number(value, range, unit, "the value", spot, &hint, findings);
}

fn known_spaces(fact: &Fact, spaces: impl Iterator<Item = Space>, findings: &mut Vec<Finding>) {
    let mut seen: Vec<Space> = Vec::new();
    for (idx, space) in spaces.enumerate() {
        let spot = Spot::field(fact.id(), ("spaces", idx + 1));
        if limits::SPACES_MAX < space.number {
            findings.push(Finding::error(
                "unknown-space",
                spot,
                format!("no panel has a space {space}"),
                format!("spaces of the new panel, 1 to {}", limits::SPACES_MAX),
            ));
        } else if seen.iter().any(|other| other.overlaps(space)) {
            findings.push(Finding::error(
                "space-twice",
                spot,
                format!("space {space} of the new panel stands twice in one entry"),
                "each pole has a space of its own",
            ));
        }
        seen.push(space);
    }
}

fn permit(fact: &Fact, body: &PermitFiled, findings: &mut Vec<Finding>) {
    said(fact, "number", &body.number, "the number of the permit", findings);
    if let Some(amps) = body.rating_a {
        ranged(fact, "rating_a", amps, limits::BUS_RATING_A, "A", findings);
    }
    for one in &body.circuits {
        ranged(fact, "circuits", one.amps, limits::RATING_A, "A", findings);
    }
    known_spaces(fact, body.circuits.iter().map(|one| one.space.0), findings);
}

fn installed(site: &Site<'_>, fact: &Fact, body: &BreakerInstalled, findings: &mut Vec<Finding>) {
    if body.spaces.is_empty() {
        said(fact, "spaces", "", "into which spaces the breaker went", findings);
    }
    known_spaces(fact, body.spaces.iter().map(|space| space.0), findings);
    ranged(fact, "rating_a", body.rating_a, limits::RATING_A, "A", findings);
    for (idx, slot) in body.from.iter().enumerate() {
        site.known_pole(&slot.0, &Spot::field(fact.id(), ("from", idx + 1)), findings);
    }
}

fn torqued(fact: &Fact, body: &TerminalTorqued, findings: &mut Vec<Finding>) {
    let (range, unit) = match body.value {
        TorqueAs::LbIn(_) => (limits::TORQUE_LB_IN, "lb-in"),
        TorqueAs::LbFt(_) => (limits::TORQUE_LB_FT, "lb-ft"),
        TorqueAs::Nm(_) => (limits::TORQUE_NM, "N·m"),
    };
    ranged(fact, "value", body.value.number(), range, unit, findings);
    let source = match &body.source {
        TorqueFrom::Label(words) | TorqueFrom::Sheet(words) => words,
    };
    said(
        fact,
        "source",
        source,
        "where the value comes from: the label's photo or the maker's sheet",
        findings,
    );
    said(fact, "tool", &body.tool, "which tool was used", findings);
    let day = fact.at.date();
    if day < body.calibrated {
        findings.push(Finding::error(
            "calibrated-later",
            Spot::field(fact.id(), ("calibrated", 0)),
            format!("the tool was calibrated on {} and used on {day}", body.calibrated),
            "the calibration before the work counts",
        ));
    }
    if body.due.is_some_and(|due| due < day) {
        findings.push(Finding::warning(
            "calibration-overdue",
            Spot::field(fact.id(), ("due", 0)),
            format!("the calibration of `{}` was overdue on {day}", body.tool),
            "check the terminations again with a tool in date",
        ));
    }
}

fn energised(fact: &Fact, body: &StageReached, findings: &mut Vec<Finding>) {
    let is_branches = body.stage.0 == Stage::Branches;
    if is_branches && body.spaces.is_empty() {
        said(fact, "spaces", "", "which branches were closed", findings);
    }
    if !is_branches && !body.spaces.is_empty() {
        findings.push(Finding::error(
            "key-does-not-fit",
            Spot::field(fact.id(), ("spaces", 0)),
            format!("at the stage `{}` every branch is open", body.stage.0.word()),
            "leave `spaces` out, or write `stage = \"branches\"`",
        ));
    }
    if !is_branches && body.readings.is_empty() {
        said(
            fact,
            "volts",
            "",
            "what was read: line to line, each leg to neutral, neutral to ground",
            findings,
        );
    }
    known_spaces(fact, body.spaces.iter().map(|space| space.0), findings);
    let mut seen = BTreeSet::new();
    for reading in &body.readings {
        ranged(fact, "volts", reading.volts, limits::VOLTS, "V", findings);
        if !seen.insert(reading.pair.0) {
            findings.push(Finding::error(
                "pair-twice",
                Spot::field(fact.id(), ("volts", 0)),
                format!("the pair `{}` is read twice in one entry", reading.pair.0.write()),
                "`A-B` and `B-A` are one pair",
            ));
        }
    }
    for leg in &body.legs {
        ranged(fact, "legs", leg.amps, limits::AMPS, "A", findings);
    }
}

fn verified(fact: &Fact, body: &TerminalVerified, findings: &mut Vec<Finding>) {
    super::quantity::degrees(body.value, limits::SURFACE_C, ("c", "f"), fact, "value", findings);
    if let Some(room) = body.room {
        super::quantity::degrees(room, limits::ROOM_C, ("room_c", "room_f"), fact, "room", findings);
    }
    if let Some(amps) = body.amps {
        ranged(fact, "amps", amps, limits::AMPS, "A", findings);
    }
    if let Some(minutes) = body.held_min {
        ranged(fact, "held_min", minutes, limits::MINUTES, "min", findings);
    }
    if body.method.0 == TemperatureMethod::Infrared && body.surface.0 == Surface::BareMetal {
        findings.push(Finding::warning(
            "infrared-on-metal",
            Spot::whole(fact.id()),
            "an infrared reading of bare metal; nothing is compared with it",
            "read the plastic of the breaker beside it",
        ));
    }
}

fn shared(fact: &Fact, body: &NeutralClamped, findings: &mut Vec<Finding>) {
    known_spaces(fact, body.spaces.iter().map(|space| space.0), findings);
    for (field, amps) in [("hots", body.hots[0]), ("hots", body.hots[1]), ("neutral", body.neutral)] {
        ranged(fact, field, amps, limits::AMPS, "A", findings);
    }
    if let Some(volts) = body.between {
        ranged(fact, "between", volts, limits::VOLTS, "V", findings);
    }
}

fn card(fact: &Fact, body: &CardHung, findings: &mut Vec<Finding>) {
    if body.lines.is_empty() {
        said(fact, "lines", "", "what the card says", findings);
    }
    known_spaces(fact, body.lines.iter().map(|line| line.space.0), findings);
    for side in [("width", body.width), ("height", body.height)] {
        if let Some(length) = side.1 {
            ranged(fact, side.0, length.quantity().m(), limits::CABINET_M, "m", findings);
        }
    }
    for line in &body.lines {
        said(fact, "lines", &line.words, "what a line of the card is about", findings);
    }
}
