//! What new facts would bring up, so that a form can ask before it stores them.

use super::settle;
use super::weight::{Weight, by_id, weigh};
use crate::check::{Finding, Scope, check};
use crate::decode::Doubt;
use crate::fact::Fact;
use crate::fold::{live, unplaced};
use crate::problem::{Problem, Severity};
use model::Date;
use std::collections::BTreeSet;

/// The problems that are there only with the new facts: errors for what would be set aside or would set an earlier
/// fact aside, warnings for the rest. What the record merely lacks so far is no news. `facts` are all facts of the job
/// without the new ones.
pub fn news(facts: &[Fact], new: &[Fact], today: Option<Date>) -> Vec<Problem> {
    let settled = settle(facts, today);
    let aside: BTreeSet<_> = settled.set_aside.iter().map(|aside| &aside.fact).collect();
    let mut all: Vec<Fact> = facts.iter().filter(|fact| !aside.contains(fact.id())).cloned().collect();
    let before: BTreeSet<_> = problems(&all, today).into_iter().map(name).collect();
    all.extend_from_slice(new);
    let mut told = BTreeSet::new();
    let mut news = problems(&all, today);
    news.retain(|problem| !before.contains(&name(problem.clone())) && told.insert(name(problem.clone())));
    news
}

fn name(problem: Problem) -> (&'static str, String, String) {
    (problem.code, problem.file, problem.message)
}

fn problems(facts: &[Fact], today: Option<Date>) -> Vec<Problem> {
    let (live, mut findings) = live(facts, Scope::Part);
    findings.extend(check(&live, &Doubt::default(), today));
    let by_id = by_id(&live.facts);
    let weighed = |finding: Finding| match weigh(&finding, &by_id) {
        Weight::Missing => None,
        Weight::Warns => Some(unplaced(Finding { severity: Severity::Warning, ..finding })),
        Weight::Counts => Some(unplaced(finding)),
    };
    findings.into_iter().filter_map(weighed).collect()
}
