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
    /// Do the editions that are answered for answer differently?
    pub fn differs(&self) -> bool {
        let refused =
            |one: &&Option<Finding>| matches!(one, Some(Finding { answer: Answer::Refused(_), .. }));
        let told: Vec<_> = self.findings.iter().filter(|one| !refused(one)).collect();
        told.windows(2)
            .any(|pair| pair[0].as_ref().map(|one| &one.answer) != pair[1].as_ref().map(|one| &one.answer))
    }

    /// Is it refused under an edition, by its place in the order?
    pub fn is_refused(&self, idx: usize) -> bool {
        matches!(self.findings.get(idx), Some(Some(Finding { answer: Answer::Refused(_), .. })))
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
                asked.push(AskedUnder {
                    title: finding.title.clone(),
                    findings: vec![None; Edition::ALL.len()],
                });
                asked.len() - 1
            });
            asked[at].findings[idx] = Some(finding);
        }
    }
    Editions { rows, asks: asked }
}
