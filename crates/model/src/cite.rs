//! Where a value or a statement comes from, and remarks that travel with a result to the page.

use std::fmt;

/// How far a value has been checked against the outside world.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Read in a published source that is named.
    Published,
    /// Derived here from published inputs; the derivation is stated.
    Derived,
    /// Usual in the trade, no source found.
    CommonPractice,
    /// From memory of a publication that was not opened again.
    FromMemory,
    /// A judgement of ours, to be replaced by counts.
    Judgement,
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Standing::Published => "published",
            Standing::Derived => "derived here",
            Standing::CommonPractice => "common practice, no source",
            Standing::FromMemory => "value from memory",
            Standing::Judgement => "judgement",
        })
    }
}

/// A source: document (with edition), place in it, and how far it was checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cite {
    /// Title with edition or year; empty where `standing` needs none.
    pub document: String,
    /// Section, table, equation or page.
    pub place: String,
    /// How far the value was checked.
    pub standing: Standing,
}

impl Cite {
    /// A source with its place and standing.
    pub fn new(document: impl Into<String>, place: impl Into<String>, standing: Standing) -> Self {
        Cite { document: document.into(), place: place.into(), standing }
    }

    /// A judgement of ours, explained in `place`.
    pub fn judgement(why: impl Into<String>) -> Self {
        Cite::new("", why, Standing::Judgement)
    }
}

impl fmt::Display for Cite {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.document.is_empty(), self.place.is_empty()) {
            (true, true) => write!(f, "{}", self.standing),
            (true, false) => write!(f, "{} ({})", self.place, self.standing),
            (false, true) => write!(f, "{} ({})", self.document, self.standing),
            (false, false) => write!(f, "{}, {} ({})", self.document, self.place, self.standing),
        }
    }
}

/// A remark on a result that must reach the page: a limit met, an assumption made, a contradiction found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// What the remark is about, for example `main:stab:5` or `load state "evening"`.
    pub subject: String,
    /// One or two sentences.
    pub text: String,
    /// Where it comes from, if from a source.
    pub cite: Option<Cite>,
}

impl Note {
    /// A remark without a source.
    pub fn new(subject: impl Into<String>, text: impl Into<String>) -> Self {
        Note { subject: subject.into(), text: text.into(), cite: None }
    }
}
