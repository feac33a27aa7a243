//! Which facts stand: each id once, what others replaced or took back left out, circles of replacements cut.

use super::SetAside;
use crate::check::{Finding, Scope, Spot};
use crate::fact::{Body, Fact};
use crate::fold::{check_unknown, in_a_circle};
use model::FactId;
use std::collections::{BTreeMap, BTreeSet};

/// What stands, and what became of the rest.
pub(super) struct Standing<'a> {
    /// Facts that nothing replaces, by time and id.
    pub(super) facts: Vec<&'a Fact>,
    /// The earlier of two facts of one id.
    pub(super) doubles: BTreeMap<FactId, SetAside>,
    /// What was replaced, and by what.
    pub(super) replaced: BTreeMap<FactId, FactId>,
    /// Pointers at facts that are not here, and in circles.
    pub(super) notes: Vec<Finding>,
}

pub(super) fn standing(facts: &[Fact]) -> Standing<'_> {
    let mut doubles = BTreeMap::new();
    let by_id = each_once(facts, &mut doubles);
    let mut notes = Vec::new();
    check_unknown(&by_id, Scope::Part, &mut notes);
    let circled: BTreeSet<&FactId> = in_a_circle(&by_id).into_iter().collect();
    let mut by_whom: BTreeMap<&FactId, &Fact> = BTreeMap::new();
    for fact in by_id.values() {
        for target in &fact.supersedes {
            let Some(replaced) = by_id.get(&target.0) else { continue };
            // In a circle only the later can replace the earlier, so that one of them stands.
            let circular = circled.contains(fact.id()) && circled.contains(&target.0);
            if circular && when(fact) <= when(replaced) {
                notes.push(Finding::warning(
                    "supersedes-circle",
                    Spot::field(fact.id(), ("supersedes", 0)),
                    format!(
                        "the entries `{}` and `{}` replace each other in a circle; the later one is used",
                        fact.id(),
                        target.0
                    ),
                    "take back the one that does not hold",
                ));
                continue;
            }
            let by = by_whom.entry(replaced.id()).or_insert(fact);
            if when(by) < when(fact) {
                *by = fact;
            }
        }
    }
    reopen(&by_id, &mut by_whom, &mut notes);
    let mut standing: Vec<&Fact> =
        by_id.values().copied().filter(|fact| !by_whom.contains_key(fact.id())).collect();
    standing.sort_by(|a, b| when(a).cmp(&when(b)));
    let replaced = by_whom.into_iter().map(|(id, by)| (id.clone(), by.id().clone())).collect();
    Standing { facts: standing, doubles, replaced, notes }
}

/// Without an entry that opens it there is no job to show the others in, so the last one cannot be taken back.
fn reopen<'a>(
    by_id: &BTreeMap<&'a FactId, &'a Fact>,
    by_whom: &mut BTreeMap<&'a FactId, &'a Fact>,
    notes: &mut Vec<Finding>,
) {
    let jobs = || by_id.values().copied().filter(|fact| matches!(fact.body, Body::Job(_)));
    if jobs().any(|job| !by_whom.contains_key(job.id())) {
        return;
    }
    let Some(latest) = jobs().max_by(|a, b| when(a).cmp(&when(b))) else { return };
    by_whom.remove(latest.id());
    notes.push(Finding::warning(
        "no-job",
        Spot::whole(latest.id()),
        "the entry that opens the job was taken back; it is used all the same, for the others stand in its job",
        "correct the entry instead of taking it back",
    ));
}

/// What decides which of two facts is the later.
pub(super) fn when(fact: &Fact) -> (jiff::civil::DateTime, &FactId) {
    (fact.at, fact.id())
}

/// The facts by id. Of different facts with one id the later is kept.
fn each_once<'a>(
    facts: &'a [Fact],
    doubles: &mut BTreeMap<FactId, SetAside>,
) -> BTreeMap<&'a FactId, &'a Fact> {
    let mut by_id: BTreeMap<&FactId, &Fact> = BTreeMap::new();
    for fact in facts {
        let kept = by_id.entry(fact.id()).or_insert(fact);
        // Two that hold a number that is none are never equal, though they say the same.
        if *kept == fact || kept.to_json() == fact.to_json() {
            continue;
        }
        doubles.entry(fact.id().clone()).or_insert_with(|| SetAside {
            fact: fact.id().clone(),
            in_favour_of: Some(fact.id().clone()),
            code: "duplicate-id",
            why: format!("two different entries have the id `{}`; the later one is used", fact.id()),
        });
        if (kept.at, kept.to_json()) < (fact.at, fact.to_json()) {
            *kept = fact;
        }
    }
    by_id
}
