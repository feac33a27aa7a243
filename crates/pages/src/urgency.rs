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

/// Bars filled as far as it is urgent, and the words.
pub(crate) fn urgency_words(urgency: Urgency) -> Markup {
    html! { span.urgency data-urgency=(urgency.word()) { (bars(urgency)) (phrase(urgency)) } }
}

/// The bars alone, so that the band is seen by shape; round marks are for joints.
pub(crate) fn bars(urgency: Urgency) -> Markup {
    let n_bars = match urgency {
        Urgency::Now => 4,
        Urgency::Within72Hours => 3,
        Urgency::ThisMonth => 2,
        Urgency::PlanIt => 1,
        Urgency::NoAction => 0,
    };
    html! {
        svg viewBox="0 0 20 20" aria-hidden="true" {
            @for bar in 0..4 {
                rect x=(1 + bar * 5) y=(13 - bar * 4) width="3.6" height=(6 + bar * 4)
                    fill=(if bar < n_bars { "currentColor" } else { "none" }) stroke="currentColor" stroke-width="1" {}
            }
        }
    }
}
