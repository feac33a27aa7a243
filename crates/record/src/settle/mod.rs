//! From the facts of a store to a job that stands, whatever they say: where facts contradict each other the later
//! one is used and the earlier one set aside, visibly. Nothing is lost and nothing refuses to open.
//!
//! Facts are taken up in the order in which they lean on each other: the job, the panels, the breakers in them, the
//! load states, then all that was read and seen. So a reading is held against the breaker that is used, not against
//! one that a later description has replaced.

mod doubts;
mod mend;
mod news;
mod pointers;
mod stages;
mod weight;

use crate::check::{Finding, check};
use crate::decode::Doubt;
use crate::fact::Fact;
use crate::fold::{Live, build, unplaced};
use crate::forget::{is_forgotten, redacted};
use crate::problem::{Problem, Severity};
use model::job::Job;
use model::{Date, FactId};
pub use news::news;
use stages::Stages;
use std::collections::BTreeMap;
use weight::Weight;

/// A fact that stands in the record but is not used, because it cannot stand beside others or by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetAside {
    /// The fact that is not used.
    pub fact: FactId,
    /// The fact that is used in its place or that rules it out, where it is one.
    pub in_favour_of: Option<FactId>,
    /// Stable code of the problem, as in [`crate::CODES`].
    pub code: &'static str,
    /// What does not go together, for people: lower case, no full stop.
    pub why: String,
}

/// What facts come to.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// The job; `None` where no fact opens one. Without a panel yet, its installation is empty.
    pub job: Option<Job>,
    /// Facts that contradict others or cannot be, each once, in order of time.
    pub set_aside: Vec<SetAside>,
    /// Facts that a later fact replaced or took back, and by which.
    pub replaced: BTreeMap<FactId, FactId>,
    /// What the record still lacks: normal while a job is being recorded.
    pub missing: Vec<Problem>,
    /// Warnings about what is used.
    pub warnings: Vec<Problem>,
}

impl Settled {
    /// Is this fact used: not set aside, not replaced? Of two facts of one id the later may be.
    pub fn is_used(&self, id: &FactId) -> bool {
        let is_out = |aside: &SetAside| aside.fact == *id && aside.in_favour_of.as_ref() != Some(id);
        !self.replaced.contains_key(id) && !self.set_aside.iter().any(is_out)
    }
}

/// Settles facts. `today` is the day from which dates count as future. The order in which facts are given, and how
/// often, makes no difference. Facts that [`crate::fold`] takes give the same job.
///
/// Of two facts that contradict each other the later one (by time, then id) is used. What a panel's description rules
/// out is set aside whichever is later, for without its panel nothing stands. A fact dated in the future is used, with
/// a warning: a wrong clock must not hide what was seen. A pointer at something that is not there (a sign's photo on
/// another phone, the breaker of a complaint that nobody has described yet) is left out of the job with a warning, and
/// its fact is used.
pub fn settle(facts: &[Fact], today: Option<Date>) -> Settled {
    // A store has redacted them already; a phone that kept them from before has not.
    let kept: Vec<Fact>;
    let forgotten = is_forgotten(facts);
    let facts = if forgotten {
        kept = facts.iter().map(redacted).collect();
        kept.as_slice()
    } else {
        facts
    };
    let pointers::Standing { facts: standing, doubles, replaced, mut notes } = pointers::standing(facts);
    let mut stages = Stages::new(&standing);
    stages.run();
    let (mut used, mut aside) = (stages.used, stages.aside);
    let findings = loop {
        let live = Live { facts: used.clone() };
        let findings = check(&live, &Doubt::default(), today);
        // The stages leave no error; should one be left, its fact goes, so that this ends and the job stands.
        if !stages::exclude_wrong(&mut used, &findings, &mut aside) {
            break findings;
        }
    };
    for (id, double) in doubles {
        aside.entry(id).or_insert(double);
    }
    let live = Live { facts: used };
    let by_id = weight::by_id(&live.facts);
    let mut missing = Vec::new();
    for finding in findings {
        match weight::weigh(&finding, &by_id) {
            Weight::Missing => missing.push(unplaced(finding)),
            Weight::Warns | Weight::Counts => notes.push(finding),
        }
    }
    let job = build(&live).map(|mut job| {
        if forgotten {
            job.photos.clear();
        }
        mend::mend(&mut job);
        job.doubts = doubts::doubts(facts, &live.facts, &replaced, &aside);
        job
    });
    Settled { job, set_aside: in_time(facts, aside), replaced, missing, warnings: warnings(notes) }
}

fn warnings(findings: Vec<Finding>) -> Vec<Problem> {
    findings.into_iter().map(|finding| unplaced(Finding { severity: Severity::Warning, ..finding })).collect()
}

fn in_time(facts: &[Fact], aside: BTreeMap<FactId, SetAside>) -> Vec<SetAside> {
    let mut times = BTreeMap::new();
    for fact in facts {
        let time = times.entry(fact.id()).or_insert(fact.at);
        *time = fact.at.min(*time);
    }
    let mut aside: Vec<SetAside> = aside.into_values().collect();
    aside.sort_by_key(|aside| (times.get(&aside.fact).copied(), aside.fact.clone()));
    aside
}
