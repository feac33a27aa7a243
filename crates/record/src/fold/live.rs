//! Which facts hold: ordered, each once, those that others supersede left out.

use crate::check::{Finding, Scope, Spot, is_full};
use crate::fact::Fact;
use crate::problem::Severity;
use crate::text::nearest;
use model::FactId;
use std::collections::{BTreeMap, BTreeSet};

/// The facts that hold, by time and id.
#[derive(Debug, Clone)]
pub(crate) struct Live<'a> {
    pub(crate) facts: Vec<&'a Fact>,
}

/// Orders the facts and drops those that are superseded; tells of ids that clash and of pointers into
/// nothing.
pub(crate) fn live<'a>(facts: &'a [Fact], scope: Scope) -> (Live<'a>, Vec<Finding>) {
    let mut findings = Vec::new();
    let mut by_id: BTreeMap<&FactId, &Fact> = BTreeMap::new();
    let mut clashing: BTreeSet<&FactId> = BTreeSet::new();
    for fact in facts {
        match by_id.get(fact.id()) {
            Some(first) if *first != fact => {
                // Which of the two is kept must not hang on the order of arrival.
                if fact.to_json() < first.to_json() {
                    by_id.insert(fact.id(), fact);
                }
                clashing.insert(fact.id());
            }
            Some(_) => {}
            None => {
                by_id.insert(fact.id(), fact);
            }
        }
    }
    for id in clashing {
        findings.push(Finding::error(
            "duplicate-id",
            Spot::field(id, ("id", 0)),
            format!("two different entries have the id `{id}`"),
            "give each entry an id of its own, or leave `id` out",
        ));
    }
    let out: BTreeSet<&FactId> =
        by_id.values().flat_map(|fact| fact.supersedes.iter().map(|id| &id.0)).collect();
    check_unknown(&by_id, scope, &mut findings);
    check_circles(&by_id, &mut findings);
    let mut facts: Vec<&Fact> = by_id.values().copied().filter(|fact| !out.contains(fact.id())).collect();
    facts.sort_by(|a, b| (a.at, a.id()).cmp(&(b.at, b.id())));
    (Live { facts }, findings)
}

/// Tells of pointers at facts that are not there.
pub(crate) fn check_unknown(by_id: &BTreeMap<&FactId, &Fact>, scope: Scope, findings: &mut Vec<Finding>) {
    for fact in by_id.values() {
        for (idx, target) in fact.supersedes.iter().enumerate() {
            if is_full(findings) {
                return;
            }
            if by_id.contains_key(&target.0) {
                continue;
            }
            let spot = Spot::field(fact.id(), ("supersedes", idx));
            let message = format!("no entry has the id `{}`", target.0);
            let hint = match nearest(target.0.as_str(), by_id.keys().map(|id| id.as_str())) {
                Some(id) => format!("did you mean `{id}`?"),
                None => "give the entry that it replaces an `id`, and name it here".to_owned(),
            };
            let mut finding = Finding::error("unknown-id", spot, message, hint);
            if scope == Scope::Part {
                // The fact may still be on another device.
                finding.severity = Severity::Warning;
            }
            findings.push(finding);
        }
    }
}

fn check_circles(by_id: &BTreeMap<&FactId, &Fact>, findings: &mut Vec<Finding>) {
    for id in in_a_circle(by_id) {
        if is_full(findings) {
            return;
        }
        findings.push(Finding::error(
            "supersedes-circle",
            Spot::field(id, ("supersedes", 0)),
            format!("the entry `{id}` supersedes itself, directly or by others"),
            "the later entry supersedes the earlier one, never the other way round",
        ));
    }
}

/// Facts from which following `supersedes` leads back to them.
pub(crate) fn in_a_circle<'a>(by_id: &BTreeMap<&'a FactId, &'a Fact>) -> Vec<&'a FactId> {
    // Peel off facts that supersede nothing still standing; what cannot be peeled lies in or before a circle.
    let mut open: BTreeMap<&FactId, usize> = BTreeMap::new();
    let mut users: BTreeMap<&FactId, Vec<&'a FactId>> = BTreeMap::new();
    for (&id, fact) in by_id {
        let known: BTreeSet<&'a FactId> = fact.supersedes.iter().map(|target| &target.0).collect();
        let known: Vec<&'a FactId> = known.into_iter().filter(|target| by_id.contains_key(target)).collect();
        open.insert(id, known.len());
        for target in known {
            users.entry(target).or_default().push(id);
        }
    }
    let mut free: Vec<&FactId> = open.iter().filter(|&(_, &n)| n == 0).map(|(&id, _)| id).collect();
    while let Some(id) = free.pop() {
        for &user in users.get(id).into_iter().flatten() {
            if let Some(n) = open.get_mut(user) {
                *n -= 1;
                if *n == 0 {
                    free.push(user);
                }
            }
        }
    }
    by_id.keys().copied().filter(|id| open.get(id).is_some_and(|&n| n > 0)).collect()
}
