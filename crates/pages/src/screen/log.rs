//! All facts of a job, newest first.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(job: &str, _query: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    shell(cx, "Log", &Route::Log(job.to_owned()), html! {})
}
