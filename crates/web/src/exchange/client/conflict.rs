//! What does not go together after two sides were put into one.

use super::report::Conflict;
use crate::exchange::wire::Names;
use record::Fact;
use std::collections::{BTreeMap, BTreeSet};
use store::{Error, Store};

/// Do both sides have a job of this name, with no entry in common? Then it is likely another house.
pub(super) fn is_another_job(here: &Names, there: &Names) -> bool {
    // One side may have forgotten the job: its facts have other names then.
    let names = |names: &Names| -> BTreeSet<model::FactId> {
        names.facts.iter().map(|name| record::forget::renamed(&model::FactId::new(name.as_str()))).collect()
    };
    !here.facts.is_empty() && !there.facts.is_empty() && names(here).is_disjoint(&names(there))
}

/// The contradictions in a job as it is here.
pub(super) async fn of(store: &Store, job: &str) -> Result<Vec<Conflict>, Error> {
    let facts = store.facts(job).await?;
    let aside = record::settle(&facts, None).set_aside.into_iter().map(|aside| Conflict {
        job: job.to_owned(),
        entry: aside.fact.to_string(),
        other: aside.in_favour_of.map(|id| id.to_string()),
        why: aside.why,
    });
    Ok(aside.chain(corrected_twice(job, &facts)).collect())
}

/// Two sides corrected the same entry, each without knowing of the other.
fn corrected_twice(job: &str, facts: &[Fact]) -> Vec<Conflict> {
    let replaced: BTreeSet<&str> =
        facts.iter().flat_map(|fact| fact.supersedes.iter().map(|old| old.0.as_str())).collect();
    let mut by_old: BTreeMap<&str, Vec<&Fact>> = BTreeMap::new();
    for fact in facts.iter().filter(|fact| !replaced.contains(fact.id().as_str())) {
        for old in &fact.supersedes {
            by_old.entry(old.0.as_str()).or_default().push(fact);
        }
    }
    let twice = by_old.into_iter().filter(|(_, by)| 1 < by.len());
    twice
        .map(|(old, mut by)| {
            by.sort_by_key(|fact| (fact.at, fact.id().clone()));
            Conflict {
                job: job.to_owned(),
                entry: by[by.len() - 1].id().to_string(),
                other: Some(by[0].id().to_string()),
                why: format!("both correct the entry `{old}`"),
            }
        })
        .collect()
}
