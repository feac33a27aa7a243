//! The new panel as a drawing: rows, legs, what sits where, what is held; every space a link, every circuit with a grip.

use super::ask::Asked;
use crate::screen::bench::fit;
use maud::{Markup, html};
use study::{LaidOut, Layout, Origin};

/// Width of the drawing: that of a small phone less its margins.
const WIDTH: f64 = 328.0;
const EDGE: f64 = 4.0;
/// Between the columns: the leg of the row.
const BUS: f64 = 24.0;
/// Height of a space: a thumb's.
const ROW: f64 = 54.0;
const GAP: f64 = 4.0;
/// Width of the grip by which a circuit is dragged.
const GRIP: f64 = 34.0;

/// What a space shows.
#[derive(Clone, Default)]
struct Cell {
    /// The circuit of its block, where it can be picked up.
    from: Option<Origin>,
    /// Upper line.
    head: String,
    /// Lower line.
    words: String,
    /// Is it the uppermost space of its block?
    first: bool,
    locked: bool,
    spliced: bool,
}

pub(super) fn drawing(asked: &Asked, laid_out: &LaidOut, layout: &Layout, plan: usize) -> Markup {
    let board = &laid_out.wish.board;
    let cells = cells(laid_out, layout);
    let height = board.n_rows as f64 * ROW + 2.0 * EDGE;
    let view_box = format!("0 0 {WIDTH} {height}");
    html! {
        svg.bench-drawing.new-panel viewBox=(view_box) role="group" aria-label=(format!("New panel, {} spaces", board.n_spaces)) data-drop=(asked.dropping(plan)) {
            rect x="0.75" y="0.75" width=(WIDTH - 1.5) height=(height - 1.5) rx="5" fill="var(--wash)" stroke="var(--line)" stroke-width="1.5" {}
            @for row in 0..board.n_rows { (leg(board.leg(row), row, board.n_columns)) }
            @for number in 1..=board.n_spaces { (space(asked, &cells, board.n_columns, number, plan)) }
        }
    }
}

fn leg(leg: usize, row: usize, columns: usize) -> Markup {
    let x = if columns == 2 { WIDTH / 2.0 } else { WIDTH - EDGE - BUS / 2.0 };
    let y = EDGE + row as f64 * ROW + ROW / 2.0 + 4.0;
    html! {
        text x=(x) y=(y) font-size="13" font-weight="700" text-anchor="middle" fill="var(--ink)" {
            (["A", "B", "C"].get(leg).copied().unwrap_or("?"))
        }
    }
}

fn space(asked: &Asked, cells: &[Cell], columns: usize, number: usize, plan: usize) -> Markup {
    let cell = &cells[number - 1];
    let (row, column) = ((number - 1) / columns, (number - 1) % columns);
    let width = (WIDTH - BUS - 2.0 * EDGE) / columns as f64;
    let x = EDGE + if column == 0 { 0.0 } else { width + BUS };
    let y = EDGE + row as f64 * ROW;
    let to = number as u16;
    let in_hand = cell.from.is_some() && cell.from == asked.pick;
    let href = match (&asked.pick, &cell.from) {
        (Some(from), _) if !in_hand => asked.putting(plan, from, to),
        (Some(_), _) => asked.with_plan(plan),
        (None, Some(from)) => asked.picking(plan, from),
        (None, None) => asked.with_plan(plan),
    };
    let label = label(asked, cell, number);
    let words = fit(&cell.words, 12.5, width - if cell.first { GRIP } else { 0.0 } - 12.0);
    let flags = match (cell.locked, cell.spliced) {
        (true, true) => " locked, splice",
        (true, false) => " locked",
        (false, true) => " splice",
        (false, false) => "",
    };
    html! {
        a href=(href) data-space=(number) {
            title { (label) }
            rect.space x=(x) y=(y + GAP / 2.0) width=(width) height=(ROW - GAP) rx="3"
                fill=(if cell.head.is_empty() { "transparent" } else { "var(--sheet)" })
                stroke=(if in_hand { "var(--accent)" } else { "var(--line)" })
                stroke-width=(if in_hand { "4" } else { "1.2" })
                stroke-dasharray=[cell.from.is_none().then_some("4 4")] {}
            g aria-hidden="true" {
                text x=(x + 7.0) y=(y + 19.0) font-size="15" font-weight="700" fill="var(--ink)" { (number) }
                text x=(x + 31.0) y=(y + 19.0) font-size="12" fill="var(--soft)" { (cell.head) (flags) }
                text x=(x + 7.0) y=(y + 37.0) font-size="12.5" fill="var(--ink)" { (words) }
                @if let Some(from) = cell.from.as_ref().filter(|_| cell.first) {
                    g.grip data-from=(from) {
                        rect x=(x + width - GRIP) y=(y + GAP / 2.0) width=(GRIP) height=(ROW - GAP) fill="transparent" {}
                        @for line in 0..3 {
                            line x1=(x + width - GRIP + 9.0) x2=(x + width - 9.0) y1=(y + 21.0 + f64::from(line) * 6.0) y2=(y + 21.0 + f64::from(line) * 6.0) stroke="var(--soft)" stroke-width="2" {}
                        }
                    }
                }
            }
        }
    }
}

/// What a screen reader says of a space.
fn label(asked: &Asked, cell: &Cell, number: usize) -> String {
    let what =
        if cell.head.is_empty() { "free".to_owned() } else { format!("{}, {}", cell.head, cell.words) };
    let locked = if cell.locked { ", decided by hand" } else { "" };
    let spliced = if cell.spliced { ", spliced" } else { "" };
    let does = match (&asked.pick, &cell.from) {
        (Some(from), _) => format!(": put {} here", from.words()),
        (None, Some(_)) => ": pick it up".to_owned(),
        (None, None) => String::new(),
    };
    format!("Space {number}, {what}{spliced}{locked}{does}")
}

fn cells(laid_out: &LaidOut, layout: &Layout) -> Vec<Cell> {
    let board = &laid_out.wish.board;
    let mut cells = vec![Cell::default(); board.n_spaces];
    let free = |words: &str| Cell { head: "held".to_owned(), words: words.to_owned(), ..Cell::default() };
    for &space in &laid_out.wish.reserved {
        if let Some(cell) = cells.get_mut(space - 1) {
            *cell = free("kept free");
        }
    }
    for &spare in &layout.spares {
        for space in [spare, spare + board.n_columns] {
            if let Some(cell) = cells.get_mut(space - 1) {
                *cell = free("two poles, spare");
            }
        }
    }
    for held in &laid_out.held {
        for space in &held.spaces {
            if let Some(cell) = cells.get_mut(usize::from(space.number) - 1) {
                *cell = free(super::reasons::held_words(held.held_for));
            }
        }
    }
    for (it, seat) in layout.seats.iter().enumerate() {
        let top = seat.spaces.iter().min().copied().unwrap_or(1);
        let (old, _) = &laid_out.circuits[it];
        let mut pole = 0;
        for member in &laid_out.members[it] {
            for k in 0..member.n_poles {
                let Some(&space) = seat.spaces.get(pole) else { continue };
                let was = old.get(pole).map_or("new".to_owned(), |old| format!("was {old}"));
                if let Some(cell) = cells.get_mut(space - 1) {
                    if 0 < pole && seat.spaces[..pole].contains(&space) {
                        // Two half-width breakers in one space.
                        cell.head = format!("{}, {}", cell.head, was.trim_start_matches("was "));
                        cell.words = format!("½ {} · ½ {}", cell.words, member.words);
                        cell.spliced |= seat.spliced.get(pole).copied().unwrap_or(false);
                        pole += 1;
                        continue;
                    }
                    *cell = Cell {
                        from: laid_out.origin(it),
                        head: was,
                        words: if k == 0 { member.words.clone() } else { "second pole".to_owned() },
                        first: space == top,
                        locked: laid_out.wish.blocks[it].locked.is_some(),
                        spliced: seat.spliced.get(pole).copied().unwrap_or(false),
                    };
                }
                pole += 1;
            }
        }
    }
    cells
}
