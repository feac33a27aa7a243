//! The questions before the day: yes, no or not known, each with what to look at and how the price carries it.

use crate::context::Context;
use crate::entry::Taking;
use crate::fields::{FieldError, Fields, Refusal};
use crate::form::{Sheet, form};
use crate::route::Route;
use crate::screen::Entry;
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::Slot;
use model::job::Job;
use model::replacement::{Carry, Found};
use record::Body;
use record::fact::SurpriseAnswered;
use record::text::AsText;
use study::survey::{Per, Surprise};

pub(crate) fn page(job: &str, query: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let route = Route::Surprises(job.to_owned());
    let Some(settled) = cx.settled_job() else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let list = match study::survey::surprises() {
        Ok(list) => list,
        Err(error) => return failure_page("No questions", &error, ""),
    };
    let sheet = Sheet::new(query, again);
    let names: Vec<String> = list.iter().map(name).collect();
    let body = html! {
        p.lede { "What usually appears with the power off. What is not known before the day is carried in the price: by an allowance, or as an exclusion that the quote names." }
        (sheet.error_list())
        (form(cx, &route, html! {
            @for (per, title) in [(Per::Job, "The house"), (Per::Circuit, "The circuits")] {
                section.sheet {
                    h2 { (title) }
                    @if per == Per::Circuit { p.quiet { "For all circuits together; of a single one it is said in its survey, and counts there." } }
                    @for (one, name) in list.iter().zip(&names).filter(|(one, _)| one.per == per) {
                        (sheet.yes_no(name, &one.ask, &format!("{} {}", one.look, carried(one)), answered(settled, one, None)))
                    }
                }
            }
            div.actions { button.big { "Save the answers" } }
        }))
        div.links {
            a.plain.small href=(Route::Survey(job.to_owned())) { "Survey of the circuits" }
            a.plain.small href=(Route::Layout(job.to_owned())) { "Layout of the new panel" }
        }
    };
    shell(cx, "Questions before the day", &route, body)
}

fn name(one: &Surprise) -> String {
    format!("q-{}", one.id)
}

fn carried(one: &Surprise) -> &'static str {
    match one.carry {
        Carry::Allowance => "Not known: an allowance.",
        Carry::Exclusion => "Not known: an exclusion.",
    }
}

fn answered(job: &Job, one: &Surprise, slot: Option<&Slot>) -> Option<bool> {
    match job.replacement.answer(&one.id, slot).map(|answer| answer.found) {
        Some(Found::Yes) => Some(true),
        Some(Found::No) => Some(false),
        Some(Found::Unknown) | None => None,
    }
}

/// Those of the questions that one circuit answers.
pub(super) fn of_circuit(job: &Job, slot: &Slot, sheet: &Sheet<'_>) -> Markup {
    let list = study::survey::surprises().unwrap_or_default();
    let mine: Vec<&Surprise> = list.iter().filter(|one| one.per == Per::Circuit).collect();
    let names: Vec<String> = mine.iter().map(|one| name(one)).collect();
    html! {
        details.more open[sheet.is_again()] {
            summary { "Surprises of this circuit" }
            @for (one, name) in mine.iter().zip(&names) {
                (sheet.yes_no(name, &one.ask, &one.look, answered(job, one, Some(slot))))
            }
        }
    }
}

/// The answers that changed.
fn changed(job: &Job, slot: Option<&Slot>, per: Option<Per>, fields: &Fields) -> Vec<Body> {
    let list = study::survey::surprises().unwrap_or_default();
    let mut all = Vec::new();
    for one in list.iter().filter(|one| per.is_none_or(|per| one.per == per)) {
        let found = match fields.text(&name(one)) {
            Some("yes") => Found::Yes,
            Some("no") => Found::No,
            Some("unknown") => Found::Unknown,
            _ => continue,
        };
        let before = job.replacement.answer(&one.id, slot).map(|answer| answer.found);
        if before.unwrap_or(Found::Unknown) != found {
            let slot = slot.cloned().map(AsText);
            let words = String::new();
            let body = SurpriseAnswered {
                question: one.id.clone(),
                answer: AsText(found),
                slot,
                carry: None,
                words,
            };
            all.push(body.into());
        }
    }
    all
}

/// Answers of the form of one circuit.
pub(super) fn read_of_circuit(job: &Job, slot: &Slot, fields: &Fields) -> Vec<Body> {
    changed(job, Some(slot), Some(Per::Circuit), fields)
}

/// Reads the whole list.
///
/// # Errors
/// The job is not here, or nothing was answered.
pub(crate) fn read(job: &str, fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    let refuse = |message: &str| {
        Err(Refusal { errors: vec![FieldError { field: String::new(), message: message.to_owned() }] })
    };
    let Some((view, settled)) = cx.job.zip(cx.settled_job()) else {
        return refuse("This form belongs to a job that is not here.");
    };
    let bodies = changed(settled, None, None, fields);
    if bodies.is_empty() {
        return refuse("No answer has changed: tap yes or no where you know it.");
    }
    let taking = Taking::new(fields, view, cx);
    taking.finish(bodies, Route::Surprises(job.to_owned()).to_string())
}
