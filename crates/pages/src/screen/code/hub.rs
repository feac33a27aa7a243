//! What is on record for the code book: the adopted code, dwellings, appliances, demand, site; and where it leads.

use super::{job_of, places, record};
use crate::context::{Context, JobView};
use crate::entry::sentence::sentence;
use crate::entry::words::enter;
use crate::route::{EntryKind, Route};
use crate::shell::{Page, shell};
use maud::{Markup, html};
use model::FactId;
use model::job::Job;
use study::code::Chosen;

pub(crate) fn page(job: &str, cx: &Context<'_>) -> Page {
    let route = Route::Code(job.to_owned());
    let (view, job) = match job_of(cx) {
        Ok(found) => found,
        Err(page) => return page,
    };
    let known = &job.premises;
    let body = html! {
        p.lede { "For the load, the sizes and what the code asks. What is not known is asked by name, never assumed." }
        (places(view, &route))
        div #on-record data-live {
            section.sheet {
                h2 { "Adopted code" }
                (law(cx, job))
                @if let Some(adoption) = &known.adoption { (line(view, EntryKind::Adoption, &adoption.fact)) }
                @else { a.big.full href=(record(view, EntryKind::Adoption)) { "Write down the adopted code" } }
            }
            section.sheet {
                h2 { "Dwelling" }
                ul.facts { @for one in &known.dwellings { li { (line(view, EntryKind::Dwelling, &one.fact)) } } }
                @if known.dwellings.is_empty() { a.big.full href=(record(view, EntryKind::Dwelling)) { "Areas and circuits" } }
                @else { p.links { a.plain.small href=(record(view, EntryKind::Dwelling)) { "A second dwelling" } } }
            }
            section.sheet {
                h2 { "Appliances" }
                @if known.appliances.is_empty() { p { "None yet. Heat, cooling, water heater, cooking, dryer, vehicle: by their nameplates." } }
                ul.facts { @for one in &known.appliances { li { (line(view, EntryKind::Appliance, &one.fact)) } } }
                a.big.full href=(enter(view, EntryKind::Appliance, &[("go", &route.to_string())])) { "Add an appliance" }
            }
            section.sheet {
                h2 { "Measured demand" }
                @if let Some(one) = &known.demand { (line(view, EntryKind::Demand, &one.fact)) }
                @else {
                    a.plain href=(Route::Meter(view.name.clone())) { "Read meter data" }
                    " " a.plain href=(record(view, EntryKind::Demand)) { "Enter a demand" }
                }
            }
            section.sheet {
                h2 { "Site and planned work" }
                @if let Some(one) = &known.site { (line(view, EntryKind::Site, &one.fact)) }
                @else { a.plain href=(record(view, EntryKind::Site)) { "Describe the site" } }
                p.links { a.plain.small href=(enter(view, EntryKind::Service, &[("go", &route.to_string())])) { "Service and transformer" } }
            }
        }
    };
    shell(cx, "Code book", &route, body)
}

fn law(cx: &Context<'_>, job: &Job) -> Markup {
    let chosen = Chosen::of(job, cx.book, None, cx.now.date());
    let told = chosen.and_then(|chosen| Ok(chosen.law(cx.book)?.chosen().to_owned()));
    html! {
        @match told {
            Ok(chosen) => p { "Computed by " (chosen) "." },
            Err(error) => p.caution { (study::words::capital(&error.to_string())) "." },
        }
    }
}

/// A fact in one sentence, and the way to correct it.
fn line(view: &JobView, kind: EntryKind, fact: &FactId) -> Markup {
    let body = view.facts.iter().find(|one| one.id() == fact).map(|one| &one.body);
    let go = Route::Code(view.name.clone()).to_string();
    html! {
        @if let Some(body) = body {
            p { (sentence(view, body)) " "
                a href=(enter(view, kind, &[("supersedes", fact.as_str()), ("go", &go)])) { "Correct" span.off-screen { ": " (sentence(view, body)) } } }
        }
    }
}
