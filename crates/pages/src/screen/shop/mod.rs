//! What the shop learns from all its jobs: predicted against found, and the questions an owner asks.

mod chart;
mod experience;
mod questions;
mod score;

pub use experience::ExperienceGround;
pub use questions::questions_page;
pub use score::{ScoreGround, asked_reading, score_page};

use crate::context::Context;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::{Markup, html};
use std::sync::Arc;
use study::shop::Share;

/// Jobs that are named behind a count; the rest is in the table for other programs.
pub const NAMED: usize = 12;

/// The page where the jobs of the shop are not at hand.
pub(crate) fn without(title: &str, here: &Route, cx: &Context<'_>) -> Page {
    let body = html! { section.sheet { p { "This page counts all jobs of the shop. Open it with contact to the bench." } } };
    shell(cx, title, here, body)
}

/// `3 of 20, 15 % (5 to 36 %)`.
fn share_words(share: Share) -> String {
    let percent = |value: f64| format!("{:.0}", value * 100.0);
    match share.value().zip(share.interval()) {
        Some((value, (low, high))) => {
            format!(
                "{} of {}, {} % ({} to {} %)",
                share.yes,
                share.n,
                percent(value),
                percent(low),
                percent(high)
            )
        }
        None => "none on record".to_owned(),
    }
}

/// What is said where not all jobs are counted yet.
fn unread(n: usize) -> Markup {
    let leaf = crate::screen::Leaf { n_unread: n, ..Default::default() };
    leaf.lacking("They are not counted yet.")
}

/// Links to the first jobs behind a count of `n`.
fn jobs_behind(jobs: &[Arc<str>], n: usize) -> Markup {
    let named = jobs.len().min(NAMED);
    html! {
        @if !jobs.is_empty() {
            p.links {
                @for job in &jobs[..named] { a.plain.small href=(Route::Bench(job.to_string())) { (job) } }
                @if named < n { span.quiet { "and " (n - named) " more" } }
            }
        }
    }
}
