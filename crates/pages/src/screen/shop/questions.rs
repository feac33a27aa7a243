//! The questions an owner of a shop asks, with counts, intervals and the jobs behind them.

use super::{jobs_behind, share_words};
use crate::context::Context;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::{Markup, html};
use study::shop::{Answer, Line};

/// The page; `n_jobs` is how many jobs were counted, `n_unread` how many are not yet.
pub fn questions_page(answers: &[Answer], n_jobs: usize, n_unread: usize, cx: &Context<'_>) -> Page {
    let body = html! {
        p.lede { "Counted over " (n_jobs) " jobs. In brackets stands the 95 % interval: what the true share (Wilson) or the true median (by the order of the figures) may well be. Few jobs give a wide one, and a median of fewer than six none." }
        (super::unread(n_unread))
        @for answer in answers {
            section.sheet {
                h2 { (answer.question) }
                @if answer.lines.is_empty() { p { "Nothing on record yet." } }
                @for line in &answer.lines { (row(line)) }
                @if !answer.missing.is_empty() { p.quiet { (answer.missing) } }
            }
        }
        section.sheet {
            h2 { "For other programs" }
            p { "All figures with all jobs behind them." }
            p.links {
                a.plain href="/questions.csv" download { "Table (CSV)" }
                a.plain href="/questions.parquet" download { "Table (Parquet)" }
            }
        }
        p.quiet { "Not asked of the record yet, because it does not hold it: which breaker types give nuisance calls, and which neutral readings were the meter." }
    };
    shell(cx, "Questions", &Route::Questions, body)
}

fn row(line: &Line) -> Markup {
    html! {
        p {
            span.lead { (line.words) ": " }
            @match (line.share, line.figure) {
                (Some(share), _) => (share_words(share)),
                (None, Some(figure)) => {
                    (format!("{figure:.1} ")) (line.unit) ", median of " (line.n)
                    @if let Some((low, high)) = line.range { (format!(" ({low:.1} to {high:.1})")) }
                },
                (None, None) => (line.n),
            }
        }
        (jobs_behind(&line.jobs, line.n_jobs))
    }
}
