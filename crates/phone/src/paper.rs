//! Papers on the phone: printable pages, text, drawings.

use crate::answer::Answer;
use crate::ask::Ask;
use crate::fold::day;
use pages::{JobView, Route};
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

/// Is it the address of a paper of the new panel?
pub(crate) fn of_install(path: &str) -> bool {
    path.split('/').rev().nth(1) == Some("install")
}

/// Gives a paper of the new panel by the name at the end of the address.
pub(crate) fn give_install(ask: &Ask, view: &JobView) -> Answer {
    let Some(job) = &view.settled.job else {
        return none("this job is not complete enough for a paper");
    };
    let name = printable(&ask.path);
    answer(view, &name, study::install::install_paper(job, day(ask), &Press::new(), &name))
}

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
