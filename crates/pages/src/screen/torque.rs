//! The torque log: what is not on record yet as big buttons, what is wrong, what is done.

use crate::context::{Context, JobView};
use crate::entry::words::enter;
use crate::route::{EntryKind, Route};
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::proving::TorqueLine;
use record::text::Textual;
use study::words::capital;

pub(crate) fn page(job: &str, cx: &Context<'_>) -> Page {
    let route = Route::Torque(job.to_owned());
    let Some((view, settled)) = cx.job.zip(cx.settled_job()) else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let log = study::install::prove(settled).torque;
    let go = route.to_string();
    let faulty = || log.lines.iter().filter(|line| line.fact.is_some() && !line.faults.is_empty());
    let fine = || log.lines.iter().filter(|line| line.fact.is_some() && line.faults.is_empty());
    let body = html! {
        p.lede { "Dead, and proven dead. The label’s value, a tool in date, once each." }
        @if faulty().next().is_some() {
            section.sheet #faulty data-live {
                h2 { "Look again" }
                ul.rows { @for line in faulty() { (row(view, line, &go)) } }
            }
        }
        section.sheet #open data-live {
            h2 { "Not on record: " (log.n_missing) }
            @if log.lines.is_empty() { p { "Record the breakers of the new panel first: the terminations follow from them." } }
            ul.rows { @for line in log.lines.iter().filter(|line| line.fact.is_none()) { (row(view, line, &go)) } }
        }
        section.sheet #done data-live {
            h2 { "On record" }
            ul.rows {
                @for line in fine() {
                    li.row { p.grow { "✓ " strong { (capital(&line.words)) } br; span.quiet { (line.value) ". " (line.tool) ". " (line.by) } } }
                }
            }
            @for note in &log.notes { p.quiet { (note) } }
        }
        div.links {
            a.plain href=(Route::Photos(view.name.clone())) { "Photo of the label" }
            a.plain href=(enter(view, EntryKind::Installed, &[("go", &go)])) { "Record a breaker" }
            a.plain href=(Route::Proving(view.name.clone())) { "Switching on" }
        }
        div.actions { a.big href=(enter(view, EntryKind::Torqued, &[("go", &go)])) { "Another termination" } }
    };
    shell(cx, "Torque", &route, body)
}

fn row(view: &JobView, line: &TorqueLine, go: &str) -> Markup {
    let href = enter(view, EntryKind::Torqued, &[("terminal", &line.terminal.write()), ("go", go)]);
    html! {
        li.row {
            a.whole href=(href) {
                span.grow { strong { (capital(&line.words)) }
                    @if line.fact.is_some() { br; span.quiet { (line.faults.join(" ")) } } }
                span.tag { @if line.fact.is_some() { "■ look" } @else { "□" } }
            }
        }
    }
}
