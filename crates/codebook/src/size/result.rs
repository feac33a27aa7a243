//! A size with its working, or why there is none.

use crate::ruling::Refused;
use model::Note;
use model::working::Working;

/// A value with how it came about.
#[derive(Debug, Clone, PartialEq)]
pub struct Sized<T> {
    /// The value.
    pub value: T,
    /// How it came about.
    pub workings: Vec<Working>,
    /// Remarks.
    pub notes: Vec<Note>,
}

impl<T> Sized<T> {
    pub(crate) fn new(value: T, working: Working) -> Sized<T> {
        Sized { value, workings: vec![working], notes: vec![] }
    }

    pub(crate) fn noting(mut self, subject: &str, text: impl Into<String>) -> Sized<T> {
        self.notes.push(Note::new(subject, text));
        self
    }
}

/// Why there is no size.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoSize {
    /// The book refuses a rule that is needed.
    #[error(transparent)]
    Refused(#[from] Refused),
    /// Outside what the tables hold.
    #[error("{what}: {value} {unit} is outside {least} to {most} {unit}")]
    Range {
        /// What.
        what: &'static str,
        /// Value.
        value: f64,
        /// Unit.
        unit: &'static str,
        /// Least.
        least: f64,
        /// Most.
        most: f64,
    },
    /// The table has no such row or cell.
    #[error("{table} has nothing for {what}")]
    NotInTable {
        /// Table.
        table: &'static str,
        /// What was looked for.
        what: String,
    },
    /// This code has no such rule.
    #[error("the {edition} edition has no rule for {what}")]
    NoRule {
        /// Edition.
        edition: u16,
        /// What.
        what: &'static str,
    },
}

/// Refuses what is no number or outside a range.
pub(crate) fn within(
    what: &'static str,
    value: f64,
    unit: &'static str,
    (least, most): (f64, f64),
) -> Result<f64, NoSize> {
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(NoSize::Range { what, value, unit, least, most })
    }
}
