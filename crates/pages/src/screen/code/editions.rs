//! Editions side by side: the load by each method, and what each asks differently.

use super::{cautions, job_of, places};
use crate::context::Context;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::{Markup, html};
use study::code::json::answer_word;
use study::code::{AskedUnder, Blocked, Editions, Method};
use study::words::capital;

pub(crate) fn page(job: &str, cx: &Context<'_>) -> Page {
    let route = Route::Editions(job.to_owned());
    let (view, job) = match job_of(cx) {
        Ok(found) => found,
        Err(page) => return page,
    };
    let editions = study::code::editions(cx.book, job);
    let body = html! {
        p.lede { "The same job under each edition, without local amendments: what an adoption would change." }
        (places(view, &route))
        div #editions data-live {
            (loads(&editions))
            section.sheet {
                h2 { "Asked differently" }
                @if !editions.asks.iter().any(AskedUnder::differs) { p { "Nothing, by what is on record. Say on the site what is planned." } }
                @for asked in editions.asks.iter().filter(|asked| asked.differs()) {
                    h3 { (capital(&asked.title)) }
                    ul { @for (years, word) in runs(asked, &editions) { li { strong { (years) } ": " (word) } } }
                }
                @let same = editions.asks.iter().filter(|asked| !asked.differs()).count();
                p.quiet { (same) " further points are answered alike by all that are answered for." }
            }
            (refused(&editions))
        }
        (cautions())
    };
    shell(cx, "Editions", &route, body)
}

fn loads(editions: &Editions) -> Markup {
    let methods = [Method::Standard, Method::Optional, Method::Existing, Method::Measured, Method::TwoFamily];
    let cell = |row: &study::code::EditionRow, method: Method| {
        row.loads.rows().find(|(_, one)| one.method == method).map(|(_, one)| match &one.sheet {
            Ok(sheet) => format!("{:.0}", sheet.load_a),
            Err(Blocked::Refused(_)) => "×".to_owned(),
            Err(Blocked::Ask(_)) => "?".to_owned(),
            Err(_) => "–".to_owned(),
        })
    };
    let used: Vec<Method> = methods
        .into_iter()
        .filter(|&method| editions.rows.iter().any(|row| cell(row, method).is_some()))
        .collect();
    html! {
        section.sheet {
            h2 { "Load, A" }
            // Editions go down, so that the table fits a phone.
            table {
                thead { tr { th scope="col" { "Year" } @for method in &used { th.n scope="col" { (short(*method)) } } } }
                tbody {
                    @for row in &editions.rows {
                        tr { th scope="row" { (row.edition) } @for method in &used { td.n { (cell(row, *method).unwrap_or_default()) } } }
                    }
                }
            }
            p.quiet { "Std.: standard method. Opt.: optional method. Exist.: existing dwelling. Meas.: measured demand. ×: refused, the text was not verified. ?: something is still to be asked." }
        }
    }
}

const fn short(method: Method) -> &'static str {
    match method {
        Method::Standard => "Std.",
        Method::Optional => "Opt.",
        Method::Existing => "Exist.",
        Method::Measured => "Meas.",
        Method::TwoFamily => "Both",
    }
}

/// Editions in a row that answer alike.
fn runs(asked: &AskedUnder, editions: &Editions) -> Vec<(String, &'static str)> {
    let mut runs: Vec<(Vec<String>, &'static str)> = Vec::new();
    for (finding, row) in asked.findings.iter().zip(&editions.rows) {
        let word = finding.as_ref().map_or("does not come up", |finding| answer_word(&finding.answer));
        match runs.last_mut() {
            Some((years, same)) if *same == word => years.push(row.edition.to_string()),
            _ => runs.push((vec![row.edition.to_string()], word)),
        }
    }
    runs.into_iter().map(|(years, word)| (years.join(", "), word)).collect()
}

fn refused(editions: &Editions) -> Markup {
    html! {
        @for (idx, row) in editions.rows.iter().enumerate() {
            @let n = editions.asks.iter().filter(|asked| asked.is_refused(idx)).count();
            @if 0 < n {
                section.sheet {
                    h2 { "Edition " (row.edition) }
                    p { (n) " of " (editions.asks.len()) " points are refused: the text of this edition was not verified. A person who has read it may confirm them in the shop’s copy of the refusals." }
                }
            }
        }
    }
}
