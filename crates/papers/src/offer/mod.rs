//! The quote, and the sheet of the day without power.

mod day;
mod quote;
mod words;

pub use day::{DayPaper, DayStep, day_sheet};
pub use quote::{Choice, ContestRow, QuotePaper, quote_paper};

use crate::clean::{clean, shorten};
use crate::page::{Item, Node, Paper, Sheet, file_name, heading, list};
use words::Words;

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
    let (job, place) = (shorten(&clean(&head.job), 30), shorten(&clean(&head.place), 60));
    Paper {
        title: words.get(title).to_owned(),
        file_name: file_name(&[words.get(file), &head.job]),
        language: "en".to_owned(),
        day: head.day.clone(),
        head: words.fill("head", &[("job", &job), ("place", &place), ("day", &head.day)]),
        invented: head.invented.then(|| words.get("invented").to_owned()),
        foot: words.get(foot).to_owned(),
        page_of: words.get("page_of").to_owned(),
        max_pages: None,
        sheet: Sheet::Letter,
        text_size_pt: 9.5,
        body,
    }
}

fn cautions(words: &Words, head: &OfferHead) -> Vec<Node> {
    vec![heading(2, words.get("cautions")), lines(&head.cautions)]
}

fn lines(texts: &[String]) -> Node {
    list(texts.iter().map(|text| Item::plain(clean(text))).collect())
}
