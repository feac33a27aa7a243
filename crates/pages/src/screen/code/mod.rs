//! The pages of the code book: what is on record for it, loads, sizes, what the edition asks, editions side by side.

mod asks;
mod editions;
mod hub;
mod load;
mod meter;
mod sizes;

pub(crate) use hub::page as hub;
pub(crate) use load::page as load;
pub(crate) use meter::page as meter;
pub use meter::read_page;
pub(crate) use {asks::page as asks, editions::page as editions, sizes::page as sizes};

use crate::context::{Context, JobView};
use crate::entry::words::enter;
use crate::route::{EntryKind, Route};
use crate::shell::{Page, failure_page};
use maud::{Markup, html};
use model::job::Job;
use model::working::Working;
use model::{Cite, Note};
use study::code::{CAUTIONS, Chosen, Law, NoCode, Question};

/// The job of a page, where it stands.
fn job_of<'a>(cx: &Context<'a>) -> Result<(&'a JobView, &'a Job), Page> {
    cx.job.zip(cx.settled_job()).ok_or_else(|| failure_page("No such job", "This job is not here.", ""))
}

/// The pages of the code book, for going from one to another.
fn places(view: &JobView, here: &Route) -> Markup {
    let own = || view.name.clone();
    let all = [
        ("On record", Route::Code(own())),
        ("Load", Route::Load(own())),
        ("Sizes", Route::Sizes(own())),
        ("What it asks", Route::Asks(own())),
        ("Editions", Route::Editions(own())),
        ("Meter data", Route::Meter(own())),
    ];
    html! {
        nav.chips aria-label="Code book" {
            @for (word, route) in &all {
                a.chip href=(route) aria-current=[(route == here).then_some("page")] { (word) }
            }
        }
    }
}

/// What is made with the code of the job, or what is missing for it.
fn with_law(cx: &Context<'_>, view: &JobView, job: &Job, make: impl FnOnce(&Law<'_>) -> Markup) -> Markup {
    let chosen = Chosen::of(job, cx.book, None, cx.now.date());
    let made = chosen.and_then(|chosen| Ok(make(&chosen.law(cx.book)?)));
    match made {
        Ok(made) => made,
        Err(error) => {
            let hint = matches!(error, NoCode::NotOnRecord);
            html! {
                section.sheet {
                    h2 { "No code yet" }
                    @if hint { p { "No adopted edition is on record, and none is assumed." } }
                    @else { p { (study::words::capital(&error.to_string())) "." } }
                    a.big.full href=(record(view, EntryKind::Adoption)) { "Write down the adopted code" }
                    p.links { a.plain.small href=(Route::Editions(view.name.clone())) { "Or compare all editions" } }
                }
            }
        }
    }
}

/// Address of a form that comes back to the page of what is on record.
fn record(view: &JobView, kind: EntryKind) -> String {
    enter(view, kind, &[("go", &Route::Code(view.name.clone()).to_string())])
}

fn cautions() -> Markup {
    html! { section.sheet { h2 { "Mind" } ul { @for caution in CAUTIONS { li { (caution) } } } } }
}

/// Questions, each with why it is asked.
fn questions(asked: &[Question]) -> Markup {
    html! {
        ul.facts {
            @for one in asked {
                li { strong { (study::words::capital(&one.subject)) } ": " (one.ask) br; span.quiet { "Asked because " (one.why) "." } }
            }
        }
    }
}

fn cite(cite: &Cite) -> Markup {
    html! { span.tag class={ "tag " (if cite.to_string().contains("memory") { "unknown" } else { "seen" }) } { (cite) } }
}

fn note(note: &Note) -> Markup {
    html! { p.quiet { strong { (study::words::capital(&note.subject)) } ": " (note.text) @if let Some(by) = &note.cite { " " (cite(by)) } } }
}

/// A working: formula, inputs with where each comes from, result, source.
fn working(working: &Working) -> Markup {
    html! {
        h3 { (study::words::capital(&working.title)) ": " (working.result) }
        p { code { (working.formula) } }
        ul.facts {
            @for input in &working.inputs {
                li {
                    @if !input.symbol.is_empty() { strong { (input.symbol) } " " }
                    (input.meaning) ": " (input.value) br; span.quiet { (input.from) }
                }
            }
        }
        p.quiet { "Holds for: " (working.validity) ". " (cite(&working.cite)) }
    }
}
