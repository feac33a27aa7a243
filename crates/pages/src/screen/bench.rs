//! The bench: the panel and what is thought of it.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(job: &str, _query: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    shell(cx, "Bench", &Route::Bench(job.to_owned()), html! {})
}
