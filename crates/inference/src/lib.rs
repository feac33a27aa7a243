//! From evidence to joint conditions, rival causes and the next best safe check.
//!
//! The entry is [`judge`].

use model::assessment::{ComplaintFinding, JointFinding, SamplingReport, SupplyFinding};
use model::job::Job;
use model::{Note, advice::CheckAdvice, working::Working};

/// What a judgement may be asked with.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgeOptions {
    /// Seed of the sampler.
    pub seed: u64,
    /// Sweeps kept a chain.
    pub n_sweeps: usize,
    /// Chains.
    pub n_chains: usize,
}

impl Default for JudgeOptions {
    fn default() -> Self {
        JudgeOptions { seed: 1, n_sweeps: 1_000, n_chains: 4 }
    }
}

/// Everything the evidence says, before any policy.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// One finding a joint, in the order of [`model::joint::joints`].
    pub joints: Vec<JointFinding>,
    /// State of the supply.
    pub supply: Vec<SupplyFinding>,
    /// Causes, one entry a complaint.
    pub causes: Vec<ComplaintFinding>,
    /// Checks worth doing next, best first.
    pub next_checks: Vec<CheckAdvice>,
    /// Remarks.
    pub notes: Vec<Note>,
    /// Workings of the figures.
    pub workings: Vec<Working>,
    /// How the posterior was computed.
    pub sampling: SamplingReport,
    /// Version of the model and its data files.
    pub model_version: String,
}
