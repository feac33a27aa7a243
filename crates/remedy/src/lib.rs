//! Verdict and options under a shop's policy.
//!
//! The entry is [`decide`]: what the inference found goes in, with the shop's [`Policy`]; a verdict with its reasons
//! and every option, open or refused, come out. Thresholds, prices and hours are data of the policy; what may never
//! be advised (pulling a breaker off a live stab) is not.

pub mod address;
pub mod board;
mod caution;
mod condition;
#[cfg(test)]
mod decided;
mod dice;
pub mod experience;
pub mod fill;
pub mod forecast;
pub mod gate;
mod growth;
#[cfg(test)]
mod house;
mod isolation;
mod knowledge;
pub mod layout;
pub mod materials;
mod measured_heat;
mod moving;
mod option;
pub mod outage;
pub mod plan;
mod policy;
mod pressing;
pub mod price;
pub mod proving;
pub mod reach;
mod rebuilt;
#[cfg(test)]
mod sample;
mod set_against;
mod situation;
mod summary;
pub mod surprise;
pub mod survey;
pub mod triage;
mod turned;
mod verdict;
pub mod words;
pub mod work;

pub use board::board;
pub use dice::Three;
pub use gate::{allowed, gate};
pub use isolation::{NoSuchPart, isolate, live_parts};
pub use moving::{NotMovable, moves};
pub use plan::{PlanDraft, propose};
pub use policy::{Policy, PolicyError, PolicyProblem, RuleWords};
pub use rebuilt::rebuilt;
pub use set_against::set_against;
pub use triage::{CallAdvice, CallUrgency, FirstCall, Triage};

use model::advice::{CheckAdvice, Choice, Verdict};
use model::assessment::{ComplaintFinding, JointFinding, SupplyFinding};
use model::job::Job;
use model::trend::Trend;
use model::{FactId, Note};
use situation::Situation;

/// What the evidence says, as the inference gives it.
#[derive(Debug, Clone, Copy)]
pub struct Findings<'a> {
    /// One finding a joint.
    pub joints: &'a [JointFinding],
    /// State of the supply.
    pub supply: &'a [SupplyFinding],
    /// Causes, one entry a complaint.
    pub causes: &'a [ComplaintFinding],
    /// Checks worth doing next, best first.
    pub next_checks: &'a [CheckAdvice],
    /// Readings that nothing else on record explains.
    pub unexplained: &'a [FactId],
    /// Places that were read at two visits or more, held against themselves.
    pub trends: &'a [Trend],
}

/// What is advised.
#[derive(Debug, Clone, PartialEq)]
pub struct Decision {
    /// Urgency, the rules that fired, what would change the advice, cautions.
    pub verdict: Verdict,
    /// Every option, in the order of [`model::advice::ChoiceKind`].
    pub options: Vec<Choice>,
    /// Remarks that must reach the page.
    pub notes: Vec<Note>,
}

/// Verdict and options for a job.
pub fn decide(job: &Job, findings: &Findings<'_>, policy: &Policy) -> Decision {
    let situation = Situation::of(job, findings, policy);
    let verdict = verdict::verdict(&situation);
    let options = option::options(&situation, &verdict);
    Decision { verdict, options, notes: verdict::notes(&situation) }
}
