//! The judgement: conditions of joints, causes, and how good the computation was.

use crate::advice::{CheckAdvice, Choice, Verdict};
use crate::cite::Note;
use crate::job::ComplaintKind;
use crate::joint::Joint;
use crate::trend::Trend;
use crate::working::Working;
use jiff::civil::Date;

/// Median and 90 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// 5 % quantile.
    pub low: f64,
    /// Median.
    pub median: f64,
    /// 95 % quantile.
    pub high: f64,
}

/// Probability of each condition; the three sum to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConditionProbability {
    /// Sound.
    pub sound: f64,
    /// Worn.
    pub worn: f64,
    /// Burnt.
    pub burnt: f64,
    /// Standard error of `burnt` from sampling alone.
    pub burnt_standard_error: f64,
}

/// Class of a statement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Class {
    /// Seen by a person; a photo may show it.
    Seen,
    /// Measured, with value and conditions.
    Measured,
    /// Inferred, with probability and reasons.
    Inferred,
    /// Not known.
    Unknown,
}

/// One reason for or against a joint being burnt.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// A sentence, for example `face at 62 °C with 12 A: 14 K warmer than a sound joint would make it`.
    pub text: String,
    /// Class of what it rests on.
    pub class: Class,
    /// Weight of evidence for burnt, in decibans (10·log10 of the likelihood ratio); negative speaks against.
    pub weight_db: f64,
    /// Fact it rests on, if on one.
    pub fact: Option<crate::id::FactId>,
}

/// What is thought of one joint.
#[derive(Debug, Clone, PartialEq)]
pub struct JointFinding {
    /// The joint.
    pub joint: Joint,
    /// Probability of each condition.
    pub probability: ConditionProbability,
    /// Probability of burnt before any observation of this visit, with the panel's description only.
    pub prior_burnt: f64,
    /// Resistance, milliohms.
    pub resistance_mohm: Interval,
    /// Heat in the joint in the most loaded recorded state, watts. `None` where no current is known or assumed.
    pub heat_now_w: Option<Interval>,
    /// Current behind `heat_now_w`, amperes.
    pub current_now_a: Option<Interval>,
    /// Heat in the joint at the breaker's rating, watts.
    pub heat_rated_w: Interval,
    /// Current behind `heat_rated_w`, amperes.
    pub current_rated_a: f64,
    /// Hottest metal in the joint in the most loaded state, °C; `None` where outside the relation's validity.
    pub hot_spot_c: Option<Interval>,
    /// Reasons, strongest first.
    pub reasons: Vec<Reason>,
    /// Did any observation bear on this joint? If not, its probability is the prior spread by its neighbours.
    pub observed: bool,
}

/// Possible causes of a complaint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// A burnt or worn clip on a stab.
    BurntStab,
    /// A loose or burnt load terminal.
    LooseTerminal,
    /// A loose or burnt line lug or feeder connection.
    LooseLug,
    /// A neutral joint inside the panel.
    PanelNeutral,
    /// The service neutral, from the panel to the transformer.
    ServiceNeutral,
    /// One leg lost or failing before the panel.
    LostLeg,
    /// Utility side: long drop, small transformer, meter.
    UtilitySide,
    /// More load than the breaker's rating; the breaker does its job.
    Overload,
    /// A weak or mis-calibrated breaker.
    WeakBreaker,
    /// Arc-fault or ground-fault electronics doing their job.
    ProtectionWorking,
    /// Start of a motor.
    MotorStart,
    /// Warm surroundings or a warm neighbour.
    WarmSurroundings,
    /// A fault in an appliance or in the branch wiring beyond the panel.
    BeyondPanel,
    /// Nothing found that would explain it.
    NotExplained,
}

impl Cause {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Cause::BurntStab => "burnt-stab",
            Cause::LooseTerminal => "loose-terminal",
            Cause::LooseLug => "loose-lug",
            Cause::PanelNeutral => "panel-neutral",
            Cause::ServiceNeutral => "service-neutral",
            Cause::LostLeg => "lost-leg",
            Cause::UtilitySide => "utility-side",
            Cause::Overload => "overload",
            Cause::WeakBreaker => "weak-breaker",
            Cause::ProtectionWorking => "protection-working",
            Cause::MotorStart => "motor-start",
            Cause::WarmSurroundings => "warm-surroundings",
            Cause::BeyondPanel => "beyond-panel",
            Cause::NotExplained => "not-explained",
        }
    }

    /// A phrase for people.
    pub const fn phrase(self) -> &'static str {
        match self {
            Cause::BurntStab => "a burnt connection between breaker and bus bar",
            Cause::LooseTerminal => "a loose wire at a breaker",
            Cause::LooseLug => "a loose main or feeder connection in the panel",
            Cause::PanelNeutral => "a loose neutral connection in the panel",
            Cause::ServiceNeutral => "the utility neutral between the panel and the transformer",
            Cause::LostLeg => "one of the two supply legs failing before the panel",
            Cause::UtilitySide => "the supply before the panel",
            Cause::Overload => "more load on the circuit than its rating",
            Cause::WeakBreaker => "a breaker that opens too early",
            Cause::ProtectionWorking => "arc-fault or ground-fault protection doing its job",
            Cause::MotorStart => "the start of a motor",
            Cause::WarmSurroundings => "warm surroundings or a warm neighbour",
            Cause::BeyondPanel => "a fault beyond the panel, in an appliance or in the wiring",
            Cause::NotExplained => "nothing that was found explains it",
        }
    }
}

/// How likely a cause explains a complaint.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseFinding {
    /// Cause.
    pub cause: Cause,
    /// Probability that it is what explains the complaint; the causes of one complaint sum to 1.
    pub probability: f64,
    /// Why, strongest first.
    pub reasons: Vec<String>,
    /// Joints it points at, most probable first.
    pub joints: Vec<crate::joint::JointId>,
}

/// Causes of one complaint side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct ComplaintFinding {
    /// What was complained of.
    pub kind: ComplaintKind,
    /// In the caller's words.
    pub words: String,
    /// The slot it is about.
    pub slot: Option<crate::id::Slot>,
    /// Causes, most probable first.
    pub causes: Vec<CauseFinding>,
    /// What would separate the leading two.
    pub separates: Option<String>,
}

/// State of the supply as inferred from voltages: resistances seen from the panel.
#[derive(Debug, Clone, PartialEq)]
pub struct SupplyFinding {
    /// Name: `leg A`, `leg B`, `neutral`.
    pub path: String,
    /// Resistance, milliohms.
    pub resistance_mohm: Interval,
    /// Probability that it is failing.
    pub failing: f64,
    /// Reasons.
    pub reasons: Vec<Reason>,
}

/// How the posterior was computed and how far it can be trusted numerically.
#[derive(Debug, Clone, PartialEq)]
pub struct SamplingReport {
    /// Seed.
    pub seed: u64,
    /// Chains.
    pub n_chains: usize,
    /// Kept draws over all chains.
    pub n_draws: usize,
    /// Sweeps that each chain made for them; more than it kept where the checks did not pass at first and it went on for longer.
    pub n_sweeps: usize,
    /// Smallest effective sample size over the joints' burnt probabilities.
    pub effective_draws: f64,
    /// Largest split R-hat over the joints' log resistances.
    pub r_hat: f64,
    /// Largest standard error of a burnt probability.
    pub worst_standard_error: f64,
    /// Did the checks pass? If not, `problem` says which did not.
    pub converged: bool,
    /// What did not pass.
    pub problem: Option<String>,
}

/// A statement of the paper in its class, in plain words.
#[derive(Debug, Clone, PartialEq)]
pub struct Statement {
    /// Class.
    pub class: Class,
    /// The statement.
    pub text: String,
    /// Facts it rests on.
    pub facts: Vec<crate::id::FactId>,
}

/// Readings that are not told to an owner as facts.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SetAgainst {
    /// Another reading of the same place and state says something else.
    pub contradicted: Vec<crate::id::FactId>,
    /// A later reading of the same place and state stands in its place, or lasting work made anew what it was of.
    pub replaced: Vec<crate::id::FactId>,
}

impl SetAgainst {
    /// May a reading be told as it stands?
    pub fn stands(&self, fact: &crate::id::FactId) -> bool {
        !self.contradicted.contains(fact) && !self.replaced.contains(fact)
    }
}

/// The whole judgement of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// Job.
    pub job: String,
    /// Day it was computed for.
    pub day: Date,
    /// Version of the model and its data files.
    pub model_version: String,
    /// One finding a joint, in the order of [`crate::joint::joints`].
    pub joints: Vec<JointFinding>,
    /// State of the supply, where voltages say something.
    pub supply: Vec<SupplyFinding>,
    /// Causes, one entry a complaint (one entry without words where there was no complaint).
    pub causes: Vec<ComplaintFinding>,
    /// Statements for the papers: seen, measured, inferred, unknown.
    pub statements: Vec<Statement>,
    /// Verdict under the shop's policy.
    pub verdict: Verdict,
    /// Options, including doing nothing for now.
    pub options: Vec<Choice>,
    /// Checks worth doing next, best first.
    pub next_checks: Vec<CheckAdvice>,
    /// Readings that nothing else on record explains; a note tells of each.
    pub unexplained: Vec<crate::id::FactId>,
    /// Readings that are not told to an owner as facts.
    pub set_against: SetAgainst,
    /// Places that were read at two visits or more, held against themselves.
    pub trends: Vec<Trend>,
    /// Remarks.
    pub notes: Vec<Note>,
    /// Workings of the figures on the papers.
    pub workings: Vec<Working>,
    /// How the posterior was computed.
    pub sampling: SamplingReport,
}
