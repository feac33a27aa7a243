//! One joint with its judgement.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(
    job: &str,
    joint: &str,
    _query: &Fields,
    _again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    shell(cx, "Joint", &Route::Joint(job.to_owned(), joint.to_owned()), html! {})
}
