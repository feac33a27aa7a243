//! The list of jobs.

use crate::context::{Context, JobLine};
use crate::route::Route;
use crate::shell::{Page, shell};
use crate::urgency::urgency_words;
use maud::{Markup, html};

/// Newest first, a big button for a new one.
pub(crate) fn page(cx: &Context<'_>) -> Page {
    let mut jobs: Vec<&JobLine> = cx.jobs.iter().collect();
    jobs.sort_by(|one, other| other.changed.cmp(&one.changed).then_with(|| one.job.cmp(&other.job)));
    let body = html! {
        p.quiet { "Newest first." }
        @if jobs.is_empty() {
            section.sheet { p { "No job yet. The phone rings: start with the call." } }
        } @else {
            section.sheet #jobs data-live { div.rows { @for job in &jobs { (line(job)) } } }
        }
        p.links {
            a.plain.small href=(Route::Board) { "Board" }
            a.plain.small href=(Route::Score) { "Predicted and found" }
            a.plain.small href=(Route::Questions) { "Questions" }
            a.plain.small href=(Route::Policy) { "Policy" }
            a.plain.small href=(Route::Prices) { "Price book" }
            a.plain.small href=(Route::Cards) { "Address cards" }
            a.plain.small href=(Route::Devices) { "Devices" }
            a.plain.small href=(Route::People) { "People" }
            a.plain.small href=(Route::Me) { "You" }
            a.plain.small href=(Route::Guide) { "Guide" }
        }
        div.actions { a.big href=(Route::New) { "New job" } }
    };
    shell(cx, "Jobs", &Route::Jobs, body)
}

fn line(job: &JobLine) -> Markup {
    let name = if job.place.is_empty() { job.job.as_str() } else { job.place.as_str() };
    html! {
        a.row href=(Route::Bench(job.job.clone())) {
            span.grow {
                span.lead { (name) }
                @if !job.town.is_empty() { ", " (job.town) }
                br;
                span.quiet {
                    @if name != job.job { (job.job) " · " }
                    (job.n_facts) @if job.n_facts == 1 { " fact" } @else { " facts" }
                    @if job.invented { " · invented" }
                    br;
                    time datetime=(job.changed) { (job.changed.strftime("%Y-%m-%d %H:%M")) }
                }
            }
            @match job.urgency {
                Some(urgency) => (urgency_words(urgency)),
                None => span.quiet { "not judged" },
            }
        }
    }
}
