//! Papers on the phone: printable pages, text, drawings.

use crate::answer::Answer;
use crate::ask::Ask;
use pages::{JobView, Route};
use study::Press;

/// Gives a paper of a judged job by the name at the end of the address.
pub(crate) fn give(ask: &Ask, view: &JobView) -> Answer {
    let none = |why: &str| Answer { status: 404, why: why.to_owned(), ..Answer::default() };
    let (Some(job), Some(assessment)) = (&view.settled.job, view.judged.assessment()) else {
        return none("there is no judgement of this job yet, so there are no papers");
    };
    let name = ask.path.rsplit('/').next().unwrap_or_default();
    // The list of papers may be one that the bench made: what is set there is a printable page here.
    let printable = name.strip_suffix(".pdf").map(|stem| format!("{stem}.html"));
    let name = printable.as_deref().unwrap_or(name);
    let address = format!("{}{}", ask.desk.address, Route::Bench(view.name.clone()));
    match study::paper(job, assessment, &Press::new(), Some(&address), name) {
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
