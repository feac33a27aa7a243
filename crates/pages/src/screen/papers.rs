//! The papers of a job, made from its facts as they are now.

use super::bench::standing_of_whole;
use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, failure_page, shell};
use maud::html;

pub(crate) fn page(job: &str, _query: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let Some(view) = cx.job else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let route = Route::Papers(job.to_owned());
    let names = match (cx.settled_job(), view.judged.assessment()) {
        (Some(job), Some(assessment)) => study::paper_names(job, assessment),
        _ => Vec::new(),
    };
    let install = match cx.settled_job() {
        Some(job) => study::install::install_names(job, cx.now.date()),
        None => Vec::new(),
    };
    let body = html! {
        p.lede { "Made anew from the facts each time one is opened. Nothing on them is kept: correct a fact, and the paper says so." }
        div #judged data-live {
            (standing_of_whole(view))
            section.sheet {
                h2 { "Papers" }
                @if !names.is_empty() {
                    ul.rows {
                        @for name in &names {
                            @let (title, words) = about(name);
                            li.row {
                                a.whole href={ (route) "/" (name) } { span.grow { strong { (title) } } span.quiet { (words) } }
                            }
                        }
                    }
                } @else {
                    p { "There is nothing to print before the panel is judged." }
                }
            }
        }
        section.sheet {
            h2 { "For a permit" }
            p { "Load sheet and one-line diagram, under the adopted code. They need no judgement." }
            a.plain href=(Route::Load(job.to_owned())) { "Load and permit papers" }
        }
        section.sheet #install data-live {
            h2 { "The new panel" }
            p { "They need no judgement. The page Switching on says what is still missing." }
            ul.rows {
                @for name in &install {
                    li.row {
                        a.whole href={ (Route::Bench(job.to_owned())) "/install/" (name) } { span.grow { strong { (of_install(name)) } } }
                    }
                }
            }
            a.plain href=(Route::Proving(job.to_owned())) { "Switching on" }
        }
        section.sheet {
            h2 { "Show papers to somebody else" }
            p { "A link for the owner, an inspector or an insurer: for a time, without place, names and notes." }
            a.plain href=(Route::Links(job.to_owned())) { "Links for others" }
        }
        section.sheet {
            h2 { "Take the job elsewhere" }
            p { "One file with all facts and photos, readable without this program, with a hash of each part." }
            a.plain href={ (Route::Bench(job.to_owned())) "/export" } download { "Export the job" }
        }
    };
    shell(cx, "Papers", &route, body)
}

/// What a paper of the new panel is, by its name.
fn of_install(name: &str) -> String {
    let titles = [
        ("pull-list", "Pull list, large print"),
        ("switching-on", "Switching on"),
        ("directory-card", "Directory card"),
        ("close-out", "Close-out packet"),
        ("look-back", "Look-back after a year"),
        ("panel-now", "State of the panel now"),
    ];
    let title = titles.iter().find(|(start, _)| name.starts_with(start)).map_or(name, |(_, title)| title);
    if name.ends_with(".txt") { format!("{title}, as text") } else { title.to_owned() }
}

/// What a file is, by its name.
fn about(name: &str) -> (String, &'static str) {
    let text = name.ends_with(".txt");
    if name.ends_with(".svg") {
        let panel = name.trim_end_matches(".svg").rsplit_once("-panel-").map_or(name, |(_, panel)| panel);
        return (
            format!("Drawing of panel {panel}"),
            "With the findings numbered as in the letter; readable in black and white.",
        );
    }
    let paper =
        |title: &str, words| (if text { format!("{title}, as text") } else { title.to_owned() }, words);
    for (start, title, words) in [
        (
            "tag-",
            "Tag of the stop-gap",
            "One label of four by six inches, with a code that opens the record.",
        ),
        (
            "until-replaced-",
            "Owner’s sheet until the replacement",
            "What is off, what may be used, what to watch for, which days hold.",
        ),
        (
            "hasta-el-cambio-",
            "Owner’s sheet in Spanish",
            "The same sheet. What was written by hand stays in the language it was written in.",
        ),
        ("until-we-are-there-", "What the caller was told", "One page: do, do not, and whom to call first."),
        ("crew-sheet-", "Crew’s sheet", "The plan, what was opened, and the isolation drawn step by step."),
    ] {
        if name.starts_with(start) {
            return paper(title, words);
        }
    }
    match (name.starts_with("owner-letter"), text) {
        (true, false) => (
            "Letter to the owner".to_owned(),
            "Two pages at most, in plain words, with every choice; doing nothing for now is one of them.",
        ),
        (true, true) => ("The letter as text".to_owned(), "For a message, or to be read aloud."),
        (false, false) => (
            "Technical record".to_owned(),
            "Every fact and figure with its working, for another electrician or an inspector.",
        ),
        (false, true) => ("The record as text".to_owned(), "The same content without the drawing."),
    }
}
