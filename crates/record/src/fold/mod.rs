//! From facts to the state of a job. The order in which facts arrive, and how often, makes no difference.

mod build;
mod equipment;
mod install;
mod live;
mod offer;
mod plan;
mod premises;
mod replacement;

pub(crate) use build::{build, installation};
pub(crate) use live::{Live, check_unknown, in_a_circle, live};
pub(crate) use replacement::new_panel;

use crate::check::{self, Finding};
use crate::decode::Doubt;
use crate::fact::Fact;
use crate::problem::{Problem, Severity};
use model::Date;
use model::job::Job;

/// The state of a job after its facts: ordered by time and id, those that others supersede left out.
///
/// # Errors
/// Facts contradict each other or say what cannot be; every such problem is listed, each with the id of its
/// fact in place of a file and with no span. Warnings are not listed: see [`problems`].
pub fn fold(facts: &[Fact]) -> Result<Job, Vec<Problem>> {
    // A file is asked for the recheck of a stop-gap; what was stored before that is not to be lost for it.
    let is_old = |problem: &Problem| problem.code == "stop-gap-without-recheck";
    let errors = problems(facts, None).into_iter().filter(|one| one.is_error() && !is_old(one));
    let errors: Vec<Problem> = errors.collect();
    if !errors.is_empty() {
        return Err(errors);
    }
    let (live, _) = live(facts, check::Scope::Part);
    build(&live).ok_or_else(Vec::new)
}

/// Every error and warning of a set of facts. `today` is the day from which dates count as future; without it
/// that is not checked.
pub fn problems(facts: &[Fact], today: Option<Date>) -> Vec<Problem> {
    let (live, mut findings) = live(facts, check::Scope::Part);
    findings.extend(check::check(&live, &Doubt::default(), today));
    findings.into_iter().map(unplaced).collect()
}

/// A problem without a place in a text: the fact stands in for the file.
pub(crate) fn unplaced(finding: Finding) -> Problem {
    let name = |spot: &check::Spot| match &spot.fact {
        Some(id) => format!("fact {id}"),
        None => "the facts".to_owned(),
    };
    let mut message = finding.message;
    for (spot, words) in &finding.related {
        message.push_str(&format!(" ({words}: {})", name(spot)));
    }
    Problem {
        code: finding.code,
        severity: finding.severity,
        message,
        hint: finding.hint,
        file: name(&finding.at),
        span: 0..0,
        line: 0,
        column: 0,
        related: Vec::new(),
    }
}

/// Does any finding forbid the job?
pub(crate) fn forbids(problems: &[Problem]) -> bool {
    problems.iter().any(|problem| problem.severity == Severity::Error)
}
