//! The panel itself: directory, openings, neutrals, interior, breakers, split bus, marking, torque.

use super::finding::{Answer, Finding, Subject, asked, or_refused};
use super::situation::{Situation, Work};
use crate::law::Law;
use crate::rule;
use crate::ruling::Refused;

pub(super) fn findings(law: &Law<'_>, at: &Situation) -> Vec<Finding> {
    let mut all = vec![
        or_refused(Subject::Directory, "directory", directory(law, at)),
        or_refused(Subject::Openings, "unused openings", openings(law, at)),
        or_refused(Subject::NeutralTerminal, "neutrals at a terminal", neutrals(law, at)),
        or_refused(Subject::BreakerListing, "breakers", breakers(law, at)),
        or_refused(Subject::SplitBus, "split bus", split_bus(law, at)),
        or_refused(Subject::FaultMarking, "marking of the fault current", marking(law)),
        or_refused(Subject::Torque, "torque", torque(law)),
    ];
    if at.work == Work::Interior {
        all.push(or_refused(Subject::Interior, "new interior in the old cabinet", interior(law, at)));
    }
    all
}

fn directory(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let ruling = law.word(rule::DIRECTORY)?;
    let found = |answer, text: &str| Ok(Finding::new(Subject::Directory, "directory", answer, text, &ruling));
    let needs = "Every circuit, spares too, told apart by what it feeds and not by who lives there.";
    match at.directory {
        Some(true) => found(Answer::Required { met: Some(true) }, &format!("Met as recorded. {needs}")),
        Some(false) | None => found(Answer::Required { met: at.directory }, needs),
    }
}

fn openings(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let ruling = law.word(rule::OPENINGS)?;
    let found =
        |answer, text: &str| Ok(Finding::new(Subject::Openings, "unused openings", answer, text, &ruling));
    match at.openings {
        Some(true) => found(Answer::Required { met: Some(false) }, "Open ones must be closed."),
        Some(false) => found(Answer::NotRequired, "None is open."),
        None => found(asked("Are there unused openings in cabinet or dead front?"), "They must be closed."),
    }
}

fn neutrals(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let most = law.number(rule::NEUTRAL_TERMINAL)?;
    let title = "neutrals at a terminal";
    let found = |answer, text: String| Ok(Finding::new(Subject::NeutralTerminal, title, answer, text, &most));
    match at.neutrals_at_terminal {
        None => found(
            asked("How many neutrals are under one terminal at most?"),
            format!("{} is allowed.", most.value),
        ),
        Some(n) if most.value < f64::from(n) => found(
            Answer::Required { met: Some(false) },
            format!("{n} under one terminal: each needs its own."),
        ),
        Some(n) => found(Answer::NotRequired, format!("{n} under one terminal.")),
    }
}

fn breakers(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let ruling = law.word(rule::BREAKER_LISTING)?;
    let found =
        |answer, text: &str| Ok(Finding::new(Subject::BreakerListing, "breakers", answer, text, &ruling));
    match at.unnamed_breakers {
        None => found(
            asked("Are there breakers of a type that the panel's marking does not name?"),
            "Only types that the marking allows.",
        ),
        Some(true) => found(
            Answer::InspectorsCall,
            "Only types that the marking names are allowed; that one fits proves nothing. A breaker classified for this named panel is read both ways.",
        ),
        Some(false) => found(Answer::NotRequired, "All are of types that the marking names."),
    }
}

fn split_bus(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let ruling = law.word(rule::PANEL_PROTECTION)?;
    let found = |answer, text: &str| Ok(Finding::new(Subject::SplitBus, "split bus", answer, text, &ruling));
    match (at.split_bus, at.work.replaces_panel()) {
        (None, _) => found(
            asked("Is a lower bus fed by a breaker of the upper one?"),
            "A split bus has no single main.",
        ),
        (Some(false), _) => found(Answer::NotRequired, "No split bus."),
        (Some(true), true) => found(
            Answer::Required { met: Some(false) },
            "The replacement must be protected at not more than its rating: a new split bus with three or more mains is not allowed.",
        ),
        (Some(true), false) => found(
            Answer::NotRequired,
            "An existing one is not made unlawful by a later edition; added breakers in the main section are the usual fault.",
        ),
    }
}

fn marking(law: &Law<'_>) -> Result<Finding, Refused> {
    let ruling = law.ask(rule::FAULT_MARKING)?;
    let text = "Dwellings need no marking of the fault current. The interrupting rating must be enough all the same.";
    Ok(Finding::new(
        Subject::FaultMarking,
        "marking of the fault current",
        Answer::NotRequired,
        text,
        &ruling,
    ))
}

fn torque(law: &Law<'_>) -> Result<Finding, Refused> {
    let ruling = law.ask(rule::TORQUE_TOOL)?;
    let text = match law.maybe_word(rule::TORQUE_TOOL)?.map(|word| word.value) {
        Some(word) if word == "calibrated-tool" => {
            "Tighten to the marked value with a calibrated tool, unless the maker gives another way."
        }
        Some(_) => "Tighten to the marked value by an approved means.",
        None => "Only by the equipment's instructions; tighten to the marked value.",
    };
    Ok(Finding::new(Subject::Torque, "torque", Answer::Required { met: None }, text, &ruling))
}

fn interior(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let ruling = law.word(rule::INTERIOR)?;
    let title = "new interior in the old cabinet";
    let found = |answer, text: String| Ok(Finding::new(Subject::Interior, title, answer, text, &ruling));
    if ruling.value == "by-listing" {
        return found(
            Answer::InspectorsCall,
            "Only what the maker lists for this cabinet; this edition has no more on it.".to_owned(),
        );
    }
    match (at.fault_most_a, at.interior_evaluated) {
        (_, Some(true)) => {
            found(Answer::NotRequired, "Panel and cabinet were evaluated together.".to_owned())
        }
        (Some(most), _) if most <= 10_000.0 => found(
            Answer::NotRequired,
            format!("{most:.0} A is within the 10 kA that a panel without its own enclosure has."),
        ),
        (Some(most), Some(false)) => found(
            Answer::Required { met: Some(false) },
            format!(
                "{most:.0} A is above 10 kA: panel and cabinet must be evaluated together, or the cabinet goes too."
            ),
        ),
        (Some(_), None) => found(
            asked("Was the new interior evaluated together with this cabinet?"),
            "Above 10 kA it must be.".to_owned(),
        ),
        (None, _) => found(
            asked("What is the most fault current that can be there?"),
            "Up to 10 kA the interior alone may do.".to_owned(),
        ),
    }
}
