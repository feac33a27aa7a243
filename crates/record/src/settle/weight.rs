//! How much a finding weighs for facts that are settled: an error of a file may be no more than a gap of a record that
//! is still being written.

use crate::check::Finding;
use crate::fact::{Body, Fact};
use crate::problem::Severity;
use model::FactId;
use std::collections::BTreeMap;

/// What follows from a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    /// The fact cannot be used.
    Counts,
    /// Something is not recorded yet.
    Missing,
    /// The fact is used; the reader should know.
    Warns,
}

/// Facts by their ids.
pub(super) fn by_id<'a>(facts: &[&'a Fact]) -> BTreeMap<&'a FactId, &'a Fact> {
    facts.iter().map(|fact| (fact.id(), *fact)).collect()
}

/// Weighs a finding.
pub(super) fn weigh(finding: &Finding, by_id: &BTreeMap<&FactId, &Fact>) -> Weight {
    if finding.severity == Severity::Warning {
        return Weight::Warns;
    }
    let nothing_there = matches!(
        finding.code,
        "no-breaker" | "unknown-space" | "unknown-panel" | "unknown-id" | "unknown-state"
    );
    let field = finding.at.field.0;
    match finding.code {
        "no-job" | "no-panel" | "feed-unknown" => return Weight::Missing,
        _ if field == "feed" && nothing_there => return Weight::Missing,
        // Stored before a recheck was asked for: not to be lost for that.
        "future-date" | "stop-gap-without-recheck" => return Weight::Warns,
        _ => {}
    }
    let Some(fact) = finding.at.fact.as_ref().and_then(|id| by_id.get(id)) else { return Weight::Counts };
    // The same list as in `mend`, which takes these pointers out of the job.
    let is_loose = matches!(
        (&fact.body, field),
        (Body::State(_), "unloaded")
            | (Body::Photo(_) | Body::Pin(_) | Body::Complaint(_), "place")
            | (Body::Sign(_), "photo")
            | (Body::Trip(_), "state")
            | (Body::Breaker(_), "partner")
            | (Body::Work(_), "slots" | "moved_to")
            | (Body::Interim(_), "slots")
            | (Body::Installed(_), "from")
    );
    if is_loose && nothing_there { Weight::Warns } else { Weight::Counts }
}
