//! Which edition of the electrical code a place has adopted, and what it changed in it, as recorded for a job.

use crate::id::FactId;
use jiff::civil::{Date, DateTime};

/// An edition taken over by a city or state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EditionAdopted {
    /// Year of the edition.
    pub edition: u16,
    /// First day it holds; the next one ends it.
    pub from: Date,
    /// The ordinance or statute that says so.
    pub document: String,
}

/// What a local amendment puts in the place of a value.
#[derive(Debug, Clone, PartialEq)]
pub enum AmendedTo {
    /// A number.
    Number(f64),
    /// A word that names a method, a table or an answer.
    Word(String),
    /// The place took the rule away.
    Absent,
}

/// A change that a place made to one rule of one edition.
#[derive(Debug, Clone, PartialEq)]
pub struct LocalAmendment {
    /// Rule of the code book, by its id.
    pub rule: String,
    /// Year of the edition it amends; it ends with that edition.
    pub edition: u16,
    /// First day it holds.
    pub from: Date,
    /// What holds here.
    pub to: AmendedTo,
    /// Ordinance.
    pub document: String,
    /// Its section.
    pub section: String,
    /// A remark; may be empty.
    pub note: String,
}

/// The code that holds at the address, as somebody looked it up.
#[derive(Debug, Clone, PartialEq)]
pub struct Adoption {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was looked up.
    pub at: DateTime,
    /// Who adopted it: a city, a county, a state.
    pub place: String,
    /// Editions, oldest first.
    pub editions: Vec<EditionAdopted>,
    /// Local amendments.
    pub amendments: Vec<LocalAmendment>,
    /// Day on which the permit was or will be applied for; it decides which edition holds.
    pub permit: Option<Date>,
}
