//! The shop's policy, parsed and checked.

mod check;
mod file;
mod location;

use crate::condition::Condition;
use model::advice::{ChoiceKind, Urgency};
use model::cite::Cite;
use std::collections::BTreeMap;

/// The text of the standard policy.
const STANDARD: &str = include_str!("../../data/policy.toml");

/// A policy: thresholds, rules of urgency, texts and figures of the options.
#[derive(Debug, Clone, PartialEq)]
pub struct Policy {
    /// Name, as printed on the papers.
    pub(crate) name: String,
    /// Version, as printed on the papers.
    pub(crate) version: String,
    /// Thresholds that options and summaries use.
    pub(crate) thresholds: Thresholds,
    /// Days of the plan until the replacement.
    pub(crate) plan: PlanDays,
    /// Rules, most urgent first, otherwise in the order of the file.
    pub(crate) rules: Vec<Rule>,
    /// Texts and figures, one entry an option.
    pub(crate) options: BTreeMap<ChoiceKind, OptionText>,
}

/// Figures from which a joint, a cause or a path is spoken of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Thresholds {
    /// A joint is likely burnt from this probability.
    pub(crate) likely_burnt: f64,
    /// A joint is suspect from this probability of burnt.
    pub(crate) suspect_burnt: f64,
    /// A joint is likely worn from this probability of worn and burnt together.
    pub(crate) likely_worn: f64,
    /// A path of the supply is failing from this probability.
    pub(crate) supply_failing: f64,
    /// Expected number of burnt stabs from which two are spoken of.
    pub(crate) two_stabs_expected: f64,
    /// A cause is the likely one from this probability.
    pub(crate) likely_cause: f64,
    /// A cause is a possible one from this probability.
    pub(crate) possible_cause: f64,
    /// Nobody is told that most likely nothing happens where more knowledge makes it more urgent with this probability.
    pub(crate) may_become_urgent: f64,
    /// Largest current of a circuit that may be moved as a stop-gap, amperes.
    pub(crate) move_current_limit_a: f64,
    /// Days until a stop-gap expires.
    pub(crate) stop_gap_days: u32,
}

impl Thresholds {
    /// That of the standard policy; a test holds them together.
    const MAY_BECOME_URGENT: f64 = 0.33;
}

/// Days of the plan until the replacement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct PlanDays {
    pub(crate) recheck_now: u32,
    pub(crate) recheck_within_72_hours: u32,
    pub(crate) recheck_this_month: u32,
    pub(crate) recheck_otherwise: u32,
    /// Days after lasting work until the look-back.
    pub(crate) look_back: u32,
}

impl PlanDays {
    /// Those of the standard policy; a test holds them together.
    pub(crate) const STANDARD: PlanDays = PlanDays {
        recheck_now: 1,
        recheck_within_72_hours: 3,
        recheck_this_month: 14,
        recheck_otherwise: 30,
        look_back: 365,
    };

    /// Days until the recheck.
    pub(crate) const fn recheck(&self, urgency: Urgency) -> u32 {
        match urgency {
            Urgency::Now => self.recheck_now,
            Urgency::Within72Hours => self.recheck_within_72_hours,
            Urgency::ThisMonth => self.recheck_this_month,
            Urgency::PlanIt | Urgency::NoAction => self.recheck_otherwise,
        }
    }
}

/// A rule of urgency.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Rule {
    /// Name.
    pub(crate) name: String,
    /// What it asks for.
    pub(crate) urgency: Urgency,
    /// Conditions, all of which must hold.
    pub(crate) when: Vec<Condition>,
    /// Why the rule exists.
    pub(crate) reason: String,
    /// The same for the owner's letter, in plain words, where the figures of the diagnosis do not say it.
    pub(crate) owner: Option<String>,
    /// Where it comes from.
    pub(crate) cite: Cite,
}

/// What the policy says about one option.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct OptionText {
    /// Title in plain words.
    pub(crate) title: String,
    /// What is done, in plain words.
    pub(crate) meaning: String,
    /// Hours without power.
    pub(crate) hours_off: Option<(f64, f64)>,
    /// Price range, US dollars.
    pub(crate) price_usd: Option<(f64, f64)>,
    /// Where the figures come from.
    pub(crate) cite: Cite,
}

/// A rule of urgency in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleWords {
    /// Name.
    pub name: String,
    /// What it asks for.
    pub urgency: Urgency,
    /// When it fires: all of these hold.
    pub when: Vec<String>,
    /// Why it exists.
    pub reason: String,
    /// The same as the owner's letter tells it, where the rule has words for him.
    pub owner: Option<String>,
    /// Where it comes from.
    pub source: String,
}

/// One thing wrong with a policy file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct PolicyProblem {
    /// Line, from 1; 0 where the problem is about the whole file.
    pub line: usize,
    /// Column in characters, from 1; 0 where the problem is about the whole file.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub hint: Option<String>,
}

/// A policy file that cannot be used, with everything that is wrong in it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the policy `{file}` cannot be used:{}", listed(.file, .problems))]
pub struct PolicyError {
    /// Name of the file as given.
    pub file: String,
    /// What is wrong, in the order of the file.
    pub problems: Vec<PolicyProblem>,
}

fn listed(file: &str, problems: &[PolicyProblem]) -> String {
    let mut text = String::new();
    for problem in problems {
        match problem.line {
            0 => text.push_str(&format!("\n  {file}: {}", problem.message)),
            line => text.push_str(&format!("\n  {file}:{line}:{}: {}", problem.column, problem.message)),
        }
        if let Some(hint) = &problem.hint {
            text.push_str(&format!("\n    hint: {hint}"));
        }
    }
    text
}

impl Policy {
    /// The standard policy that comes with the program.
    pub fn standard() -> Policy {
        Policy::parse("the standard policy", STANDARD).expect("the standard policy is checked by a test")
    }

    /// The text of the standard policy, to copy and change.
    pub fn standard_text() -> &'static str {
        STANDARD
    }

    /// Parses and checks a policy file.
    ///
    /// # Errors
    /// Everything that is wrong with the file: TOML, unknown keys and words, figures outside their range, a rule
    /// named twice, a missing option.
    pub fn parse(file: &str, text: &str) -> Result<Policy, PolicyError> {
        let as_error = |problems| PolicyError { file: file.to_owned(), problems };
        let parsed: file::PolicyFile =
            toml::from_str(text).map_err(|error| as_error(vec![location::of_toml(text, &error)]))?;
        check::policy(text, parsed).map_err(as_error)
    }

    /// Every rule in words, most urgent first.
    pub fn rules_in_words(&self) -> Vec<RuleWords> {
        let words = |rule: &Rule| RuleWords {
            name: rule.name.clone(),
            urgency: rule.urgency,
            when: rule.when.iter().map(Condition::words).collect(),
            reason: rule.reason.clone(),
            owner: rule.owner.clone(),
            source: rule.cite.to_string(),
        };
        self.rules.iter().map(words).collect()
    }

    /// Name and version, as printed.
    pub fn label(&self) -> String {
        format!("{}, version {}", self.name, self.version)
    }

    /// Probability of burnt from which a joint is suspect under this policy.
    pub fn suspect_burnt(&self) -> f64 {
        self.thresholds.suspect_burnt
    }

    /// Probability of burnt from which a joint is likely burnt under this policy.
    pub fn likely_burnt(&self) -> f64 {
        self.thresholds.likely_burnt
    }

    /// What the policy says about an option.
    pub(crate) fn option(&self, kind: ChoiceKind) -> &OptionText {
        self.options.get(&kind).expect("`parse` makes sure that every option has an entry")
    }
}

#[cfg(test)]
mod tests;
