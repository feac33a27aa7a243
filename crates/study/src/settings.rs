//! What an assessment is asked with, and why one may not be possible.

use inference::learning::Experience;
use model::Date;
use remedy::Policy;

/// What an assessment is asked with.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Day it is computed for; printed on the papers.
    pub day: Date,
    /// Seed of the sampler. The same job, settings and program give the same bytes.
    pub seed: u64,
    /// The shop's policy.
    pub policy: Policy,
    /// Sweeps kept a chain.
    pub n_sweeps: usize,
    /// Chains.
    pub n_chains: usize,
    /// What the shop has counted; empty: the program's own chances.
    pub experience: Experience,
}

impl Settings {
    /// Settings for a day, everything else as usual.
    pub fn on(day: Date) -> Settings {
        let usual = inference::JudgeOptions::default();
        Settings {
            day,
            seed: usual.seed,
            policy: Policy::standard(),
            n_sweeps: usual.n_sweeps,
            n_chains: usual.n_chains,
            experience: usual.experience,
        }
    }
}

/// Why a job could not be studied.
#[derive(Debug, thiserror::Error)]
pub enum StudyError {
    /// The inference refused it.
    #[error("the job `{job}` cannot be judged: {source}")]
    Judge {
        /// The job.
        job: String,
        /// Why.
        source: inference::JudgeError,
    },
    /// A data file of the program is broken.
    #[error(transparent)]
    Priors(#[from] inference::PriorsError),
    /// A paper could not be set.
    #[cfg(feature = "pdf")]
    #[error("a paper of the job `{job}` cannot be set: {source}")]
    Paper {
        /// The job.
        job: String,
        /// Why.
        source: papers::PaperError,
    },
}
