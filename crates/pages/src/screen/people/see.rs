//! What somebody outside the shop sees by a link: the standing in a sentence, and the papers.

use crate::shell::{Page, outside_frame};
use crate::urgency::urgency_words;
use jiff::civil::DateTime;
use maud::html;

/// A paper that is given out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeePaper {
    /// Address, relative to the page.
    pub address: String,
    /// Name.
    pub title: String,
    /// What it is good for.
    pub words: &'static str,
}

/// What the page is made from. It holds nothing of place, owner or shop.
#[derive(Debug, Clone)]
pub struct SeeGround {
    /// The link's id, which stands on the papers in the place of the job's name.
    pub id: String,
    /// An invented example?
    pub invented: bool,
    /// How soon something must be done, where the whole job is shown and judged.
    pub urgency: Option<model::advice::Urgency>,
    /// The day it was judged for.
    pub day: jiff::civil::Date,
    /// Until when the link opens.
    pub expires: DateTime,
    /// The papers.
    pub papers: Vec<SeePaper>,
}

/// The page of an address that opens nothing, or nothing any more; `gone` where that will stay so.
pub fn unseen_page(gone: bool) -> Page {
    let body = html! {
        section.sheet {
            @if gone { p { "This address opens nothing, or nothing any more. Ask the shop that gave it to you for another." } }
            @else { p { "This cannot be shown at the moment. Try again in a few minutes." } }
        }
    };
    outside_frame("Nothing here", body)
}

/// The page.
pub fn see_page(ground: &SeeGround) -> Page {
    let body = html! {
        p.lede { "Papers about an electrical panel. Place, names and notes are left out." }
        @if ground.invented { p.quiet { "An invented example: no such house, panel or person exists." } }
        @if let Some(urgency) = ground.urgency {
            section.sheet {
                h2 { "How soon" }
                p { (urgency_words(urgency)) }
                p.quiet { "By the record as it stood on " (ground.day) ". The reasons, and every choice with doing nothing for now among them, stand in the letter." }
            }
        }
        section.sheet {
            h2 { "Papers" }
            @if ground.papers.is_empty() { p { "There is nothing to read yet." } }
            ul.rows {
                @for paper in &ground.papers {
                    li.row {
                        a.whole href=(paper.address) { span.grow { strong { (paper.title) } } span.quiet { (paper.words) } }
                    }
                }
            }
        }
        p.quiet {
            "Reference " (ground.id) ". This page opens until " (ground.expires.strftime("%Y-%m-%d %H:%M"))
            ". Questions go to the shop that gave you the address."
        }
    };
    outside_frame("Record of a panel", body)
}
