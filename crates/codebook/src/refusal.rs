//! What the book refuses and why, and what a person has confirmed so that it answers after all.

use crate::book::Value;
use crate::edition::Edition;
use jiff::civil::Date;

/// Rules that are closed under some editions.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Rules.
    pub rules: Vec<String>,
    /// Editions.
    pub editions: Vec<Edition>,
    /// Why.
    pub reason: String,
    /// What a person must read in the code to enable them.
    pub confirm: String,
    /// Closes rules that the rule files would answer, because sources disagree.
    pub close: bool,
}

/// A value that a person read in the code.
#[derive(Debug, Clone, PartialEq)]
pub struct Confirmation {
    /// Rule.
    pub rule: String,
    /// Edition.
    pub edition: Edition,
    /// Value; `None` where the edition has no such rule.
    pub value: Option<Value>,
    /// Section as read.
    pub section: String,
    /// Who read it.
    pub who: String,
    /// When.
    pub on: Date,
}
