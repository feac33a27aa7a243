//! Ground-fault protection on a replacement and of new circuits.

use super::finding::{Answer, Finding, Subject, asked, or_refused};
use super::situation::{Area, NewCircuit, Situation, Work};
use crate::law::Law;
use crate::rule::{self, RuleId};
use crate::ruling::Refused;

const EXISTING: &str = "ground-fault protection of existing circuits";

pub(super) fn findings(law: &Law<'_>, at: &Situation) -> Vec<Finding> {
    let mut all = vec![];
    if at.work != Work::None && at.work != Work::MeterOrEntrance {
        all.push(or_refused(Subject::GroundFault, EXISTING, existing(law)));
    }
    for circuit in &at.new_circuits {
        let title = format!("ground-fault protection of {}", circuit.name);
        all.push(or_refused(Subject::GroundFault, &title, new(law, circuit, &title)));
    }
    all
}

fn existing(law: &Law<'_>) -> Result<Finding, Refused> {
    let ruling = law.word(rule::GROUND_SWAP)?;
    let text = "A panel change alone does not ask for it; replaced receptacles and new circuits do, where the edition names their place.";
    Ok(Finding::new(Subject::GroundFault, EXISTING, Answer::NotRequired, text, &ruling))
}

fn new(law: &Law<'_>, circuit: &NewCircuit, title: &str) -> Result<Finding, Refused> {
    let by = |id: RuleId, asks: &str, not: &str| -> Result<Finding, Refused> {
        let ruling = law.ask(id)?;
        let larger = law.ask(rule::GROUND_LARGER)?;
        let is_large = !circuit.is_120_v || 20 < circuit.amps;
        if ruling.value.is_none() {
            return Ok(Finding::new(Subject::GroundFault, title, Answer::NotRequired, not, &ruling));
        }
        if is_large && larger.value.is_none() {
            let text = "This edition speaks of 125 V receptacles of 15 and 20 A only.";
            return Ok(Finding::new(Subject::GroundFault, title, Answer::NotRequired, text, &larger));
        }
        let of = if is_large { &larger } else { &ruling };
        Ok(Finding::new(Subject::GroundFault, title, Answer::Required { met: None }, asks, of))
    };
    match circuit.area {
        None => {
            let ruling = law.ask(rule::GROUND_ALWAYS)?;
            let answer = asked(format!("What does {} serve, and where?", circuit.name));
            Ok(Finding::new(Subject::GroundFault, title, answer, "The rule names places.", &ruling))
        }
        Some(Area::CookingOrDryer) => appliance(law, title),
        Some(Area::Outdoors) if !circuit.receptacles => outdoors(law, circuit, title),
        Some(_) if !circuit.receptacles => {
            let ruling = law.ask(rule::GROUND_ALWAYS)?;
            let text = "The rule is for receptacles; equipment that is wired in goes by its own.";
            Ok(Finding::new(Subject::GroundFault, title, Answer::NotRequired, text, &ruling))
        }
        Some(
            Area::Bathroom | Area::Garage | Area::UnfinishedBasement | Area::KitchenCounter | Area::Outdoors,
        ) => by(rule::GROUND_ALWAYS, "One of the places that every edition of this book names.", ""),
        Some(Area::Laundry) => by(
            rule::GROUND_LAUNDRY,
            "Laundry areas are named.",
            "Laundry areas came in 2014; before, near a sink only.",
        ),
        Some(Area::Kitchen) => by(
            rule::GROUND_KITCHEN,
            "All kitchen receptacles are named.",
            "Kitchen counters only, before 2023.",
        ),
        Some(Area::FinishedBasement) => {
            by(rule::GROUND_BASEMENT, "Whole basements are named.", "Unfinished basements only, before 2020.")
        }
        Some(Area::Living) => {
            let ruling = law.ask(rule::GROUND_ALWAYS)?;
            let text = "Not one of the places, unless near a sink.";
            Ok(Finding::new(Subject::GroundFault, title, Answer::NotRequired, text, &ruling))
        }
        Some(Area::Other) => {
            let ruling = law.ask(rule::GROUND_ALWAYS)?;
            let text = "Crawl spaces, sheds, boathouses, and places near sinks and tubs are named by edition; this book does not hold all of them.";
            Ok(Finding::new(Subject::GroundFault, title, Answer::InspectorsCall, text, &ruling))
        }
    }
}

fn appliance(law: &Law<'_>, title: &str) -> Result<Finding, Refused> {
    let ruling = law.ask(rule::GROUND_APPLIANCES)?;
    let answer = if ruling.value.is_some() { Answer::Required { met: None } } else { Answer::NotRequired };
    let text = "Ranges, ovens, cooktops, dryers and microwaves are named from the 2023 edition on.";
    Ok(Finding::new(Subject::GroundFault, title, answer, text, &ruling))
}

/// Outlets outdoors that are no receptacles, such as of heating and cooling equipment.
fn outdoors(law: &Law<'_>, circuit: &NewCircuit, title: &str) -> Result<Finding, Refused> {
    let ruling = law.ask(rule::GROUND_OUTDOOR)?;
    let found = |answer, text: String| Ok(Finding::new(Subject::GroundFault, title, answer, text, &ruling));
    match law.maybe_number(rule::GROUND_OUTDOOR)? {
        None => found(
            Answer::NotRequired,
            "Receptacles outdoors only; this edition has no rule for other outlets.".to_owned(),
        ),
        Some(limit) if limit.value < f64::from(circuit.amps) => {
            found(Answer::NotRequired, format!("{} A is above {} A.", circuit.amps, limit.value))
        }
        Some(limit) => found(
            Answer::InspectorsCall,
            format!("Asked for up to {} A, unless the equipment is exempt.", limit.value),
        ),
    }
}
