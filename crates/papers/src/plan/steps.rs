//! A panel at one step of an isolation: each part with a square and a word, hatched where it is live. Nothing is told by
//! colour.

use super::words::Book;
use crate::clean::clean;
use crate::page::Figure;
use crate::phrases::fill;
use crate::svg::{Svg, attrs};
use crate::width;
use model::Slot;
use model::isolation::Part;
use model::job::Job;
use model::panel::Panel;

/// What is said of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepState {
    /// Live by the record.
    Live,
    /// Should be cut off by the record; counts as live until it is proven dead.
    CutOff,
    /// Proven dead on record.
    ProvenDead,
}

/// Width of the drawing; rows and squares in the same unit.
const WIDTH: f64 = 360.0;
const ROW: f64 = 22.0;
const SQUARE: f64 = 14.0;
const EDGE: f64 = 6.0;
const TEXT: f64 = 11.0;

/// One line of the drawing: part, column (none for the whole width), words.
struct Cell {
    state: StepState,
    x: f64,
    y: f64,
    width: f64,
    words: String,
}

/// The panel with the state of each of its parts, as SVG; the ink is that of the text around it.
pub fn step_svg(job: &Job, panel: &Panel, parts: &[(Part, StepState)]) -> String {
    drawn(job, panel, parts).svg
}

/// The same as a figure of a paper.
pub(super) fn drawn(job: &Job, panel: &Panel, parts: &[(Part, StepState)]) -> Figure {
    let book = Book::new();
    let (cells, height) = cells(job, panel, parts, &book);
    let of = |state| cells.iter().filter(|cell| cell.state == state).count();
    let (live, cut) = (of(StepState::Live).to_string(), of(StepState::CutOff).to_string());
    let name = clean(panel.id.as_str());
    let alt = fill(book.crew().get("alt"), &[("panel", &name), ("live", &live), ("cut", &cut)]);
    let mut svg = Svg::default();
    let view = format!("0 0 {WIDTH} {height}");
    svg.open(
        "svg",
        attrs![
            xmlns = "http://www.w3.org/2000/svg",
            viewBox = view,
            width = WIDTH,
            height = height,
            role = "img",
            "aria-label" = alt.clone(),
            fill = "currentColor",
            stroke = "none",
            "font-size" = TEXT,
            "font-family" = "Noto Sans, sans-serif"
        ],
    );
    svg.empty(
        "rect",
        attrs![
            x = 0.5,
            y = 0.5,
            width = WIDTH - 1.0,
            height = height - 1.0,
            fill = "none",
            stroke = "currentColor"
        ],
    );
    for cell in &cells {
        square(&mut svg, cell);
        let room = cell.width - SQUARE - 3.0 * EDGE;
        // A browser sets it in a font of its own, and what is live in bold: both are wider than what is measured here.
        let words = width::fit(&cell.words, TEXT, 0.78 * room);
        let weight = if cell.state == StepState::Live { "700" } else { "400" };
        svg.text(
            "text",
            attrs![
                x = cell.x + SQUARE + 2.0 * EDGE,
                y = cell.y + 0.5 * ROW + 0.36 * TEXT,
                "font-weight" = weight
            ],
            &words,
        );
    }
    let lines = cells.iter().map(|cell| format!("{} {}", in_text(cell.state), cell.words)).collect();
    Figure {
        svg: svg.finish(),
        alt,
        caption: String::new(),
        width_pt: WIDTH,
        height_pt: height,
        max_height_pt: 330.0,
        lines,
    }
}

const fn in_text(state: StepState) -> &'static str {
    match state {
        StepState::Live => "[#]",
        StepState::CutOff => "[ ]",
        StepState::ProvenDead => "[v]",
    }
}

/// Hatched, blank with a broken edge, or ticked.
fn square(svg: &mut Svg, cell: &Cell) {
    let (x, y) = (cell.x + EDGE, cell.y + 0.5 * (ROW - SQUARE));
    let dash = if cell.state == StepState::CutOff { "3 2" } else { "none" };
    svg.empty(
        "rect",
        attrs![
            x = x,
            y = y,
            width = SQUARE,
            height = SQUARE,
            fill = "none",
            stroke = "currentColor",
            "stroke-width" = 1.2,
            "stroke-dasharray" = dash
        ],
    );
    let path = match cell.state {
        StepState::CutOff => return,
        StepState::ProvenDead => format!(
            "M{} {}l{} {}l{} {}",
            x + 3.0,
            y + 0.5 * SQUARE,
            3.0,
            0.25 * SQUARE,
            0.35 * SQUARE,
            -0.5 * SQUARE
        ),
        StepState::Live => {
            let mut path = String::new();
            // Lines from the lower left to the upper right, each cut at the edge.
            for step in 1..8 {
                let reach = 3.5 * f64::from(step);
                let (from, to) = ((reach - SQUARE).max(0.0), reach.min(SQUARE));
                if from < to {
                    path.push_str(&format!("M{:.2} {:.2}L{:.2} {:.2}", x + from, y + to, x + to, y + from));
                }
            }
            path
        }
    };
    svg.empty("path", attrs![d = path, fill = "none", stroke = "currentColor", "stroke-width" = 1.2]);
}

/// Line lugs, then each section: its bus, then its breakers in two columns.
fn cells(job: &Job, panel: &Panel, parts: &[(Part, StepState)], book: &Book) -> (Vec<Cell>, f64) {
    let w = book.crew();
    let mut cells = Vec::new();
    let mut y = EDGE;
    let word = |state| match state {
        StepState::Live => format!("{} ", w.get("live_word")),
        StepState::CutOff => format!("{} ", w.get("cut_word")),
        StepState::ProvenDead => format!("{} ", w.get("dead_word")),
    };
    let state_of = |part: &Part| parts.iter().find(|(one, _)| one == part).map(|(_, state)| *state);
    let wide = |cells: &mut Vec<Cell>, y: &mut f64, state, words: String| {
        cells.push(Cell { state, x: 0.0, y: *y, width: WIDTH, words: format!("{}{words}", word(state)) });
        *y += ROW;
    };
    if let Some(state) = state_of(&Part::LineLugs(panel.id.clone())) {
        wide(&mut cells, &mut y, state, w.get("lugs_word").to_owned());
    }
    for section in &panel.sections {
        if let Some(state) = state_of(&Part::Bus(panel.id.clone(), section.id.clone())) {
            let words = fill(w.get("bus_word"), &[("section", &clean(section.id.as_str()))]);
            wide(&mut cells, &mut y, state, words);
        }
        let mut columns = [y, y];
        for breaker in &panel.breakers {
            let Some(&space) = breaker.spaces.first() else { continue };
            let here = panel.section_of(space).is_some_and(|one| one.id == section.id);
            let slot = Slot::new(panel.id.clone(), space);
            let Some(state) = state_of(&Part::Branch(slot.clone())).filter(|_| here) else { continue };
            let (spaces, feeds) = super::owner::breaker(job, &slot);
            let right = usize::from(space.number % 2 == 0 && 1 < panel.n_columns);
            let (x, width) =
                if 1 < panel.n_columns { (right as f64 * 0.5 * WIDTH, 0.5 * WIDTH) } else { (0.0, WIDTH) };
            let words = format!("{}{spaces} {feeds}", word(state)).trim_end().to_owned();
            cells.push(Cell { state, x, y: columns[right], width, words });
            columns[right] += ROW;
        }
        y = columns[0].max(columns[1]) + EDGE;
    }
    (cells, y)
}
