//! What the edition asks of the panel and its replacement.

use super::{cautions, cite, job_of, places, record, with_law};
use crate::context::Context;
use crate::route::{EntryKind, Route};
use crate::shell::{Page, shell};
use maud::{Markup, html};
use study::code::{Answer, Finding};
use study::words::capital;

pub(crate) fn page(job: &str, cx: &Context<'_>) -> Page {
    let route = Route::Asks(job.to_owned());
    let (view, job) = match job_of(cx) {
        Ok(found) => found,
        Err(page) => return page,
    };
    let body = html! {
        p.lede { "Point by point, with section and how far it was checked. The inspector decides." }
        (places(view, &route))
        div #asks data-live {
            (with_law(cx, view, job, |law| {
                let findings = study::code::asks(law, job);
                html! {
                    p.quiet { "By " (law.chosen()) "." }
                    @for (title, which) in GROUPS {
                        @let own: Vec<&Finding> = findings.iter().filter(|finding| which(&finding.answer)).collect();
                        @if !own.is_empty() {
                            section.sheet { h2 { (title) } ul.facts { @for finding in own { li { (point(finding)) } } } }
                        }
                    }
                    p { a.plain href=(record(view, EntryKind::Site)) { "Answer about the site" } }
                }
            }))
        }
        (cautions())
    };
    shell(cx, "What the code asks", &route, body)
}

type Group = (&'static str, fn(&Answer) -> bool);

const GROUPS: [Group; 5] = [
    ("Required", |answer| matches!(answer, Answer::Required { .. })),
    ("Depends on", |answer| matches!(answer, Answer::DependsOn(_))),
    ("Inspector’s call", |answer| matches!(answer, Answer::InspectorsCall)),
    ("Refused: not verified for this edition", |answer| matches!(answer, Answer::Refused(_))),
    ("Not required", |answer| matches!(answer, Answer::NotRequired)),
];

fn point(finding: &Finding) -> Markup {
    let mark = match &finding.answer {
        Answer::Required { met: Some(true) } => "✓ met",
        Answer::Required { met: Some(false) } => "■ not met",
        Answer::Required { met: None } => "□ to be done",
        Answer::NotRequired => "– not required",
        Answer::DependsOn(_) => "? depends on",
        Answer::InspectorsCall => "◇ inspector’s call",
        Answer::Refused(_) => "× refused",
    };
    html! {
        p { strong { (capital(&finding.title)) } " " span.tag { (mark) } }
        @if let Answer::DependsOn(question) = &finding.answer { p { (question) } }
        @if let Answer::Refused(refused) = &finding.answer { p { (capital(&refused.reason)) "." } }
        p { (capital(&finding.text)) }
        @if let Some(by) = &finding.cite { p { (cite(by)) } }
    }
}
