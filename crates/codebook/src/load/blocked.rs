//! Why a calculation was not made: something must be asked, an input cannot be, or the book refuses.

use crate::ruling::Refused;
use model::Cite;
use std::fmt;

/// An input that matters and is unknown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// What it is about, for example `floor area` or the name of an appliance.
    pub subject: String,
    /// The question.
    pub ask: String,
    /// Why it matters.
    pub why: String,
}

impl Question {
    pub(crate) fn new(subject: impl Into<String>, ask: impl Into<String>, why: impl Into<String>) -> Self {
        Question { subject: subject.into(), ask: ask.into(), why: why.into() }
    }
}

/// An input that cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BadInput {
    /// Outside what can be.
    #[error("{subject}: {value} {unit} is outside {least} to {most} {unit}")]
    Range {
        /// What it is about.
        subject: String,
        /// Value.
        value: f64,
        /// Unit.
        unit: &'static str,
        /// Least.
        least: f64,
        /// Most.
        most: f64,
    },
    /// A motor size that the table does not have.
    #[error("{subject}: the motor table has no {hp} hp at {volts} V; it has 1/6 to 10 hp at 115 and 230 V")]
    Motor {
        /// What it is about.
        subject: String,
        /// Horsepower as written.
        hp: String,
        /// Voltage.
        volts: f64,
    },
    /// A managed group that is not described.
    #[error("{subject}: no energy management group is named `{group}`")]
    Group {
        /// What it is about.
        subject: String,
        /// Name of the group.
        group: String,
    },
    /// Not a supply of the method.
    #[error("the method is for two legs and a neutral; {system} is another supply")]
    System {
        /// The supply.
        system: String,
    },
}

/// Why a calculation was not made.
#[derive(Debug, Clone, PartialEq)]
pub enum Blocked {
    /// Inputs are missing; all that were found missing at once.
    Ask(Vec<Question>),
    /// Inputs cannot be; all at once.
    Input(Vec<BadInput>),
    /// The book refuses a rule that the method needs.
    Refused(Box<Refused>),
    /// The method is not for this case.
    NotFor {
        /// Why.
        why: String,
        /// The rule that says so.
        cite: Box<Cite>,
    },
}

impl fmt::Display for Blocked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Blocked::Ask(questions) => {
                f.write_str("to be asked:")?;
                questions
                    .iter()
                    .try_for_each(|asked| write!(f, " {}: {} ({})", asked.subject, asked.ask, asked.why))
            }
            Blocked::Input(bad) => {
                f.write_str("cannot be:")?;
                bad.iter().try_for_each(|bad| write!(f, " {bad};"))
            }
            Blocked::Refused(refused) => write!(f, "{refused}; {}", refused.hint()),
            Blocked::NotFor { why, cite } => write!(f, "the method is not for this case: {why} [{cite}]"),
        }
    }
}

impl std::error::Error for Blocked {}

impl From<Refused> for Blocked {
    fn from(refused: Refused) -> Self {
        Blocked::Refused(Box::new(refused))
    }
}
