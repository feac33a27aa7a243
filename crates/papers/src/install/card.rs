//! The directory card at the size of the place in the door, with a line to cut at.

use super::words::{Words, english};
use super::{InstallHead, listed, paper};
use crate::clean::clean;
use crate::number::plain;
use crate::page::{Figure, Node, Paper, heading};
use crate::svg::{Svg, attrs};
use crate::width::{fit, width};
use model::Length;
use model::proving::CardLine;

/// Size where none is on record, inches: common practice, no source.
const WIDTH_IN: f64 = 6.0;
const HEIGHT_IN: f64 = 8.0;
/// Largest that fits on a sheet, inches.
const MOST_IN: (f64, f64) = (7.0, 8.6);
/// Points to an inch.
const PT: f64 = 72.0;
/// Largest type, points, and the smallest that is easy to read.
const TYPE_PT: (f64, f64) = (12.0, 6.0);
/// Below this a line is cut instead, points.
const SMALLEST_PT: f64 = 5.0;

/// What the card is made from.
#[derive(Debug, Clone, PartialEq)]
pub struct CardPaper {
    /// Head.
    pub head: InstallHead,
    /// Width of the place in the door.
    pub width: Option<Length>,
    /// Its height.
    pub height: Option<Length>,
    /// Lines, in order of their spaces.
    pub lines: Vec<CardLine>,
}

/// The card as a paper.
pub fn directory_card(from: &CardPaper) -> Paper {
    let words = english();
    let size_in = (
        from.width.map_or(WIDTH_IN, |width| width.inches()).clamp(2.0, MOST_IN.0),
        from.height.map_or(HEIGHT_IN, |height| height.inches()).clamp(2.0, MOST_IN.1),
    );
    let (figure, type_pt) = figure(&words, from, size_in);
    let (wide, high) = (plain(size_in.0, 1), plain(size_in.1, 1));
    let values = [("width", wide.as_str()), ("height", high.as_str())];
    let name = if from.width.is_some() && from.height.is_some() { "card_size" } else { "card_assumed" };
    let said = match name {
        "card_size" => words.fill("card_size", &values),
        _ => words.fill("card_assumed", &values),
    };
    let mut body = vec![Node::Small { text: said }, Node::Figure(figure)];
    if type_pt < TYPE_PT.1 {
        let size = plain(type_pt, 1);
        body.push(Node::Small { text: words.fill("card_small", &[("size", &size)]) });
    }
    let faults: Vec<String> = from
        .lines
        .iter()
        .filter(|line| !line.faults.is_empty())
        .map(|line| format!("{} {}: {}", line.spaces, clean(&line.words), line.faults.join(" ")))
        .collect();
    body.extend(listed(words.get("card_faults"), &faults));
    if faults.is_empty() && from.lines.is_empty() {
        body.push(heading(2, words.get("nothing")));
    }
    paper(&words, &from.head, ("card_title", "card_file"), body)
}

/// Lines of the left column, odd spaces, and of the right.
fn columns(lines: &[CardLine]) -> [Vec<&CardLine>; 2] {
    let side = |odd: bool| lines.iter().filter(|line| (line.first.number % 2 == 1) == odd).collect();
    [side(true), side(false)]
}

/// Room of the spaces in front of a line.
fn lead(spaces: &str, type_pt: f64) -> f64 {
    width(spaces, type_pt * 1.1).max(type_pt * 2.6) + 4.0
}

/// The largest type up to `most` at which every line fits; a line that fits at no legible size is cut.
fn fitting(lines: &[CardLine], most: f64, room: f64) -> f64 {
    let fits = |type_pt: f64| {
        lines.iter().all(|line| {
            let words = width(&clean(&line.words), type_pt) + lead(&clean(&line.spaces), type_pt);
            words <= room
        })
    };
    let mut type_pt = most;
    while SMALLEST_PT < type_pt && !fits(type_pt) {
        type_pt -= 0.25;
    }
    type_pt.max(SMALLEST_PT.min(most))
}

fn figure(words: &Words, from: &CardPaper, size_in: (f64, f64)) -> (Figure, f64) {
    let (wide, high) = (size_in.0 * PT, size_in.1 * PT);
    let columns = columns(&from.lines);
    let rows = columns.iter().map(Vec::len).max().unwrap_or_default().max(1) as f64;
    let (top, foot, margin) = (24.0, 14.0, 8.0);
    let pitch = ((high - top - foot - margin) / rows).min(26.0);
    let room = (wide - 3.0 * margin) / 2.0;
    let type_pt = fitting(&from.lines, (pitch * 0.62).min(TYPE_PT.0), room);
    let mut svg = Svg::default();
    let view = format!("0 0 {} {}", plain(wide, 2), plain(high, 2));
    svg.open(
        "svg",
        attrs![xmlns = "http://www.w3.org/2000/svg", viewBox = view, width = wide, height = high],
    );
    svg.empty(
        "rect",
        attrs![
            x = 0.5,
            y = 0.5,
            width = wide - 1.0,
            height = high - 1.0,
            fill = "#ffffff",
            stroke = "#000000",
            "stroke-width" = 0.6,
            "stroke-dasharray" = "5 3"
        ],
    );
    let text = |svg: &mut Svg, at: (f64, f64), size: f64, bold: bool, words: &str| {
        let weight = if bold { "bold" } else { "normal" };
        svg.text(
            "text",
            attrs![
                x = at.0,
                y = at.1,
                "font-family" = "Noto Sans",
                "font-size" = size,
                "font-weight" = weight,
                fill = "#000000"
            ],
            words,
        );
    };
    text(&mut svg, (margin, 17.0), 12.0, true, words.get("card_title"));
    let mut lines = vec![words.get("card_title").to_owned()];
    for (idx, column) in columns.iter().enumerate() {
        let x = margin + idx as f64 * (room + margin);
        for (row, line) in column.iter().enumerate() {
            let y = top + row as f64 * pitch + pitch * 0.7;
            let spaces = clean(&line.spaces);
            text(&mut svg, (x, y), type_pt, true, &spaces);
            let lead = lead(&spaces, type_pt);
            let words = fit(&clean(&line.words), type_pt, room - lead);
            text(&mut svg, (x + lead, y), type_pt, false, &words);
            let under = top + (row as f64 + 1.0) * pitch;
            svg.empty(
                "line",
                attrs![
                    x1 = x,
                    y1 = under,
                    x2 = x + room,
                    y2 = under,
                    stroke = "#000000",
                    "stroke-width" = 0.3
                ],
            );
        }
    }
    for line in &from.lines {
        lines.push(format!("{:>6}  {}", clean(&line.spaces), fit(&clean(&line.words), 1.0, 60.0)));
    }
    let made = words.fill("card_made", &[("place", &clean(&from.head.place)), ("day", &from.head.day)]);
    text(&mut svg, (margin, high - 6.0), 6.5, false, &fit(&made, 6.5, wide - 2.0 * margin));
    let n = from.lines.len().to_string();
    let figure = Figure {
        svg: svg.finish(),
        alt: words.fill("card_alt", &[("n", &n)]),
        caption: String::new(),
        width_pt: wide,
        height_pt: high,
        max_height_pt: high,
        lines,
    };
    (figure, type_pt)
}
