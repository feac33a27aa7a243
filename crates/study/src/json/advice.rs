//! Advice, as written.

use schemars::JsonSchema;
use serde::Serialize;

/// A rule of the policy that fired.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RuleOut {
    /// Name in the policy file.
    pub rule: String,
    /// Urgency it asks for.
    pub urgency: String,
    /// Why it fired, with the figures.
    pub because: String,
    /// Why the rule exists.
    pub reason: String,
}

/// How likely the verdict is to change with more knowledge.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MayChangeOut {
    /// Probability that it becomes more urgent.
    pub more_urgent: f64,
    /// Probability that it becomes less urgent.
    pub less_urgent: f64,
    /// Checks that could change it, the most telling first.
    pub checks: Vec<CheckChanceOut>,
    /// How it was reckoned.
    pub basis: String,
}

/// A check, and the most it can do to the verdict.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CheckChanceOut {
    /// What to do.
    pub what: String,
    /// Probability that the urgency changes, if the check told for certain.
    pub chance: f64,
}

/// The verdict.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct VerdictOut {
    /// `now`, `within-72-hours`, `this-month`, `plan-it` or `no-action`.
    pub urgency: String,
    /// One or two sentences.
    pub summary: String,
    /// Rules that fired, most urgent first.
    pub rules: Vec<RuleOut>,
    /// What would change the advice.
    pub would_change: Vec<String>,
    /// How likely more knowledge changes it.
    pub may_change: Option<MayChangeOut>,
    /// Name and version of the policy.
    pub policy: String,
    /// Cautions that belong to it.
    pub cautions: Vec<String>,
}

/// Lowest and highest.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RangeOut {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
}

/// An option with its reasons.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OptionOut {
    /// Kind, for example `leave-and-watch`.
    pub option: String,
    /// Title in plain words.
    pub title: String,
    /// `recommended`, `open`, `conditional` or `refused`.
    pub standing: String,
    /// Reasons for.
    pub reasons_for: Vec<String>,
    /// Reasons against.
    pub reasons_against: Vec<String>,
    /// Conditions to be met first.
    pub conditions: Vec<String>,
    /// What it does not solve.
    pub leaves: Vec<String>,
    /// What happens if it is chosen.
    pub consequences: String,
    /// What would change the advice on it.
    pub would_change: String,
    /// Hours without power; data of the policy.
    pub hours_off: Option<RangeOut>,
    /// Price range in US dollars; data of the policy.
    pub price_usd: Option<RangeOut>,
}

/// A check worth doing next.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CheckOut {
    /// What to do.
    pub what: String,
    /// Kind: `face-temperature`, `load-and-read`, `terminal-temperature`, `lug-temperature`, `clamp`, `drop`, `leg-voltages`, `look`.
    pub kind: String,
    /// Places, as written in job files.
    pub places: Vec<String>,
    /// Ids of the joints it tells about.
    pub joints: Vec<String>,
    /// `cover-on`, `cover-off` or `proven-dead`.
    pub exposure: String,
    /// Who may do it.
    pub who: String,
    /// Minutes it takes.
    pub minutes: Option<f64>,
    /// Expected gain of information, bits.
    pub gain_bits: Option<f64>,
    /// What to expect under each rival.
    pub expects: Vec<ExpectOut>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// A reading expected under a rival.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ExpectOut {
    /// The rival.
    pub rival: String,
    /// The reading.
    pub reading: String,
}
