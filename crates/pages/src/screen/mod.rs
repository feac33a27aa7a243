//! The screens, one file each, and the way from a route to its screen.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, failure_page};
use record::Fact;

/// What a form came to: facts to append, and where to go on.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The job it belongs to.
    pub job: String,
    /// New facts, in order.
    pub facts: Vec<Fact>,
    /// The page to show next.
    pub go: String,
}

/// The page of a route.
pub fn show(route: &Route, query: &Fields, cx: &Context<'_>) -> Page {
    let _ = (query, cx);
    failure_page("Not made yet", &route.to_string(), "")
}

/// Reads what a form of a route sent.
///
/// # Errors
/// Every field that cannot be taken, and what would be right.
pub fn read(route: &Route, fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    let _ = (route, fields, cx);
    Err(Refusal::default())
}

/// The page of a route again, with what was sent and what is wrong with it.
pub fn show_refused(route: &Route, fields: &Fields, refusal: &Refusal, cx: &Context<'_>) -> Page {
    let _ = refusal;
    show(route, fields, cx)
}
