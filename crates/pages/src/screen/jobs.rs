//! The list of jobs.

use super::leaf::Leaf;
use crate::context::{Context, JobLine};
use crate::fields::Fields;
use crate::form::Sheet;
use crate::route::Route;
use crate::shell::{Page, shell};
use crate::urgency::urgency_words;
use maud::{Markup, html};

/// All jobs at hand, newest first, a big button for a new one.
pub(crate) fn page(cx: &Context<'_>) -> Page {
    let mut jobs: Vec<&JobLine> = cx.jobs.iter().collect();
    jobs.sort_by(|one, other| other.changed.cmp(&one.changed).then_with(|| one.job.cmp(&other.job)));
    made(&jobs, &Leaf::default(), cx)
}

/// The jobs of one page of the list, in their order.
pub fn jobs_page(leaf: &Leaf, cx: &Context<'_>) -> Page {
    made(&cx.jobs.iter().collect::<Vec<_>>(), leaf, cx)
}

fn made(jobs: &[&JobLine], leaf: &Leaf, cx: &Context<'_>) -> Page {
    let searched = leaf.search.as_deref().unwrap_or_default();
    let body = html! {
        p.quiet { "Newest first." }
        (leaf.lacking("Until then they have only their names here, and are not found by street or town."))
        @if let Some(search) = &leaf.search {
            @let fields = Fields::from_pairs([("find".to_owned(), search.clone())]);
            form method="get" action=(Route::Jobs) role="search" {
                (Sheet::new(&fields, None).text("find", "Find a job", "Words of its name, street or town.", ""))
                button.full { "Find" }
            }
        }
        @if jobs.is_empty() {
            section.sheet {
                @if leaf.is_later { p { "No further job." } }
                @else if searched.is_empty() { p { "No job yet. The phone rings: start with the call." } }
                @else { p role="status" { "No job has all of these words." } a.plain href=(Route::Jobs) { "All jobs" } }
            }
        } @else {
            section.sheet #jobs data-live { div.rows { @for job in jobs { (line(job)) } } }
        }
        (leaf.turn(&Route::Jobs))
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
