//! Urgency as shape and words, never as colour alone.

use maud::{Markup, html};
use model::advice::Urgency;

/// The phrase of a page.
pub(crate) const fn phrase(urgency: Urgency) -> &'static str {
    match urgency {
        Urgency::Now => "Now",
        Urgency::Within72Hours => "Within 72 hours",
        Urgency::ThisMonth => "This month",
        Urgency::PlanIt => "Plan it",
        Urgency::NoAction => "No action",
    }
}

/// A dial filled as far as it is urgent, and the words.
pub(crate) fn urgency_words(urgency: Urgency) -> Markup {
    html! { span.urgency data-urgency=(urgency.word()) { (dial(urgency)) (phrase(urgency)) } }
}

/// The dial alone: full, three quarters, half, a quarter, empty.
pub(crate) fn dial(urgency: Urgency) -> Markup {
    let filled = match urgency {
        Urgency::Now => "M10 1.5a8.5 8.5 0 1 1 0 17a8.5 8.5 0 1 1 0-17z",
        Urgency::Within72Hours => "M10 10V1.5A8.5 8.5 0 1 1 1.5 10z",
        Urgency::ThisMonth => "M10 10V1.5A8.5 8.5 0 0 1 10 18.5z",
        Urgency::PlanIt => "M10 10V1.5A8.5 8.5 0 0 1 18.5 10z",
        Urgency::NoAction => "",
    };
    html! {
        svg viewBox="0 0 20 20" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="2" {
            circle cx="10" cy="10" r="8.5" {}
            @if !filled.is_empty() { path d=(filled) fill="currentColor" stroke="none" {} }
        }
    }
}
