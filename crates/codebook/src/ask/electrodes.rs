//! Grounding electrodes and the intersystem bonding termination.

use super::finding::{Answer, Finding, Subject, asked, or_refused};
use super::situation::Situation;
use crate::law::Law;
use crate::rule;
use crate::ruling::Refused;

pub(super) fn findings(law: &Law<'_>, at: &Situation) -> Vec<Finding> {
    vec![
        or_refused(Subject::Electrodes, "water pipe as electrode", water(law, at)),
        or_refused(Subject::Electrodes, "ground rods", rods(law, at)),
        or_refused(Subject::Intersystem, "intersystem bonding", intersystem(law, at)),
    ]
}

fn water(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let ruling = law.word(rule::ELECTRODE_WATER)?;
    let title = "water pipe as electrode";
    let found = |answer, text: &str| Ok(Finding::new(Subject::Electrodes, title, answer, text, &ruling));
    let another = match (at.other_electrode, at.n_rods) {
        (Some(true), _) => Some(true),
        (_, Some(n)) if 0 < n => Some(true),
        (Some(false), Some(_)) => Some(false),
        _ => None,
    };
    match (at.water_pipe, another) {
        (None, _) => found(
            asked("Is a metal water pipe in contact with earth for 10 ft or more?"),
            "It is an electrode then, and not enough alone.",
        ),
        (Some(false), _) => found(
            Answer::NotRequired,
            "There is none; a plumber may have taken it away, so look for another electrode.",
        ),
        (Some(true), Some(true)) => {
            found(Answer::NotRequired, "It is there with another electrode; bond all that exist together.")
        }
        (Some(true), Some(false)) => found(
            Answer::Required { met: Some(false) },
            "A water pipe alone is not enough: add another electrode.",
        ),
        (Some(true), None) => found(
            asked("Which electrodes are there besides the water pipe?"),
            "A water pipe alone is not enough.",
        ),
    }
}

fn rods(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let limit = law.number(rule::ELECTRODE_SECOND)?;
    let spacing = law.number(rule::ELECTRODE_SPACING)?;
    let found =
        |answer, text: String| Ok(Finding::new(Subject::Electrodes, "ground rods", answer, text, &limit));
    match (at.n_rods, at.rod_ohm) {
        (None, _) => found(
            asked("How many ground rods are there?"),
            format!("A lone rod needs a second unless it has {} Ω or less.", limit.value),
        ),
        (Some(0), _) => {
            found(Answer::NotRequired, "No rods; what other electrodes exist is another question.".to_owned())
        }
        (Some(1), Some(ohm)) if ohm <= limit.value => {
            found(Answer::NotRequired, format!("{ohm} Ω is not more than {} Ω.", limit.value))
        }
        (Some(1), _) => found(
            Answer::Required { met: Some(false) },
            format!("A second rod, or proof of {} Ω or less.", limit.value),
        ),
        (Some(_), _) => match at.rod_spacing_ft {
            Some(ft) if ft < spacing.value => found(
                Answer::Required { met: Some(false) },
                format!("{ft} ft apart; at least {} ft ({}).", spacing.value, spacing.cite()),
            ),
            Some(ft) => found(Answer::NotRequired, format!("Two or more, {ft} ft apart.")),
            None => found(
                asked("How far apart are the rods, in feet?"),
                format!("At least {} ft.", spacing.value),
            ),
        },
    }
}

fn intersystem(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let ruling = law.number(rule::INTERSYSTEM)?;
    let title = "intersystem bonding";
    let found = |answer, text: String| Ok(Finding::new(Subject::Intersystem, title, answer, text, &ruling));
    match at.intersystem {
        Some(true) => found(Answer::NotRequired, "It is there.".to_owned()),
        Some(false) => found(
            Answer::Required { met: Some(false) },
            format!("A termination for at least {} bonding conductors.", ruling.value),
        ),
        None => found(
            asked("Is there an intersystem bonding termination?"),
            format!("For at least {} conductors.", ruling.value),
        ),
    }
}
