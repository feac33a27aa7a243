//! The call sheet.

use super::Entry;
use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn new_page(_fields: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    shell(cx, "New job", &Route::New, html! {})
}

pub(crate) fn page(job: &str, _fields: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    shell(cx, "Call", &Route::Call(job.to_owned()), html! {})
}

pub(crate) fn read_new(_fields: &Fields, _cx: &Context<'_>) -> Result<Entry, Refusal> {
    Err(Refusal::default())
}

pub(crate) fn read(_job: &str, _fields: &Fields, _cx: &Context<'_>) -> Result<Entry, Refusal> {
    Err(Refusal::default())
}
