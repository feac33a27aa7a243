//! The board: what is due in all jobs, earliest first.

use super::leaf::{Leaf, by_urgency};
use super::plan::due_row;
use crate::context::Context;
use crate::fields::Fields;
use crate::route::Route;
use crate::shell::{Page, shell};
use crate::urgency::urgency_words;
use maud::html;
use study::BoardLine;
use study::shop::urgency_band;

/// Everything that is due and at hand.
pub(crate) fn page(query: &Fields, cx: &Context<'_>) -> Page {
    let n_late = cx.board.iter().filter(|line| line.due.day < cx.now.date()).count();
    let leaf = Leaf { n_late, by_urgency: by_urgency(query), ..Leaf::default() };
    let mut board: Vec<BoardLine> = cx.board.to_vec();
    if leaf.by_urgency {
        // Those of the same urgency stay in their order, by day.
        board.sort_by_key(|line| urgency_band(line.urgency));
    }
    board_page(&leaf, &Context { board: &board, ..*cx })
}

/// One page of the board.
pub fn board_page(leaf: &Leaf, cx: &Context<'_>) -> Page {
    let (today, late) = (cx.now.date(), leaf.n_late);
    let body = html! {
        p.lede { "Stop-gaps that end, rechecks, look-backs, promises. What is late stays until it is done." }
        (leaf.orders(&Route::Board, "Earliest first"))
        @if leaf.by_urgency {
            p.quiet { "By the last judgement of the job, then by day. A job that is not judged may be urgent: it stands before those "
                "that have time. A later line may be late." }
        }
        (leaf.lacking("What is due in them is not here yet: the board is not whole."))
        @if 0 < late {
            div.caution { p { strong { (late) @if late == 1 { " is late." } @else { " are late." } } " A stop-gap past its day is not a repair." } }
        }
        section.sheet #board data-live {
            @if cx.board.is_empty() { p { @if leaf.is_later { "Nothing further." } @else { "Nothing is due." } } }
            ul.rows {
                @for line in cx.board {
                    li.row {
                        (due_row(&line.due, today))
                        a.plain.small href=(Route::Plan(line.job.clone())) {
                            (if line.place.is_empty() { &line.job } else { &line.place })
                            @if line.invented { " (invented)" }
                        }
                        @match line.urgency {
                            Some(urgency) => (urgency_words(urgency)),
                            None => span.quiet { "job not judged" },
                        }
                        a.plain.small href=(super::plan::settle(&line.job, &line.due)) { "Done" span.off-screen { ": " (line.due.words) } }
                    }
                }
            }
        }
        (leaf.turn(&Route::Board))
        section.sheet {
            h2 { "In your calendar" }
            p { "One file with all of these days. Take it again later: a calendar replaces what it has of the same entry." }
            a.plain href="/board.ics" download { "Calendar file" }
        }
    };
    shell(cx, "Board", &Route::Board, body)
}
