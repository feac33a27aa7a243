//! A step of switching the new panel on, with the readings after it.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair, volts};
use crate::form::Keypad;
use maud::{Markup, html};
use model::install::Stage;
use model::isolation::ProofPoint;
use model::{Leg, Space, System};
use record::Body;
use record::fact::{LegRead, StageReached};
use record::limits;
use record::text::{AsText, Textual};
use study::words::{capital, point_pair};

pub(super) const FORM: Form = Form {
    title: "Switching on",
    lede: "Type what the meter shows, whatever it is. Nothing further is offered before it is in.",
    show,
    read,
    pairs,
    series: None,
};

const LEGS: [(&str, Leg); 3] = [("a-A", Leg::A), ("a-B", Leg::B), ("a-C", Leg::C)];

fn show(ask: &Ask<'_>) -> Markup {
    let system = ask.cx.settled_job().map_or(System::SplitPhase, study::install::system);
    let has_leg = |leg: Leg| system.legs().contains(&leg);
    // Of the legs that are there; to ground the neutral alone.
    let has = |pair: &(ProofPoint, ProofPoint)| match *pair {
        (ProofPoint::Leg(one), ProofPoint::Leg(other)) => has_leg(one) && has_leg(other),
        (ProofPoint::Leg(leg), ProofPoint::Neutral) => has_leg(leg),
        (ProofPoint::Neutral, ProofPoint::Ground) => true,
        _ => false,
    };
    let is_branches = ask.sheet.value("stage", "") == Stage::Branches.word();
    let pad = |name: &'static str, label: &str, unit: &'static str| {
        ask.sheet.number(&Keypad { name, label, unit, hint: "", value: None, required: false })
    };
    let last = ask.standing.instrument(|body| match body {
        Body::Energised(body) => body.meter.as_deref(),
        _ => None,
    });
    html! {
        div.caution { p { "Stand clear, cover closed where it can be. If a value is not plausible: open what you closed, then find out why." } }
        (ask.sheet.pick_list("stage", "How far", "", &[
            ("supply", "Supply, main open", "at the line side of the main"),
            ("main", "Main closed", "every branch open"),
            ("branches", "Branches closed", "one after the other"),
        ], ""))
        @if is_branches {
            (ask.sheet.text("spaces", "Branches closed in this step", "First space of each.", ""))
        }
        @for (name, pair) in volts::PAIRS.iter().filter(|(_, pair)| has(pair)) {
            (pad(name, &capital(&point_pair(*pair)), "V"))
        }
        @if is_branches {
            @for (name, leg) in LEGS.iter().filter(|(_, leg)| has_leg(*leg)) {
                (pad(name, &format!("Leg {leg}, clamped"), "A"))
            }
        }
        (ask.sheet.text("meter", "Meter", "By the shop’s own name.", last.as_deref().unwrap_or("")))
        (moment(ask))
        (actions("Save the readings"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let stage = taking.need::<Stage>("stage", "Choose how far it is switched on.");
    let spaces: Vec<Space> = taking.several("spaces");
    let readings = volts::read(taking, "v-A-B", "Type what the meter shows, pair by pair.");
    let mut legs = Vec::new();
    for (name, leg) in LEGS {
        if let Some(amps) = taking.may_number(name, limits::AMPS, "A") {
            legs.push(LegRead { leg: AsText(leg), amps });
        }
    }
    let meter = taking.name("meter");
    let Some(stage) = stage else { return Vec::new() };
    let is_branches = stage == Stage::Branches;
    if is_branches && spaces.is_empty() {
        taking.wrong("spaces", "Write which branches were closed.");
    }
    if !is_branches && !spaces.is_empty() {
        taking.wrong("spaces", "At this stage every branch is open.");
    }
    let spaces = spaces.into_iter().map(AsText).collect();
    vec![StageReached { stage: AsText(stage), spaces, readings, legs, meter }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Energised(body) = body else { return Vec::new() };
    let mut pairs = vec![pair("stage", body.stage.0.word())];
    let spaces: Vec<String> = body.spaces.iter().map(|space| space.0.write()).collect();
    if !spaces.is_empty() {
        pairs.push(pair("spaces", spaces.join(" ")));
    }
    pairs.extend(volts::pairs(&body.readings));
    for read in &body.legs {
        let field = LEGS.iter().find(|(_, one)| *one == read.leg.0);
        pairs.extend(field.map(|(name, _)| pair(name, read.amps)));
    }
    pairs.extend(body.meter.as_ref().map(|meter| pair("meter", meter)));
    pairs
}
