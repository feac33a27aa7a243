//! One space: its breaker, what was seen and measured there.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(
    job: &str,
    panel: &str,
    space: &str,
    _query: &Fields,
    _again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    shell(cx, "Space", &Route::Space(job.to_owned(), panel.to_owned(), space.to_owned()), html! {})
}
