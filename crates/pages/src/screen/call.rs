//! The call: what the caller says, what to tell the caller, and the job that it opens.

mod advice;
mod questions;
mod read;

pub(crate) use read::{read, read_new};

use crate::context::Context;
use crate::entry::words::complaint_words;
use crate::fields::{Fields, Refusal};
use crate::form::{Choice, Sheet, form, submit};
use crate::route::{EntryKind, Route};
use crate::shell::{Page, shell};
use maud::{Markup, html};
use model::job::{CallAnswer, ComplaintKind, Job};
use study::Triage;

/// Begins the names of the fields with answers.
const ANSWER: &str = "a-";

pub(crate) fn new_page(fields: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let sheet = Sheet::new(fields, again);
    let triage = Triage::standard();
    // Whether it burns is asked before anything is written down.
    let (first, rest) = (0..1, 1..triage.questions().len());
    let body = html! {
        p.quiet { "The phone rings. Ask, tap, save: what to tell the caller comes at once." }
        (sheet.error_list())
        (form(cx, &Route::New, html! {
            div.call-sheet {
                section.sheet { (questions::tiles(&triage, first, &[], &sheet)) }
                section.sheet {
                    h2 { "What is wrong" }
                    (sheet.words("words", "In the caller’s words", "", ""))
                    (complaints(&sheet))
                }
                section.sheet { (questions::tiles(&triage, rest, &[], &sheet)) }
                (questions::first_words(&triage))
                section.sheet {
                    h2 { "Where" }
                    (place(None, &sheet))
                    details.more {
                        summary { "Name of the job" }
                        (sheet.text("job", "Name", "Made from the day if it is left empty. Letters, digits, - and _.", ""))
                        (sheet.tick("invented", "Invented, for a test or a demonstration", "Its papers say so.", false))
                    }
                }
            }
            (submit("Save, and what to tell"))
        }))
        (advice::without_network(&triage))
    };
    shell(cx, "New job", &Route::New, body)
}

pub(crate) fn page(job: &str, fields: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let here = Route::Call(job.to_owned());
    let sheet = Sheet::new(fields, again);
    let triage = Triage::standard();
    let settled = cx.settled_job();
    let answers = settled.map(answers_of).unwrap_or_default();
    let body = html! {
        (sheet.error_list())
        div #told data-live { (advice::told(&triage, &answers)) }
        section.sheet #said data-live {
            h2 { "What was said" }
            (said(&triage, &answers, settled))
            p.links {
                a.plain.small href=(Route::Enter(job.to_owned(), EntryKind::Complaint)) { "A further complaint" }
                a.plain.small href=(Route::Panel(job.to_owned(), String::new())) { "Describe a panel" }
            }
        }
        details.more open[again.is_some() || answers.is_empty()] {
            summary { "Ask further, or correct" }
            (form(cx, &here, html! {
                div.call-sheet {
                    section.sheet {
                        (questions::tiles(&triage, 0..triage.questions().len(), &answers, &sheet))
                        (sheet.words("words", "What else was said", "", &last_words(settled)))
                    }
                    section.sheet { h2 { "Where" } (place(settled, &sheet)) }
                }
                (submit("Save"))
            }))
        }
    };
    shell(cx, "The call", &here, body)
}

/// Everything that was answered in the calls of a job.
fn answers_of(job: &Job) -> Vec<CallAnswer> {
    let mut answers: Vec<CallAnswer> =
        job.calls.iter().flat_map(|call| call.answers.iter().cloned()).collect();
    answers.sort();
    answers.dedup();
    answers
}

fn last_words(job: Option<&Job>) -> String {
    job.and_then(|job| job.calls.last()).map(|call| call.words.clone()).unwrap_or_default()
}

fn said(triage: &Triage, answers: &[CallAnswer], job: Option<&Job>) -> Markup {
    let complaints = job.map(|job| job.complaints.as_slice()).unwrap_or_default();
    let calls = job.map(|job| job.calls.as_slice()).unwrap_or_default();
    let lines = triage.said(answers);
    html! {
        @if complaints.is_empty() && lines.is_empty() && calls.iter().all(|call| call.words.is_empty()) {
            p { "Nothing is noted of a call." }
        }
        ul.facts {
            @for complaint in complaints {
                li {
                    strong { (complaint_words(complaint.kind)) }
                    @if let Some(slot) = &complaint.slot { ", space " (slot.space) }
                    @if !complaint.words.is_empty() { br; "“" (complaint.words) "”" }
                    br; span.when { (complaint.at.strftime("%Y-%m-%d %H:%M")) }
                }
            }
            @for call in calls.iter().filter(|call| !call.words.is_empty()) {
                li { "“" (call.words) "”" br; span.when { (call.at.strftime("%Y-%m-%d %H:%M")) } }
            }
            @if !lines.is_empty() { li { @for line in &lines { (line) br; } } }
        }
    }
}

fn complaints(sheet: &Sheet<'_>) -> Markup {
    let choices: Vec<Choice<'_>> =
        ComplaintKind::ALL.iter().map(|kind| (kind.word(), complaint_words(*kind), "")).collect();
    sheet.pick_any("of", "What it is about", "", &choices, &[])
}

fn place(job: Option<&Job>, sheet: &Sheet<'_>) -> Markup {
    let usual = |of: fn(&Job) -> &String| job.map(|job| of(job).as_str()).unwrap_or_default();
    html! {
        (sheet.text("place", "House", "As the papers call it, as in: 9 Example Row.", usual(|job| &job.place)))
        (sheet.text("town", "Town", "", usual(|job| &job.town)))
        (sheet.text("owner", "How the papers address the owner", "Left empty: the owner of the house.", usual(|job| &job.owner)))
    }
}
