//! What the edition asks of this panel and its replacement: required, not required, depends on a question, or the
//! inspector's call. Each finding with its citation; what is not verified is refused.

mod arc;
mod circuits;
mod disconnect;
mod electrodes;
mod finding;
mod ground;
mod panel;
mod place;
mod situation;
mod surge;

pub use finding::{Answer, Finding, Subject};
pub use situation::{
    Area, MultiwireCircuit, NewCircuit, Outdoor, Situation, ThreeWireCircuit, ThreeWireNeutral, Work,
};

use crate::law::Law;

/// Everything that this code asks in a situation, in the order of the work.
pub fn ask(law: &Law<'_>, situation: &Situation) -> Vec<Finding> {
    let mut findings = vec![];
    findings.extend(disconnect::findings(law, situation));
    findings.extend(surge::findings(law, situation));
    findings.extend(arc::findings(law, situation));
    findings.extend(ground::findings(law, situation));
    findings.extend(place::findings(law, situation));
    findings.extend(panel::findings(law, situation));
    findings.extend(circuits::findings(law, situation));
    findings.extend(electrodes::findings(law, situation));
    findings
}
