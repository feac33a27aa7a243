//! The book: all rules with their dated values, the sources, and what is refused.

mod form;
mod problem;
mod read;

pub use form::Value;
pub use problem::BadData;
pub(crate) use read::{day, parse, wrong_kind};

use crate::edition::Edition;
use crate::law::Law;
use crate::refusal::{Confirmation, Refusal};
use crate::rule::RuleId;
use std::collections::BTreeMap;
use std::sync::Arc;

/// One edition's value of a rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Dated {
    /// First edition it holds for; the next entry ends it.
    pub from: Edition,
    /// The value; `None` where this edition has no such rule.
    pub value: Option<Value>,
    /// Section or table.
    pub section: Arc<str>,
    /// How far it was checked: `Published`, `FromMemory` or `Reported`.
    pub standing: crate::Standing,
    /// Keys of the public sources that state it.
    pub sources: Vec<String>,
    /// The same sources in words.
    pub told: Arc<[String]>,
    /// A remark.
    pub note: Option<Arc<str>>,
}

/// A rule: what it is and its values by edition.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    /// Id, for example `optional.first`.
    pub id: String,
    /// What it is, in our own words.
    pub what: String,
    /// Unit of a number.
    pub unit: String,
    /// Last edition that was read or remembered; a later one is refused.
    pub through: Edition,
    /// Values, oldest first; the first is of 2008.
    pub dated: Vec<Dated>,
    /// For each edition, the refusal that closes the rule there, by its place in the book.
    pub(crate) closed: [Option<usize>; Edition::ALL.len()],
}

impl Rule {
    /// The entry that an edition finds, whether or not it is open.
    pub fn entry(&self, edition: Edition) -> &Dated {
        self.dated
            .iter()
            .rev()
            .find(|dated| dated.from <= edition)
            .expect("every rule starts with the oldest edition; reading checks it")
    }

    /// Is an edition's value usable without a person's confirmation, as far as the rule itself says?
    pub fn is_open(&self, edition: Edition) -> bool {
        edition <= self.through && self.entry(edition).standing != crate::Standing::Reported
    }
}

/// All rules, sources, refusals and confirmations. Made once by a caller and lent out.
#[derive(Debug, Clone)]
pub struct Book {
    pub(crate) rules: BTreeMap<String, Rule>,
    pub(crate) sources: BTreeMap<String, String>,
    pub(crate) refusals: Vec<Refusal>,
    pub(crate) confirmations: Vec<Confirmation>,
    pub(crate) refusals_text: Arc<str>,
    pub(crate) tables: crate::table::Tables,
    /// Titles of the editions, as cited.
    pub(crate) documents: [Arc<str>; Edition::ALL.len()],
}

impl Book {
    /// The book as this program brings it, with nothing confirmed.
    pub fn built_in() -> Book {
        Book::with_refusals(read::REFUSALS).expect("the data files of this crate are read whole by its tests")
    }

    /// The book with a shop's own copy of `refusals.toml`, in which a person has confirmed what was read in the
    /// code. Reports every mistake in that file.
    pub fn with_refusals(refusals: &str) -> Result<Book, Vec<BadData>> {
        read::book(refusals)
    }

    /// The text of `refusals.toml` that the book was read with, where it is not the built-in one.
    pub fn own_refusals(&self) -> Option<&str> {
        Some(&*self.refusals_text).filter(|text| *text != read::REFUSALS)
    }

    /// The text of the built-in `refusals.toml`, for a shop to copy and fill in.
    pub fn refusals_text() -> &'static str {
        read::REFUSALS
    }

    /// The code under one edition, without any local amendment.
    pub fn edition(&self, edition: Edition) -> Law<'_> {
        Law::of(self, edition)
    }

    /// All rules in the order of their ids.
    pub fn rules(&self) -> impl Iterator<Item = &Rule> {
        self.rules.values()
    }

    /// A rule of the built-in list.
    pub fn rule(&self, id: RuleId) -> &Rule {
        self.rules.get(id.0).expect("reading checks that every id of the program has a rule")
    }

    /// A source in words.
    pub fn source<'a>(&'a self, key: &'a str) -> &'a str {
        self.sources.get(key).map_or(key, String::as_str)
    }

    /// What closes a rule under an edition, if anything does.
    pub fn refusal(&self, rule: &str, edition: Edition) -> Option<&Refusal> {
        let at = self.rules.get(rule)?.closed[edition as usize]?;
        self.refusals.get(at)
    }

    /// What a person has confirmed for a rule under an edition.
    pub fn confirmation(&self, rule: &str, edition: Edition) -> Option<&Confirmation> {
        self.confirmations
            .iter()
            .find(|confirmation| confirmation.rule == rule && confirmation.edition == edition)
    }
}
