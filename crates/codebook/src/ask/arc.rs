//! Arc-fault and ground-fault protection on a replacement, an extension, a relocation and new circuits.

use super::finding::{Answer, Finding, Subject, asked, or_refused};
use super::situation::{Area, NewCircuit, Situation, Work};
use crate::law::Law;
use crate::rule;
use crate::ruling::Refused;

pub(super) fn findings(law: &Law<'_>, at: &Situation) -> Vec<Finding> {
    let mut all = vec![];
    if at.work != Work::None && at.work != Work::MeterOrEntrance {
        all.push(or_refused(
            Subject::ArcExisting,
            "arc-fault protection of existing circuits",
            existing(law, at),
        ));
        all.push(or_refused(
            Subject::GroundFault,
            "ground-fault protection of existing circuits",
            ground(law),
        ));
    }
    for circuit in &at.new_circuits {
        let title = format!("arc-fault protection of {}", circuit.name);
        all.push(or_refused(Subject::ArcNew, &title, new(law, circuit, &title)));
        let title = format!("ground-fault protection of {}", circuit.name);
        all.push(or_refused(Subject::GroundFault, &title, new_ground(law, circuit, &title)));
    }
    all
}

fn existing(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let ruling = law.ask(rule::ARC_EXTENSION)?;
    let title = "arc-fault protection of existing circuits";
    let found = |answer, text: String| Ok(Finding::new(Subject::ArcExisting, title, answer, text, &ruling));
    let Some(how) = law.maybe_word(rule::ARC_EXTENSION)? else {
        return found(Answer::NotRequired, "This code has no rule for extensions.".to_owned());
    };
    if how.value == "always" {
        let text = "Any modified, replaced or extended wiring of the listed areas asks for it; whether a panel change alone does is read differently.";
        return found(Answer::InspectorsCall, text.to_owned());
    }
    if at.work != Work::Relocate && at.extension_ft.unwrap_or(0.0) <= 0.0 {
        return found(
            Answer::NotRequired,
            "The panel stays in its place and no circuit is lengthened outside it.".to_owned(),
        );
    }
    let limit = law.number(rule::ARC_LENGTH)?;
    let outside = if how.value == "beyond-length-outside-enclosures" { " outside enclosures" } else { "" };
    match (at.extension_ft, at.adds_outlets) {
        (Some(length), _) if limit.value < length => found(
            Answer::Required { met: None },
            format!(
                "{length} ft{outside} is more than {} ft: for each lengthened circuit of the listed areas.",
                limit.value
            ),
        ),
        (_, Some(true)) => found(Answer::Required { met: None }, "Outlets or devices are added.".to_owned()),
        (Some(length), Some(false)) => found(
            Answer::NotRequired,
            format!(
                "{length} ft{outside} is not more than {} ft, and no outlet or device is added.",
                limit.value
            ),
        ),
        (None, _) => found(
            asked(format!("How long is the longest new piece{outside}, in feet?")),
            format!("Up to {} ft needs none.", limit.value),
        ),
        (_, None) => found(
            asked("Are outlets or devices added?"),
            "Without any, a short extension needs none.".to_owned(),
        ),
    }
}

fn new(law: &Law<'_>, circuit: &NewCircuit, title: &str) -> Result<Finding, Refused> {
    let how = law.word(rule::ARC_NEW)?;
    let found = |answer, text: &str| Ok(Finding::new(Subject::ArcNew, title, answer, text, &how));
    if !circuit.is_120_v || 20 < circuit.amps {
        return found(Answer::NotRequired, "The rule is for 120 V circuits of 15 and 20 A.");
    }
    match circuit.area {
        None => found(asked(format!("Which rooms does {} serve?", circuit.name)), "The rule names areas."),
        Some(Area::Living) => found(Answer::Required { met: None }, "A living area of the dwelling."),
        Some(Area::Kitchen | Area::Laundry) if how.value == "living-areas-kitchen-laundry" => found(
            Answer::Required { met: None },
            "Kitchens and laundry areas are among the areas of this edition.",
        ),
        Some(Area::Kitchen | Area::Laundry) => {
            found(Answer::NotRequired, "Kitchens and laundry areas came later.")
        }
        Some(Area::Other | Area::Outdoors | Area::CookingOrDryer) => {
            found(Answer::NotRequired, "None of the areas that the rule names; mind ground-fault protection.")
        }
    }
}

fn ground(law: &Law<'_>) -> Result<Finding, Refused> {
    let ruling = law.word(rule::GROUND_SWAP)?;
    let text = "A panel change alone does not ask for it; replaced receptacles and new circuits do, where the edition names their place.";
    let title = "ground-fault protection of existing circuits";
    Ok(Finding::new(Subject::GroundFault, title, Answer::NotRequired, text, &ruling))
}

fn new_ground(law: &Law<'_>, circuit: &NewCircuit, title: &str) -> Result<Finding, Refused> {
    let Some(area) = circuit.area else {
        let ruling = law.ask(rule::GROUND_SWAP)?;
        let answer = asked(format!("What does {} serve, and where?", circuit.name));
        return Ok(Finding::new(Subject::GroundFault, title, answer, "The rule names places.", &ruling));
    };
    match area {
        Area::Outdoors => {
            let ruling = law.ask(rule::GROUND_OUTDOOR)?;
            let found =
                |answer, text: String| Ok(Finding::new(Subject::GroundFault, title, answer, text, &ruling));
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
        Area::CookingOrDryer => {
            let ruling = law.ask(rule::GROUND_APPLIANCES)?;
            let answer =
                if ruling.value.is_some() { Answer::Required { met: None } } else { Answer::NotRequired };
            let text = "Ranges, ovens, cooktops, dryers and microwaves are named from the 2023 edition on.";
            Ok(Finding::new(Subject::GroundFault, title, answer, text, &ruling))
        }
        Area::Living | Area::Kitchen | Area::Laundry | Area::Other => {
            let ruling = law.ask(rule::GROUND_SWAP)?;
            let answer = Answer::InspectorsCall;
            let text = "A new circuit's receptacles are asked for by place, and the places grew with every edition; this book does not hold their list.";
            Ok(Finding::new(Subject::GroundFault, title, answer, text, &ruling))
        }
    }
}
