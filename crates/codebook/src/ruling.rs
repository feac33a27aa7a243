//! What the book answers: a value that never travels without its section, edition and standing, or a refusal.

use crate::edition::Edition;
use jiff::civil::Date;
use model::Cite;
use std::fmt;
use std::sync::Arc;

/// How far a value was checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// Stated by a public source that was read. No source here is the code book itself.
    Published,
    /// From memory of the code; to be proof-read against a licensed copy.
    FromMemory,
    /// Told at second hand and not confirmed; never used until a person confirms it.
    Reported,
    /// A person read the code and entered it.
    Confirmed {
        /// Who.
        who: String,
        /// When.
        on: Date,
    },
    /// A local amendment, entered by the shop from the ordinance it names.
    Local,
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Standing::Published => f.write_str("published"),
            Standing::FromMemory => f.write_str("from memory"),
            Standing::Reported => f.write_str("reported"),
            Standing::Confirmed { who, on } => write!(f, "confirmed by {who} on {on}"),
            Standing::Local => f.write_str("local amendment"),
        }
    }
}

/// A value of the code as it holds under one edition, with its citation.
#[derive(Debug, Clone, PartialEq)]
pub struct Ruling<T> {
    /// The value.
    pub value: T,
    /// Edition it was asked for.
    pub edition: Edition,
    /// Edition of the line in our table that gives it; an older one than asked for means that nothing newer was read,
    /// and that the value stayed the same is from memory.
    pub line: Edition,
    /// Document: the edition, or the ordinance that amends it.
    pub document: Arc<str>,
    /// Section or table in that document.
    pub section: Arc<str>,
    /// How far it was checked.
    pub standing: Standing,
    /// The public sources that state it, in words; empty where there is none.
    pub sources: Arc<[String]>,
    /// A remark that belongs to the value.
    pub note: Option<Arc<str>>,
}

impl<T> Ruling<T> {
    /// The same citation for another form of the value.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Ruling<U> {
        Ruling {
            value: f(self.value),
            edition: self.edition,
            line: self.line,
            document: self.document,
            section: self.section,
            standing: self.standing,
            sources: self.sources,
            note: self.note,
        }
    }

    /// The citation as papers print it.
    pub fn cite(&self) -> Cite {
        let standing = match self.standing {
            Standing::Published | Standing::Confirmed { .. } | Standing::Local => model::Standing::Published,
            Standing::FromMemory | Standing::Reported => model::Standing::FromMemory,
        };
        let place = match &self.standing {
            Standing::Confirmed { .. } | Standing::Local => format!("{}, {}", self.section, self.standing),
            Standing::Published if self.line < self.edition => {
                format!("{}, line of {}", self.section, self.line)
            }
            _ => self.section.to_string(),
        };
        Cite::new(&*self.document, place, standing)
    }
}

/// The book does not answer: the edition's text is not verified, or sources disagree.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{rule}` ({what}) is refused under the {edition} edition: {reason}")]
pub struct Refused {
    /// Rule that was asked for.
    pub rule: String,
    /// What it is.
    pub what: String,
    /// Edition it was asked for.
    pub edition: Edition,
    /// Why.
    pub reason: String,
    /// What a person must confirm to enable it.
    pub confirm: String,
}

impl Refused {
    /// The next step.
    pub fn hint(&self) -> String {
        format!("to enable it, confirm in the code book: {}", self.confirm)
    }
}
