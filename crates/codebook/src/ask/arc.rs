//! Arc-fault protection on a replacement, an extension, a relocation and new circuits.

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
    }
    for circuit in &at.new_circuits {
        let title = format!("arc-fault protection of {}", circuit.name);
        all.push(or_refused(Subject::ArcNew, &title, new(law, circuit, &title)));
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
        Some(Area::Living | Area::FinishedBasement) => {
            found(Answer::Required { met: None }, "A living area of the dwelling, or a room like one.")
        }
        Some(Area::Kitchen | Area::KitchenCounter | Area::Laundry)
            if how.value == "living-areas-kitchen-laundry" =>
        {
            found(
                Answer::Required { met: None },
                "Kitchens and laundry areas are among the areas of this edition.",
            )
        }
        Some(Area::Kitchen | Area::KitchenCounter | Area::Laundry) => {
            found(Answer::NotRequired, "Kitchens and laundry areas came later.")
        }
        Some(_) => {
            found(Answer::NotRequired, "None of the areas that the rule names; mind ground-fault protection.")
        }
    }
}
