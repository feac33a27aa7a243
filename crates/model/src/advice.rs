//! What is advised: urgency, options, next checks.

use crate::job::Exposure;
use crate::joint::JointId;
use crate::place::Place;

/// Urgency bands, most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Urgency {
    /// Do not leave it energized.
    Now,
    /// Within 72 hours.
    Within72Hours,
    /// This month.
    ThisMonth,
    /// Plan it.
    PlanIt,
    /// No action.
    NoAction,
}

impl Urgency {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Urgency::Now => "now",
            Urgency::Within72Hours => "within-72-hours",
            Urgency::ThisMonth => "this-month",
            Urgency::PlanIt => "plan-it",
            Urgency::NoAction => "no-action",
        }
    }

    /// A phrase for people.
    pub const fn phrase(self) -> &'static str {
        match self {
            Urgency::Now => "now, before anybody leaves",
            Urgency::Within72Hours => "within 72 hours",
            Urgency::ThisMonth => "this month",
            Urgency::PlanIt => "plan it, no hurry",
            Urgency::NoAction => "no action needed on the panel",
        }
    }
}

/// A rule of the shop's policy that fired.
#[derive(Debug, Clone, PartialEq)]
pub struct FiredRule {
    /// Name in the policy file.
    pub rule: String,
    /// Urgency it asks for.
    pub urgency: Urgency,
    /// Why it fired, with the figures.
    pub because: String,
    /// Why the rule exists, from the policy file.
    pub reason: String,
    /// Why, for the owner in plain words, where the policy has them.
    pub owner: Option<String>,
}

/// How likely the verdict is to change with more knowledge.
#[derive(Debug, Clone, PartialEq)]
pub struct MayChange {
    /// Probability that it becomes more urgent.
    pub more_urgent: f64,
    /// Probability that it becomes less urgent.
    pub less_urgent: f64,
    /// Checks that could change it, the most telling first.
    pub checks: Vec<CheckChance>,
    /// How it was reckoned.
    pub basis: String,
}

/// A check, and the most it can do to the verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckChance {
    /// What to do.
    pub what: String,
    /// Probability that the urgency changes, if the check told for certain.
    pub chance: f64,
}

/// The verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Urgency.
    pub urgency: Urgency,
    /// One or two sentences for a technician.
    pub summary: String,
    /// Rules that fired, most urgent first.
    pub rules: Vec<FiredRule>,
    /// What would change the advice.
    pub would_change: Vec<String>,
    /// How likely more knowledge changes it.
    pub may_change: Option<MayChange>,
    /// Name and version of the policy.
    pub policy: String,
    /// Cautions that belong to it.
    pub cautions: Vec<String>,
}

/// Kinds of option.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ChoiceKind {
    /// Do nothing for now, and watch.
    LeaveAndWatch,
    /// Switch off and tag.
    MakeSafe,
    /// Call the utility.
    CallUtility,
    /// Correct the load or the circuit, panel left as it is.
    CorrectLoad,
    /// Move the circuit to a sound stab as a dated stop-gap.
    MoveCircuit,
    /// Remake a lug or terminal, proven dead.
    RemakeJoint,
    /// Replace the interior.
    ReplaceInterior,
    /// Replace the panel.
    ReplacePanel,
    /// Replace panel and service.
    ReplaceService,
}

impl ChoiceKind {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            ChoiceKind::LeaveAndWatch => "leave-and-watch",
            ChoiceKind::MakeSafe => "make-safe",
            ChoiceKind::CallUtility => "call-utility",
            ChoiceKind::CorrectLoad => "correct-load",
            ChoiceKind::MoveCircuit => "move-circuit",
            ChoiceKind::RemakeJoint => "remake-joint",
            ChoiceKind::ReplaceInterior => "replace-interior",
            ChoiceKind::ReplacePanel => "replace-panel",
            ChoiceKind::ReplaceService => "replace-service",
        }
    }
}

/// May an option be taken?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Recommended under the policy.
    Recommended,
    /// Open to choose.
    Open,
    /// Open only when named conditions are met.
    Conditional,
    /// Not offered, with reasons.
    Refused,
}

/// An option with its reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Kind.
    pub kind: ChoiceKind,
    /// Title in plain words.
    pub title: String,
    /// Standing.
    pub standing: Standing,
    /// Reasons for.
    pub reasons_for: Vec<String>,
    /// Reasons against.
    pub reasons_against: Vec<String>,
    /// What it does not solve.
    pub leaves: Vec<String>,
    /// What happens if it is chosen, in plain words; for doing nothing, its consequences.
    pub consequences: String,
    /// What would change the advice on it.
    pub would_change: String,
    /// Conditions to be met first.
    pub conditions: Vec<String>,
    /// Hours without power, lowest and highest, where it means any.
    pub hours_off: Option<(f64, f64)>,
    /// Price range in US dollars, lowest and highest, where the policy has one.
    pub price_usd: Option<(f64, f64)>,
}

/// Kinds of checks: each has its form, its words on a button and its words for the owner.
pub const CHECK_KINDS: [&str; 8] = [
    "face-temperature",
    "load-and-read",
    "terminal-temperature",
    "lug-temperature",
    "clamp",
    "drop",
    "leg-voltages",
    "look",
];

/// A check worth doing next.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckAdvice {
    /// What to do, one sentence.
    pub what: String,
    /// Kind, for the form it opens: one of [`CHECK_KINDS`].
    pub kind: String,
    /// Where.
    pub places: Vec<Place>,
    /// Joints it tells about.
    pub joints: Vec<JointId>,
    /// Exposure it needs.
    pub exposure: Exposure,
    /// Who may do it.
    pub who: String,
    /// Minutes it takes.
    pub minutes: f64,
    /// Expected gain of information about the joints' conditions, bits.
    pub gain_bits: f64,
    /// What to expect under each rival: (rival, reading).
    pub expects: Vec<(String, String)>,
    /// Cautions.
    pub cautions: Vec<String>,
}
