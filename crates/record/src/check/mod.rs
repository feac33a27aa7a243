//! Do the facts fit together, and can they be? Each check has a code of its own.

mod breaker;
mod feed;
mod install;
mod isolation;
mod offer;
mod opening;
mod panel;
mod plan;
mod premises;
mod quantity;
mod reading;
mod replacement;
mod site;
mod time;

use crate::decode::{Doubt, Field};
use crate::fact::Fact;
use crate::fold::Live;
use crate::limits;
use crate::problem::Severity;
pub(crate) use feed::fits;
use model::{Date, FactId};
pub(crate) use premises::thing;
pub use quantity::nearest_rating;
pub(crate) use site::Site;

/// Is the set of facts the whole record, or a part that others may still complete?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scope {
    Whole,
    Part,
}

/// A part of a fact, or no fact in particular.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Spot {
    pub(crate) fact: Option<FactId>,
    pub(crate) field: Field,
}

impl Spot {
    pub(crate) fn field(fact: &FactId, field: Field) -> Self {
        Spot { fact: Some(fact.clone()), field }
    }

    /// The fact as a whole.
    pub(crate) fn whole(fact: &FactId) -> Self {
        Spot::field(fact, ("", 0))
    }

    pub(crate) fn nowhere() -> Self {
        Spot { fact: None, field: ("", 0) }
    }
}

/// A problem of facts, not yet placed in a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Finding {
    pub(crate) code: &'static str,
    pub(crate) severity: Severity,
    pub(crate) at: Spot,
    pub(crate) message: String,
    pub(crate) hint: Option<String>,
    pub(crate) related: Vec<(Spot, String)>,
}

impl Finding {
    pub(crate) fn error(
        code: &'static str,
        at: Spot,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Finding {
            code,
            severity: Severity::Error,
            at,
            message: message.into(),
            hint: Some(hint.into()),
            related: Vec::new(),
        }
    }

    pub(crate) fn warning(
        code: &'static str,
        at: Spot,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Finding { severity: Severity::Warning, ..Finding::error(code, at, message, hint) }
    }

    pub(crate) fn with(mut self, spot: Spot, words: impl Into<String>) -> Self {
        self.related.push((spot, words.into()));
        self
    }
}

/// Are there more findings than are ever listed?
pub(crate) fn is_full(findings: &[Finding]) -> bool {
    limits::PROBLEMS_MAX < findings.len()
}

/// Runs every check.
pub(crate) fn check(live: &Live<'_>, doubt: &Doubt, today: Option<Date>) -> Vec<Finding> {
    let site = Site::new(live, doubt);
    let mut findings = Vec::new();
    site::check(&site, &mut findings);
    panel::check(&site, &mut findings);
    breaker::check(&site, &mut findings);
    feed::check(&site, &mut findings);
    reading::check(&site, &mut findings);
    isolation::check(&site, &mut findings);
    install::check(&site, &mut findings);
    opening::check(&site, &mut findings);
    premises::check(&site, &mut findings);
    quantity::check(&site, &mut findings);
    offer::check(&site, &mut findings);
    plan::check(&site, &mut findings);
    replacement::check(&site, &mut findings);
    time::check(&site, today, &mut findings);
    findings
}

/// Words without which nobody can rely on an entry.
fn said(fact: &Fact, field: &'static str, words: &str, what: &str, findings: &mut Vec<Finding>) {
    written(fact, field, words, (what, "without it nobody can rely on it"), findings);
}

/// Words that must be there: what they say, and what would be right.
fn written(
    fact: &Fact,
    field: &'static str,
    words: &str,
    (what, right): (&str, &str),
    findings: &mut Vec<Finding>,
) {
    if words.trim().is_empty() {
        let text = format!("the entry does not say {what}");
        findings.push(Finding::error("empty-text", Spot::field(fact.id(), (field, 0)), text, right));
    }
}
