//! From evidence to joint conditions, rival causes and the next best safe check.
//!
//! [`judge`] does it all in one go. A caller with threads uses [`prepare`], runs [`Problem::run_chain`] for each chain
//! where it likes, and hands the draws to [`Problem::settle`]; both take a [`Run`] for their own parts. The answer is the same.

mod anew;
#[cfg(test)]
mod behaviour;
mod carried;
mod conclude;
mod ends;
pub mod learning;
mod priors;
mod problem;
mod rng;
mod run;
mod running;
mod sampler;
mod settle;
#[cfg(test)]
mod testjob;
mod told;
mod trend;
mod warm;

use learning::Experience;
use model::assessment::{ComplaintFinding, JointFinding, SamplingReport, SupplyFinding};
use model::job::Job;
use model::trend::Trend;
use model::{FactId, Note, advice::CheckAdvice, working::Working};

pub use priors::{ByCondition, Film, Mild, Odds, Priors, PriorsError, Spread};
pub use problem::Problem;
pub use run::{OneThread, Run};
pub use sampler::Draws;
pub use told::Told;
pub use warm::Warm;

/// What a judgement may be asked with.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgeOptions {
    /// Seed of the sampler.
    pub seed: u64,
    /// Sweeps a chain, all of them kept; where the checks fail it goes on for longer ([`Problem::settle`]) and keeps as many.
    pub n_sweeps: usize,
    /// Chains.
    pub n_chains: usize,
    /// What the shop has counted, beside the program's own chances.
    pub experience: Experience,
}

impl Default for JudgeOptions {
    fn default() -> Self {
        JudgeOptions { seed: 1, n_sweeps: 400, n_chains: 4, experience: Experience::default() }
    }
}

/// Why a job cannot be judged.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum JudgeError {
    /// There is no panel in the job.
    #[error("the job describes no panel")]
    NoPanel,
    /// A data file of the program is broken.
    #[error(transparent)]
    Priors(#[from] PriorsError),
    /// Fewer chains or sweeps than the checks need.
    #[error("{n_chains} chains of {n_sweeps} sweeps are too few: at least 2 of 20 are needed")]
    TooFew {
        /// Chains asked for.
        n_chains: usize,
        /// Sweeps asked for.
        n_sweeps: usize,
    },
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
    /// Readings that nothing else on record explains; a note tells of each.
    pub unexplained: Vec<FactId>,
    /// Remarks.
    pub notes: Vec<Note>,
    /// Places that were read at two visits or more, held against themselves.
    pub trends: Vec<Trend>,
    /// Workings of the figures.
    pub workings: Vec<Working>,
    /// How the posterior was computed.
    pub sampling: SamplingReport,
    /// Version of the model and its data files.
    pub model_version: String,
}

/// Sweeps of the pilot runs that find where to linearise: the first half of each is left out.
const PILOTS: [usize; 2] = [60, 120];

/// Makes a job ready for sampling: reads priors, builds the networks, linearises them where the evidence points.
///
/// # Errors
/// [`JudgeError`] where there is nothing to judge or too little is asked for.
pub fn prepare(job: &Job, options: &JudgeOptions, run: &impl Run) -> Result<Problem, JudgeError> {
    let mut problem = begin(job, options)?;
    problem.linearise_at(None);
    if problem.has_thermal() {
        let mut draws = Draws(Vec::new());
        for (number, n_sweeps) in (1_000..).zip(PILOTS) {
            draws = sampler::Chain::new(&problem, options.seed, number).run(n_sweeps / 2, n_sweeps / 2);
            let (ohm, loads) = draws.means();
            problem.linearise(&ohm, &loads);
        }
        problem.straighten(&draws.0, run);
    }
    Ok(problem)
}

/// Makes a job ready that was judged before, with fewer facts: the networks are linearised where its chains ended. To be followed
/// by [`Problem::run_chain_warm`].
///
/// # Errors
/// As [`prepare`].
pub fn prepare_warm(
    job: &Job,
    options: &JudgeOptions,
    warm: &Warm,
    run: &impl Run,
) -> Result<Problem, JudgeError> {
    let mut problem = begin(job, options)?;
    problem.linearise_at(Some(warm));
    if problem.has_thermal() {
        let draws = sampler::Chain::new(&problem, options.seed, 1_000).taken(&warm.spread());
        problem.straighten(&draws, run);
    }
    Ok(problem)
}

/// Makes a job ready that was judged before, with fewer facts, and weighs the draws of that judgement by what is new: no chain is
/// run. To be followed by [`Problem::conclude_told`]. `None` where the unknowns are others than before, or where too few draws
/// carry the weight.
///
/// # Errors
/// As [`prepare`].
pub fn prepare_told(
    job: &Job,
    options: &JudgeOptions,
    warm: &Warm,
    run: &impl Run,
) -> Result<Option<(Problem, Told)>, JudgeError> {
    let mut problem = begin(job, options)?;
    let told = problem.told(warm, run);
    Ok(told.map(|told| (problem, told)))
}

/// The problem of a job, its networks not linearised yet: what later visits have overtaken is held against them and no longer
/// weighed, nor what lasting work has made anew.
fn begin(job: &Job, options: &JudgeOptions) -> Result<Problem, JudgeError> {
    if job.installation.panels.is_empty() {
        return Err(JudgeError::NoPanel);
    }
    if options.n_chains < 2 || options.n_sweeps < 20 {
        return Err(JudgeError::TooFew { n_chains: options.n_chains, n_sweeps: options.n_sweeps });
    }
    let priors = Priors::built_in()?.with(&options.experience);
    let (job, turned) = ends::from_the_source(job);
    let (trends, weighed, notes) = trend::trends(&job, &priors)?;
    let mut problem = Problem::built(&weighed.standing(), priors, options.clone());
    problem.trends = trends;
    problem.notes.extend(turned.into_iter().chain(notes).chain(anew::notes(&weighed)));
    Ok(problem)
}

/// Sweeps that a warm chain makes before it keeps any: the new fact has to reach everything it bears on. After one more drop in
/// forty simulated houses, twelve were as good as forty.
const WARM_BURN: usize = 12;

impl Problem {
    /// Runs one chain from where it stood at an earlier judgement.
    pub fn run_chain_warm(&self, number: usize, warm: &Warm) -> Draws {
        let mut chain = sampler::Chain::new(self, self.options.seed, number as u64);
        if let Some(standing) = warm.chain(number) {
            chain.take(&standing);
        }
        chain.run(WARM_BURN, self.options.n_sweeps)
    }

    /// Runs one chain; the same number always gives the same draws.
    pub fn run_chain(&self, number: usize) -> Draws {
        let n_burn = 60 + self.options.n_sweeps / 8;
        sampler::Chain::new(self, self.options.seed, number as u64).run(n_burn, self.options.n_sweeps)
    }

    /// Number of chains to run.
    pub fn n_chains(&self) -> usize {
        self.options.n_chains
    }
}

/// Judges a job.
///
/// # Errors
/// As [`prepare`].
pub fn judge(job: &Job, options: &JudgeOptions) -> Result<Judgement, JudgeError> {
    let problem = prepare(job, options, &OneThread)?;
    let chains = OneThread.run(problem.n_chains(), |number| problem.run_chain(number));
    Ok(problem.settle(chains, &OneThread).0)
}
