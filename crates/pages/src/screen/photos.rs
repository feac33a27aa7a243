//! Photos of a job.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(job: &str, _query: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    shell(cx, "Photos", &Route::Photos(job.to_owned()), html! {})
}

pub(crate) fn photo_page(
    job: &str,
    photo: &str,
    _query: &Fields,
    _again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    shell(cx, "Photo", &Route::Photo(job.to_owned(), photo.to_owned()), html! {})
}

pub(crate) fn read(_fields: &Fields, _cx: &Context<'_>) -> Result<Vec<record::Fact>, Refusal> {
    Err(Refusal::default())
}
