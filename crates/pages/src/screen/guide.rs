//! What to do without a network, HTTPS on a phone, what the marks mean, cautions.

use crate::context::Context;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(cx: &Context<'_>) -> Page {
    shell(cx, "Guide", &Route::Guide, html! {})
}
