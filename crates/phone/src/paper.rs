//! Papers on the phone: printable pages, text, drawings.

use crate::answer::Answer;
use crate::ask::Ask;
use crate::fold::day;
use crate::shelf::Ground;
use pages::{JobView, Route};
use study::code::{Chosen, permit_paper};
use study::{Document, Press, StudyError};

/// Gives a paper of a judged job by the name at the end of the address.
pub(crate) fn give(ask: &Ask, view: &JobView) -> Answer {
    let (Some(job), Some(assessment)) = (&view.settled.job, view.judged.assessment()) else {
        return none("there is no judgement of this job yet, so there are no papers");
    };
    let name = printable(&ask.path);
    let address = format!("{}{}", ask.desk.address, Route::Bench(view.name.clone()));
    answer(view, &name, study::paper(job, assessment, &Press::new(), Some(&address), &name))
}

/// Gives a paper that needs no judgement, by the folder and the name at the end of its address: of the new panel, for a
/// permit, the quote and the sheet of the day. `None`: it is one that needs it.
pub(crate) fn give_unjudged(ask: &Ask, view: &JobView, ground: &Ground) -> Option<Answer> {
    let folder = ask.path.split('/').rev().nth(1).filter(|folder| FOLDERS.contains(folder))?;
    let Some(job) = &view.settled.job else {
        return Some(none("this job is not complete enough for a paper"));
    };
    let (name, press, on) = (printable(&ask.path), Press::new(), day(ask));
    let made = match folder {
        "install" => study::install::install_paper(job, on, &press, &name),
        "offer" => study::offer_paper(job, &ground.shop, &ground.book, on, &press, &name),
        _ => {
            let law = Chosen::of(job, &ground.book, None, on).map_err(|error| error.to_string());
            let law = law.as_ref().map_err(Clone::clone);
            let law = law.and_then(|chosen| chosen.law(&ground.book).map_err(|error| error.to_string()));
            let law = match law {
                Ok(law) => law,
                Err(why) => return Some(none(&format!("no code holds for this job: {why}"))),
            };
            permit_paper(&law, job, on, &press, &name)
        }
    };
    Some(answer(view, &name, made))
}

/// Folders of the papers that need no judgement.
const FOLDERS: [&str; 3] = ["install", "permit", "offer"];

/// The name at the end of an address. The list of papers may be one that the bench made: what is set there is a printable
/// page here.
fn printable(path: &str) -> String {
    let name = path.rsplit('/').next().unwrap_or_default();
    name.strip_suffix(".pdf").map_or_else(|| name.to_owned(), |stem| format!("{stem}.html"))
}

fn answer(view: &JobView, name: &str, made: Result<Option<Document>, StudyError>) -> Answer {
    match made {
        Ok(Some(document)) => Answer {
            status: 200,
            body: String::from_utf8_lossy(&document.bytes).into_owned(),
            media_type: match name.rsplit('.').next() {
                Some("html") => "text/html; charset=utf-8",
                Some("svg") => "image/svg+xml",
                _ => "text/plain; charset=utf-8",
            },
            revision: view.revision,
            judged: true,
            ..Answer::default()
        },
        Ok(None) => none("there is no such paper on the phone"),
        Err(error) => none(&error.to_string()),
    }
}

fn none(why: &str) -> Answer {
    Answer { status: 404, why: why.to_owned(), ..Answer::default() }
}
