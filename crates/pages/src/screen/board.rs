//! The board: what is due in all jobs, earliest first.

use super::plan::due_row;
use crate::context::Context;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(cx: &Context<'_>) -> Page {
    let today = cx.now.date();
    let late = cx.board.iter().filter(|line| line.due.day < today).count();
    let body = html! {
        p.lede { "Stop-gaps that end, rechecks, look-backs, promises: earliest first. What is late stays until it is done." }
        @if 0 < late {
            div.caution { p { strong { (late) @if late == 1 { " is late." } @else { " are late." } } " A stop-gap past its day is not a repair." } }
        }
        section.sheet #board data-live {
            @if cx.board.is_empty() { p { "Nothing is due." } }
            ul.rows {
                @for line in cx.board {
                    li.row {
                        (due_row(&line.due, today))
                        a.plain.small href=(Route::Plan(line.job.clone())) {
                            (if line.place.is_empty() { &line.job } else { &line.place })
                            @if line.invented { " (invented)" }
                        }
                        a.plain.small href=(super::plan::settle(&line.job, &line.due)) { "Done" span.off-screen { ": " (line.due.words) } }
                    }
                }
            }
        }
        section.sheet {
            h2 { "In your calendar" }
            p { "One file with all of these days. Take it again later: a calendar replaces what it has of the same entry." }
            a.plain href="/board.ics" download { "Calendar file" }
        }
    };
    shell(cx, "Board", &Route::Board, body)
}
