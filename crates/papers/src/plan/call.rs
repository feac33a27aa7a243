//! What a caller was told: do, do not, whom to call first. One page, in the words of the call sheet.

use crate::clean::{clean, shorten};
use crate::page::{Item, Node, Paper, Sheet, file_name, heading, list, paragraph};
use model::Date;
use model::job::Job;

/// What the call sheet says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CallNote {
    /// What matters most.
    pub headline: String,
    /// What to do.
    pub do_lines: Vec<String>,
    /// What to leave alone.
    pub dont_lines: Vec<String>,
    /// The last words.
    pub closing: String,
}

/// The page for a caller.
pub fn call_note(job: &Job, note: &CallNote, day: Date) -> Paper {
    let lines = |all: &[String]| list(all.iter().map(|line| Item::plain(clean(line))).collect());
    let mut body = vec![heading(1, "Until we are there"), heading(2, clean(&note.headline))];
    for (title, all) in [("Do", &note.do_lines), ("Do not", &note.dont_lines)] {
        if !all.is_empty() {
            body.extend([heading(2, title), lines(all)]);
        }
    }
    body.push(paragraph(clean(&note.closing)));
    body.push(Node::Callout {
        title: "Always".to_owned(),
        texts: vec![
            Item::plain("Smoke, flame or a crackling sound: everybody out. Call 911 from outside. Do not touch the panel."),
            Item::plain("Only a qualified person may open the panel. Parts of it are live with every breaker off."),
        ],
        strong: true,
    });
    let id = shorten(&clean(&job.id), 40);
    Paper {
        title: "Until we are there".to_owned(),
        file_name: file_name(&["until-we-are-there", &job.id]),
        language: "en".to_owned(),
        day: day.to_string(),
        head: format!("{} · {id}", shorten(&clean(&job.place), 60)),
        invented: job.invented.then(|| "INVENTED EXAMPLE: no such house, panel or person exists".to_owned()),
        foot: "By what was said on the telephone. Nobody has looked yet.".to_owned(),
        page_of: "page {page} of {pages}".to_owned(),
        max_pages: Some(1),
        sheet: Sheet::Letter,
        text_size_pt: 12.0,
        body,
    }
}
