//! The load by every method side by side, what is left and what would exceed it, with every working.

use super::{cautions, job_of, note, places, questions, with_law, working};
use crate::context::Context;
use crate::entry::words::with_query;
use crate::fields::Fields;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::{Markup, html};
use study::code::{Blocked, Loads, Question, Row};
use study::words::capital;

pub(crate) fn page(job: &str, query: &Fields, cx: &Context<'_>) -> Page {
    let route = Route::Load(job.to_owned());
    let (view, job) = match job_of(cx) {
        Ok(found) => found,
        Err(page) => return page,
    };
    // For print every working is opened.
    let open = query.text("open").is_some();
    let body = html! {
        p.lede { "Every method that the edition offers, with what is left of the service." }
        (places(view, &route))
        div #load data-live {
            (with_law(cx, view, job, |law| {
                let loads = study::code::loads(law, job);
                let mut names = study::code::permit_names(law, job, cx.now.date());
                names.extend(study::install::permit_set_names(job));
                html! {
                    p.quiet { "By " (loads.law) "." }
                    (table(&loads))
                    (asked(&loads))
                    @for (unit, row) in loads.rows() { (method(unit, row, open)) }
                    section.sheet {
                        h2 { "For the permit" }
                        ul.rows {
                            @for name in &names {
                                li.row { a.whole href={ "/jobs/" (crate::route::encode(&view.name)) "/permit/" (crate::route::encode(name)) } {
                                    span.grow { strong { (about(name)) } } span.quiet { (name) } } }
                            }
                        }
                        @if !open { p { a.plain href=(with_query(&route, &[("open", "yes")])) { "All workings open, for print" } } }
                    }
                }
            }))
        }
        (cautions())
    };
    shell(cx, "Load", &route, body)
}

/// What a file is, by its name.
fn about(name: &str) -> &'static str {
    if name.starts_with("permit-set") {
        return if name.ends_with(".pdf") { "Permit set, all in one" } else { "Permit set as text" };
    }
    match (name.starts_with("one-line"), name.rsplit_once('.').map(|(_, extension)| extension)) {
        (false, Some("pdf")) => "Load sheet",
        (false, _) => "Load sheet as text",
        (true, Some("pdf")) => "One-line diagram",
        (true, Some("svg")) => "One-line diagram as a drawing",
        (true, _) => "One-line diagram in words",
    }
}

fn name(unit: &str, row: &Row) -> String {
    let method = capital(&row.method.to_string());
    if unit.is_empty() { method } else { format!("{method}, {unit}") }
}

/// Amperes; the unit never stands alone on a line.
fn amps(value: Option<f64>) -> String {
    value.map_or("–".to_owned(), |value| format!("{value:.0}\u{a0}A"))
}

/// The name for a narrow column.
fn brief(unit: &str, row: &Row) -> String {
    name(unit, row).replace(" method", "").replace(" dwelling", "")
}

fn table(loads: &Loads) -> Markup {
    html! {
        section.sheet {
            h2 { "Side by side" }
            table {
                thead { tr { th scope="col" { "Method" } th.n scope="col" { "Load" } th.n scope="col" { "Rating" } th.n scope="col" { "Left" } } }
                tbody {
                    @for (unit, row) in loads.rows() {
                        tr {
                            th scope="row" { (brief(unit, row)) }
                            @match &row.sheet {
                                Ok(sheet) => {
                                    td.n { (amps(Some(sheet.load_a))) }
                                    td.n { (amps(sheet.standard_rating_a)) }
                                    td.n { (amps(row.room.as_ref().map(|room| room.room_a))) }
                                }
                                Err(blocked) => td.n colspan="3" { (short(blocked)) },
                            }
                        }
                    }
                }
            }
            @match loads.service_a {
                Some(service_a) => p.quiet { "Left of " (format!("{service_a:.0}")) " A. Rating: the next standard one that is not below the load." },
                None => p.quiet { "No rating of the service is on record: what is left is not told." },
            }
        }
    }
}

fn short(blocked: &Blocked) -> String {
    match blocked {
        Blocked::Ask(asked) if asked.len() == 1 => "one question".to_owned(),
        Blocked::Ask(asked) => format!("{} questions", asked.len()),
        Blocked::Input(_) => "an input cannot be".to_owned(),
        Blocked::Refused(_) => "refused".to_owned(),
        Blocked::NotFor { .. } => "not for this case".to_owned(),
    }
}

/// Every question of all methods, each once.
fn asked(loads: &Loads) -> Markup {
    let mut all: Vec<Question> = Vec::new();
    for (_, row) in loads.rows() {
        if let Err(Blocked::Ask(asked)) = &row.sheet {
            for one in asked {
                if !all.contains(one) {
                    all.push(one.clone());
                }
            }
        }
    }
    html! {
        @if !all.is_empty() {
            section.sheet { h2 { "To be asked" } p { "Nothing is assumed in place of these." } (questions(&all)) }
        }
    }
}

fn method(unit: &str, row: &Row, open: bool) -> Markup {
    html! {
        section.sheet {
            h2 { (name(unit, row)) }
            @match &row.sheet {
                Err(Blocked::Ask(_)) => p { "Not computed: the questions above are open." },
                Err(blocked) => p.caution { (capital(&blocked.to_string())) "." },
                Ok(sheet) => {
                    p.figure { (format!("{:.0}", sheet.load_a)) span.unit { "A" } }
                    dl {
                        dt { "Least rating of the service" } dd { (amps(Some(sheet.least_service_a))) ", next standard rating " (amps(sheet.standard_rating_a)) }
                        @if let Some(neutral) = &sheet.neutral { dt { "Neutral" } dd { (amps(Some(neutral.load_a))) } }
                        @if let Some(room) = &row.room { dt { "What would exceed it" } dd { (capital(&room.sentence())) "." } }
                    }
                    @if !row.alternatives.is_empty() {
                        details.more open[open] {
                            summary { "Read otherwise" }
                            ul.facts { @for other in &row.alternatives {
                                li { (capital(other.reading.other())) ": " strong { (amps(Some(other.load_a))) } }
                            } }
                            p.quiet { "Where people who know the code read it in two ways, the one that gives more is taken." }
                        }
                    }
                    details.more open[open] {
                        summary { "Full working" }
                        div {
                            @for one in sheet.all_workings() { (working(&one)) }
                            @for one in &sheet.notes { (note(one)) }
                        }
                    }
                }
            }
        }
    }
}
