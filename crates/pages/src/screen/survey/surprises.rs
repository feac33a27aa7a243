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
use model::replacement::{Carry, Found, SurpriseCost};
use record::Body;
use record::fact::SurpriseAnswered;
use record::limits;
use record::text::AsText;
use study::survey::{Per, Surprise};

/// Most of what parts of one surprise cost, US dollars.
const USD_MAX: u32 = 1_000_000;

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
    let costs: Vec<CostNames> = list.iter().map(CostNames::of).collect();
    let body = html! {
        p.lede { "What usually appears with the power off. What is not known before the day is carried in the price: by an allowance, or as an exclusion that the quote names." }
        (sheet.error_list())
        (form(cx, &route, html! {
            @for (per, title) in [(Per::Job, "The house"), (Per::Circuit, "The circuits")] {
                section.sheet {
                    h2 { (title) }
                    @if per == Per::Circuit { p.quiet { "For all circuits together; of a single one it is said in its survey, and counts there." } }
                    @for ((one, name), cost) in list.iter().zip(&names).zip(&costs).filter(|((one, _), _)| one.per == per) {
                        (sheet.yes_no(name, &one.ask, &format!("{} {}", one.look, carried(one)), answered(settled, one, None)))
                        @if answered(settled, one, None) == Some(true) { (cost.show(settled, one, &sheet)) }
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

/// Fields for what a surprise cost: it came, and was answered by yes.
struct CostNames {
    hours: String,
    usd: String,
    charged: String,
}

impl CostNames {
    fn of(one: &Surprise) -> CostNames {
        let named = |what: &str| format!("{what}-{}", one.id);
        CostNames { hours: named("hours"), usd: named("usd"), charged: named("charged") }
    }

    fn show<'a>(&'a self, job: &Job, one: &Surprise, sheet: &Sheet<'a>) -> Markup {
        let cost = job.replacement.answer(&one.id, None).map(|answer| answer.cost).unwrap_or_default();
        let hours = cost.hours.map(|hours| hours.to_string()).unwrap_or_default();
        let usd = cost.usd.map(|usd| usd.to_string()).unwrap_or_default();
        html! {
            details.more open[sheet.is_again()] {
                summary { "What it cost" @if !cost.is_known() { " (after the day)" } }
                (sheet.text(&self.hours, "Hours of all people beyond the plan", "Left empty: nobody wrote them down.", &hours))
                (sheet.text(&self.usd, "Parts and others, US dollars", "Without the hours, whole dollars.", &usd))
                (sheet.yes_no(&self.charged, "On the bill?", "", cost.charged))
            }
        }
    }

    /// What is filled in; where a field is not there, as before.
    fn read(&self, before: SurpriseCost, fields: &Fields) -> Result<SurpriseCost, FieldError> {
        let wrong = |field: &str, message: &str| {
            Err(FieldError { field: field.to_owned(), message: message.to_owned() })
        };
        let mut cost = before;
        if fields.all(&self.hours).next().is_some() {
            let text = fields.text(&self.hours).unwrap_or_default().replace(',', ".");
            cost.hours = match text.trim() {
                "" => None,
                text => match text.parse::<f64>() {
                    Ok(hours) if limits::SURPRISE_H.0 <= hours && hours <= limits::SURPRISE_H.1 => {
                        Some(hours)
                    }
                    _ => return wrong(&self.hours, "Hours are a number from 0 to 200, for example 1.5."),
                },
            };
        }
        if fields.all(&self.usd).next().is_some() {
            cost.usd = match fields.text(&self.usd).unwrap_or_default().trim() {
                "" => None,
                text => match text.parse::<u32>() {
                    Ok(usd) if usd <= USD_MAX => Some(usd),
                    _ => return wrong(&self.usd, "Dollars are a whole number, for example 240."),
                },
            };
        }
        cost.charged = match fields.text(&self.charged) {
            Some("yes") => Some(true),
            Some("no") => Some(false),
            Some(_) => None,
            None => before.charged,
        };
        Ok(cost)
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

/// The answers that changed, and what it cost.
fn changed(
    job: &Job,
    slot: Option<&Slot>,
    per: Option<Per>,
    fields: &Fields,
) -> Result<Vec<Body>, Vec<FieldError>> {
    let list = study::survey::surprises().unwrap_or_default();
    let (mut all, mut errors) = (Vec::new(), Vec::new());
    for one in list.iter().filter(|one| per.is_none_or(|per| one.per == per)) {
        let found = match fields.text(&name(one)) {
            Some("yes") => Found::Yes,
            Some("no") => Found::No,
            Some("unknown") => Found::Unknown,
            _ => continue,
        };
        let before = job.replacement.answer(&one.id, slot);
        let had = before.map(|answer| answer.cost).unwrap_or_default();
        let cost = match (found, slot) {
            (Found::Yes, None) => CostNames::of(one).read(had, fields),
            (Found::Yes, Some(_)) => Ok(had),
            _ => Ok(SurpriseCost::default()),
        };
        let cost = match cost {
            Ok(cost) => cost,
            Err(error) => {
                errors.push(error);
                continue;
            }
        };
        let was = before.map_or(Found::Unknown, |answer| answer.found);
        if was != found || (found == Found::Yes && cost != had) {
            let slot = slot.cloned().map(AsText);
            let words = String::new();
            let body = SurpriseAnswered {
                question: one.id.clone(),
                answer: AsText(found),
                slot,
                carry: None,
                hours: cost.hours,
                cost_usd: cost.usd,
                charged: cost.charged,
                words,
            };
            all.push(body.into());
        }
    }
    if errors.is_empty() { Ok(all) } else { Err(errors) }
}

/// Answers of the form of one circuit.
pub(super) fn read_of_circuit(job: &Job, slot: &Slot, fields: &Fields) -> Vec<Body> {
    // A circuit has no fields for costs, so nothing of them can be wrong.
    changed(job, Some(slot), Some(Per::Circuit), fields).unwrap_or_default()
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
    let bodies = changed(settled, None, None, fields).map_err(|errors| Refusal { errors })?;
    if bodies.is_empty() {
        return refuse("No answer has changed: tap yes or no where you know it.");
    }
    let taking = Taking::new(fields, view, cx);
    taking.finish(bodies, Route::Surprises(job.to_owned()).to_string())
}
