//! The list of jobs.

use super::leaf::{Leaf, URGENCY, by_urgency};
use crate::context::{Context, JobLine};
use crate::fields::Fields;
use crate::form::Sheet;
use crate::route::Route;
use crate::shell::{Page, shell};
use crate::urgency::urgency_words;
use maud::{Markup, html};
use model::Date;
use study::shop::urgency_band;

/// All jobs at hand, newest or most urgent first, a big button for a new one.
pub(crate) fn page(query: &Fields, cx: &Context<'_>) -> Page {
    let leaf = Leaf { by_urgency: by_urgency(query), ..Leaf::default() };
    let mut jobs: Vec<&JobLine> = cx.jobs.iter().collect();
    if leaf.by_urgency {
        jobs.sort_by_key(|one| (urgency_band(one.urgency), one.changed, &one.job));
    } else {
        jobs.sort_by(|one, other| other.changed.cmp(&one.changed).then_with(|| one.job.cmp(&other.job)));
    }
    made(&jobs, &leaf, cx)
}

/// The jobs of one page of the list, in their order.
pub fn jobs_page(leaf: &Leaf, cx: &Context<'_>) -> Page {
    made(&cx.jobs.iter().collect::<Vec<_>>(), leaf, cx)
}

fn made(jobs: &[&JobLine], leaf: &Leaf, cx: &Context<'_>) -> Page {
    let searched = leaf.search.as_deref().unwrap_or_default();
    let body = html! {
        (leaf.orders(&Route::Jobs, "Newest first"))
        @if leaf.by_urgency {
            p.quiet { "By the last judgement, and of the same urgency the longest wait first. A job that is not judged may be urgent: "
                "it stands before those that have time. Open it, and it is judged." }
        }
        (leaf.lacking(if leaf.by_urgency {
            "Until then they are not here. They are under “Newest first”."
        } else {
            "Until then they have only their names here, and are not found by street or town."
        }))
        @if let Some(search) = &leaf.search {
            @let fields = Fields::from_pairs([("find".to_owned(), search.clone())]);
            form method="get" action=(Route::Jobs) role="search" {
                (Sheet::new(&fields, None).text("find", "Find a job", "Words of its name, street or town.", ""))
                @if leaf.by_urgency { input type="hidden" name="by" value=(URGENCY); }
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
            section.sheet #jobs data-live { div.rows { @for job in jobs { (line(job, cx.now.date())) } } }
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

/// Of what the judgement is, where it is not of today and of all facts.
fn as_of(job: &JobLine, today: Date) -> Markup {
    let said = job.as_of.filter(|of| of.day != today || of.older || of.otherwise);
    html! {
        @if let Some(of) = said {
            br;
            span.quiet {
                "judged " time datetime=(of.day) { (of.day) }
                @if of.older { ", before the last entry" }
                @if of.otherwise { ", by another policy" }
            }
        }
    }
}

fn line(job: &JobLine, today: Date) -> Markup {
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
                Some(urgency) => span { (urgency_words(urgency)) (as_of(job, today)) },
                None => span.quiet { "not judged" },
            }
        }
    }
}
