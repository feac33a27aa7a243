//! One job under every edition, so that the effect of an adoption shows.

use super::asks::asks;
use super::loads::{Loads, loads};
use codebook::ask::{Answer, Finding};
use codebook::{Book, Edition};
use model::job::Job;

/// The loads of a job under one edition.
#[derive(Debug, Clone, PartialEq)]
pub struct EditionRow {
    /// Edition.
    pub edition: Edition,
    /// Loads.
    pub loads: Loads,
}

/// A point that the code speaks of, with what each edition says.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedUnder {
    /// What it is about.
    pub title: String,
    /// The finding of each edition, in the order of the editions; `None` where it does not come up.
    pub findings: Vec<Option<Finding>>,
}

impl AskedUnder {
    /// Do the editions answer differently?
    pub fn differs(&self) -> bool {
        let word = |finding: &Option<Finding>| finding.as_ref().map(|one| one.answer.clone());
        self.findings.windows(2).any(|pair| match (word(&pair[0]), word(&pair[1])) {
            // A refusal names its edition, so that two of them are never equal.
            (Some(Answer::Refused(_)), Some(Answer::Refused(_))) => false,
            (first, second) => first != second,
        })
    }
}

/// A job under every edition.
#[derive(Debug, Clone, PartialEq)]
pub struct Editions {
    /// Loads, oldest edition first.
    pub rows: Vec<EditionRow>,
    /// What each asks.
    pub asks: Vec<AskedUnder>,
}

/// A job under every edition, without local amendments.
pub fn editions(book: &Book, job: &Job) -> Editions {
    let mut rows = Vec::new();
    let mut asked: Vec<AskedUnder> = Vec::new();
    for (idx, edition) in Edition::ALL.into_iter().enumerate() {
        let law = book.edition(edition);
        rows.push(EditionRow { edition, loads: loads(&law, job) });
        for finding in asks(&law, job) {
            let known = asked.iter().position(|one| one.title == finding.title);
            let at = known.unwrap_or_else(|| {
                asked.push(AskedUnder { title: finding.title.clone(), findings: vec![None; Edition::ALL.len()] });
                asked.len() - 1
            });
            asked[at].findings[idx] = Some(finding);
        }
    }
    Editions { rows, asks: asked }
}
