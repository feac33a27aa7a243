//! Forms for single facts, one file a kind: the form, and how it is read.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::{EntryKind, Route};
use crate::shell::{Page, shell};
use maud::html;
use record::Fact;

pub(crate) fn page(kind: EntryKind, _fields: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let job = cx.job.map(|job| job.name.clone()).unwrap_or_default();
    shell(cx, kind.word(), &Route::Enter(job, kind), html! {})
}

pub(crate) fn read(_kind: EntryKind, _fields: &Fields, _cx: &Context<'_>) -> Result<Vec<Fact>, Refusal> {
    Err(Refusal::default())
}
