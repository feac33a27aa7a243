//! The papers of a job.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(job: &str, _query: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    shell(cx, "Papers", &Route::Papers(job.to_owned()), html! {})
}
