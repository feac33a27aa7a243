//! The quote, and the sheet of the day without power.

mod day;
mod quote;
mod words;

pub use day::{DayPaper, DayStep, day_sheet};
pub use quote::{Choice, ContestRow, QuotePaper, quote_paper};

use crate::clean::clean;
use crate::page::{Item, Node, Paper, heading, list};
use crate::words::Top;
use words::Words;

/// Body type, points.
const SIZE_PT: f64 = 9.5;

/// What both papers say first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OfferHead {
    /// The job.
    pub job: String,
    /// How the papers call the place.
    pub place: String,
    /// How the papers address the owner.
    pub owner: String,
    /// Invented?
    pub invented: bool,
    /// Day of the paper, ISO.
    pub day: String,
    /// The cautions.
    pub cautions: Vec<String>,
}

fn paper(words: &Words, head: &OfferHead, (title, file, foot): (&str, &str, &str), body: Vec<Node>) -> Paper {
    let top = Top { job: &head.job, place: &head.place, day: &head.day, invented: head.invented };
    crate::words::paper(words, &top, [title, file, foot], SIZE_PT, body)
}

fn cautions(words: &Words, head: &OfferHead) -> Vec<Node> {
    vec![heading(2, words.get("cautions")), lines(&head.cautions)]
}

fn lines(texts: &[String]) -> Node {
    list(texts.iter().map(|text| Item::plain(clean(text))).collect())
}
