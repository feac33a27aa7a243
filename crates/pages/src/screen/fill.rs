//! Filling the spaces of a panel.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(
    job: &str,
    panel: &str,
    _query: &Fields,
    _again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    shell(cx, "Fill", &Route::Fill(job.to_owned(), panel.to_owned()), html! {})
}

pub(crate) fn read(
    _job: &str,
    _panel: &str,
    _fields: &Fields,
    _cx: &Context<'_>,
) -> Result<super::Entry, Refusal> {
    Err(Refusal::default())
}
