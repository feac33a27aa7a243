//! Findings, as written.

use schemars::JsonSchema;
use serde::Serialize;

/// Probability of each condition; the three sum to 1 within rounding.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ProbabilityOut {
    /// As it should be.
    pub sound: f64,
    /// Higher resistance than new, not yet hot at rated load.
    pub worn: f64,
    /// Damaged by heat or arcing.
    pub burnt: f64,
}

/// Median and 90 % interval.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct IntervalOut {
    /// 5 % quantile.
    pub low: f64,
    /// Median.
    pub median: f64,
    /// 95 % quantile.
    pub high: f64,
}

/// One reason for or against a joint or supply path being bad.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReasonOut {
    /// A sentence.
    pub text: String,
    /// Class of what it rests on: `seen`, `measured`, `inferred`, `unknown`.
    pub class: String,
    /// Weight of evidence for burnt, decibans; negative speaks against. Null where it is not a number.
    pub weight_db: Option<f64>,
    /// Id of the fact it rests on, if on one.
    pub fact: Option<String>,
}

/// What is thought of one joint.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct JointOut {
    /// Id, for example `main:stab:5`.
    pub id: String,
    /// `stab`, `lug`, `terminal`, `neutral` or `feeder`.
    pub kind: String,
    /// Panel.
    pub panel: String,
    /// The space in which the pole itself sits, for joints of a pole or circuit.
    pub space: Option<String>,
    /// Pole number, from 1, for stabs and terminals.
    pub pole: Option<u8>,
    /// Leg, for joints of an ungrounded conductor.
    pub leg: Option<String>,
    /// Words for people.
    pub label: String,
    /// Probability of each condition.
    pub probability: ProbabilityOut,
    /// Standard error of `probability.burnt` from sampling alone.
    pub probability_error: f64,
    /// Probability of burnt from the description of the panel alone.
    pub prior_burnt: f64,
    /// Heat in the joint in the most loaded recorded state, watts. Null where no current is known.
    pub heat_now_w: Option<IntervalOut>,
    /// Heat in the joint at the breaker's rating, watts.
    pub heat_rated_w: Option<IntervalOut>,
    /// Current behind `heat_now_w`, amperes.
    pub current_now_a: Option<IntervalOut>,
    /// Current behind `heat_rated_w`, amperes.
    pub current_rated_a: Option<f64>,
    /// Resistance, milliohms.
    pub resistance_mohm: Option<IntervalOut>,
    /// Hottest metal in the joint in the most loaded state, °C. Null outside the validity of the relation.
    pub hot_spot_c: Option<IntervalOut>,
    /// Did any observation bear on this joint?
    pub observed: bool,
    /// Reasons, strongest first.
    pub reasons: Vec<ReasonOut>,
}

/// State of one supply path.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SupplyOut {
    /// `leg A`, `leg B`, `leg C` or `neutral`.
    pub path: String,
    /// Resistance as seen from the panel, milliohms.
    pub resistance_mohm: Option<IntervalOut>,
    /// Probability that it is failing.
    pub failing: f64,
    /// Reasons, strongest first.
    pub reasons: Vec<ReasonOut>,
}

/// How likely a cause explains a complaint.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CauseOut {
    /// Cause, for example `burnt-stab`, `overload`, `service-neutral`.
    pub cause: String,
    /// Words for people.
    pub label: String,
    /// Probability; those of one complaint sum to 1 within rounding.
    pub probability: f64,
    /// Why, strongest first.
    pub reasons: Vec<String>,
    /// Ids of the joints it points at, most probable first.
    pub joints: Vec<String>,
}

/// Causes of one complaint.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ComplaintOut {
    /// Kind, for example `trips`.
    pub complaint: String,
    /// The caller's words.
    pub words: String,
    /// The panel it is about, where it is about one circuit.
    pub panel: Option<String>,
    /// The space it is about, where it is about one circuit.
    pub space: Option<String>,
    /// Causes, most probable first.
    pub causes: Vec<CauseOut>,
    /// What would separate the leading two.
    pub separates: Option<String>,
}

/// A remark that must reach the page.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct NoteOut {
    /// What it is about.
    pub subject: String,
    /// One or two sentences.
    pub text: String,
    /// Where it comes from.
    pub source: Option<String>,
}

/// One input of a formula.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WorkingInputOut {
    /// Symbol as in the formula.
    pub symbol: String,
    /// What it is.
    pub meaning: String,
    /// Value as printed, with unit.
    pub value: String,
    /// Where the value comes from.
    pub from: String,
}

/// How a figure came about.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WorkingOut {
    /// What is computed.
    pub title: String,
    /// The joint or place it is about.
    pub subject: String,
    /// Formula as printed in the source.
    pub formula: String,
    /// Inputs.
    pub inputs: Vec<WorkingInputOut>,
    /// Result as printed, with unit.
    pub result: String,
    /// Where the formula holds.
    pub validity: String,
    /// Source of the formula.
    pub source: String,
}

/// A statement in its class.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StatementOut {
    /// `seen`, `measured`, `inferred`, `unknown`.
    pub class: String,
    /// The statement, in plain words.
    pub text: String,
    /// Ids of the facts it rests on.
    pub facts: Vec<String>,
}

/// How the posterior was computed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SamplingOut {
    /// Chains.
    pub n_chains: usize,
    /// Kept draws over all chains.
    pub n_draws: usize,
    /// Sweeps that each chain made for them; more than it kept where it went on for longer.
    pub n_sweeps: usize,
    /// Smallest effective sample size over the joints' burnt probabilities.
    pub effective_draws: Option<f64>,
    /// Largest split R-hat.
    pub r_hat: Option<f64>,
    /// Largest standard error of a burnt probability.
    pub worst_standard_error: f64,
    /// Did the checks pass?
    pub converged: bool,
    /// What did not pass.
    pub problem: Option<String>,
}
