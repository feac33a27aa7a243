//! Circuits that a panel change touches: three-wire ranges and dryers, multiwire circuits.

use super::finding::{Answer, Finding, Subject, asked, or_refused};
use super::situation::{MultiwireCircuit, Situation, ThreeWireCircuit, ThreeWireNeutral};
use crate::law::Law;
use crate::rule;
use crate::ruling::Refused;

pub(super) fn findings(law: &Law<'_>, at: &Situation) -> Vec<Finding> {
    let mut all = vec![];
    for circuit in &at.three_wire {
        all.push(or_refused(Subject::ThreeWire, &circuit.name, three_wire(law, at, circuit)));
    }
    for circuit in &at.multiwire {
        all.push(or_refused(Subject::Multiwire, &circuit.name, multiwire(law, circuit)));
    }
    all
}

fn three_wire(law: &Law<'_>, at: &Situation, circuit: &ThreeWireCircuit) -> Result<Finding, Refused> {
    let how = law.word(rule::RANGE_THREE_WIRE)?;
    let found = |answer, text: &str| Ok(Finding::new(Subject::ThreeWire, &circuit.name, answer, text, &how));
    let Some(neutral) = circuit.neutral else {
        return found(
            asked(format!(
                "Is the neutral of {} insulated, or bare in service-entrance cable?",
                circuit.name
            )),
            "It decides whether three wires may stay.",
        );
    };
    if neutral == ThreeWireNeutral::Bare {
        return found(
            Answer::Required { met: Some(false) },
            "A bare neutral outside service-entrance cable was never allowed: four wires.",
        );
    }
    let sub = match (at.is_service, at.becomes_sub_panel()) {
        (Some(false), _) => Some(true),
        (_, sub) => sub,
    };
    match (sub, neutral) {
        (None, _) => found(
            asked("Is the panel the service equipment after the work?"),
            "A bare neutral may stay only where the circuit starts at the service.",
        ),
        (Some(false), _) => {
            found(Answer::NotRequired, "It may stay: the circuit starts at the service equipment.")
        }
        (Some(true), ThreeWireNeutral::Insulated) => found(
            Answer::NotRequired,
            "An insulated neutral may stay; it must not touch the sub-panel's case.",
        ),
        (Some(true), _) if how.value == "insulated-or-covered" => found(
            Answer::NotRequired,
            "A bare neutral in service-entrance cable may stay if it is covered or insulated on site.",
        ),
        (Some(true), _) => found(
            Answer::Required { met: Some(false) },
            "A bare neutral may not start at a sub-panel: four wires.",
        ),
    }
}

fn multiwire(law: &Law<'_>, circuit: &MultiwireCircuit) -> Result<Finding, Refused> {
    let how = law.word(rule::MULTIWIRE_DISCONNECT)?;
    let group = law.word(rule::MULTIWIRE_GROUP)?.cite();
    let found = |answer, text: &str| Ok(Finding::new(Subject::Multiwire, &circuit.name, answer, text, &how));
    if circuit.on_different_legs == Some(false) {
        return found(
            Answer::Required { met: Some(false) },
            "Both conductors are on one leg: the neutral carries the sum and is overloaded without any breaker noticing. Move one.",
        );
    }
    match (circuit.opens_together, circuit.on_different_legs) {
        (_, None) => found(
            asked(format!(
                "Are the conductors of {} on different legs? Measure 240 V between them.",
                circuit.name
            )),
            "On one leg the neutral is overloaded.",
        ),
        (None, _) => found(
            asked(format!("Do all conductors of {} open together?", circuit.name)),
            "A common handle, or identified handle ties.",
        ),
        (Some(false), _) => found(
            Answer::Required { met: Some(false) },
            &format!(
                "A multi-pole breaker, or single poles with identified handle ties; group them with their neutral ({group})."
            ),
        ),
        (Some(true), _) => found(Answer::NotRequired, "They open together."),
    }
}
