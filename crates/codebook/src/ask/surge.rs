//! Surge protection at the service.

use super::finding::{Answer, Finding, Subject, asked, or_refused};
use super::situation::Situation;
use crate::law::Law;
use crate::rule;
use crate::ruling::Refused;

pub(super) fn findings(law: &Law<'_>, at: &Situation) -> Vec<Finding> {
    vec![or_refused(Subject::Surge, "surge protection", surge(law, at))]
}

fn surge(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let ruling = law.ask(rule::SURGE)?;
    let found =
        |answer, text: &str| Ok(Finding::new(Subject::Surge, "surge protection", answer, text, &ruling));
    if ruling.value.is_none() {
        return found(Answer::NotRequired, "This code has no rule on surge protection of dwelling services.");
    }
    match at.replaces_service() {
        Some(false) if !at.work.replaces_panel() => {
            found(Answer::NotRequired, "No service equipment is replaced.")
        }
        Some(false) => found(
            Answer::InspectorsCall,
            "The panel is not the service. From 2023 the feeder rule also speaks of replaced distribution equipment.",
        ),
        None => {
            found(asked("Is the panel the service equipment?"), "Replacing service equipment asks for it.")
        }
        Some(true) => match at.surge {
            Some(true) => found(
                Answer::Required { met: Some(true) },
                "Met by a Type 1 or Type 2 device at the service equipment or next to it.",
            ),
            _ => found(
                Answer::Required { met: at.surge },
                "A Type 1 or Type 2 device, part of the service equipment or next to it.",
            ),
        },
    }
}
