//! Marks of a joint's condition. Each has its own shape and pattern; colour only adds to them.

use super::{INK, LINE, PAPER};
use crate::mark::Mark;
use crate::svg::{Svg, attrs};

/// Ink and paper of a mark.
pub(super) const fn inks(mark: Mark) -> (&'static str, &'static str) {
    match mark {
        Mark::Burnt => ("#6e1a12", "#f6e3dd"),
        Mark::Worn => ("#6b4e0c", "#f7efd9"),
        Mark::Sound => ("#2c5a4a", PAPER),
        Mark::Unknown => ("#565d63", PAPER),
    }
}

/// Patterns for strips at the end of a breaker: cross-hatch for burnt, single hatch for worn. The same in
/// every drawing, so that several drawings on one page may share the names.
pub(super) fn patterns(svg: &mut Svg) {
    svg.open("defs", attrs![]);
    for (id, mark, cross) in [("joint-burnt", Mark::Burnt, true), ("joint-worn", Mark::Worn, false)] {
        let (ink, paper) = inks(mark);
        svg.open("pattern", attrs![id = id, width = 3.0, height = 3.0, patternUnits = "userSpaceOnUse"]);
        svg.empty("rect", attrs![width = 3.0, height = 3.0, fill = paper]);
        svg.empty("path", attrs![d = "M0 3L3 0", stroke = ink, "stroke-width" = 0.6]);
        if cross {
            svg.empty("path", attrs![d = "M0 0L3 3", stroke = ink, "stroke-width" = 0.6]);
        }
        svg.close();
    }
    svg.close();
}

/// A mark around a point; `half` is half its size.
pub(super) fn draw(svg: &mut Svg, mark: Mark, x: f64, y: f64, half: f64) {
    let (ink, paper) = inks(mark);
    match mark {
        Mark::Burnt => {
            let (left, top, side) = (x - half, y - half, 2.0 * half);
            svg.empty(
                "rect",
                attrs![
                    x = left,
                    y = top,
                    width = side,
                    height = side,
                    fill = paper,
                    stroke = ink,
                    "stroke-width" = 1.5
                ],
            );
            let inner = half - 0.7;
            let cross = format!(
                "M{} {}L{} {}M{} {}L{} {}",
                n(x - inner),
                n(y - inner),
                n(x + inner),
                n(y + inner),
                n(x - inner),
                n(y + inner),
                n(x + inner),
                n(y - inner)
            );
            svg.empty("path", attrs![d = cross, stroke = ink, "stroke-width" = 1.3, fill = "none"]);
            let hatch = format!(
                "M{} {}L{} {}M{} {}L{} {}M{} {}L{} {}M{} {}L{} {}",
                n(x - inner),
                n(y),
                n(x),
                n(y - inner),
                n(x),
                n(y + inner),
                n(x + inner),
                n(y),
                n(x - inner),
                n(y),
                n(x),
                n(y + inner),
                n(x),
                n(y - inner),
                n(x + inner),
                n(y)
            );
            svg.empty("path", attrs![d = hatch, stroke = ink, "stroke-width" = 0.6, fill = "none"]);
        }
        Mark::Worn => {
            let outline = format!(
                "M{} {}L{} {}L{} {}Z",
                n(x),
                n(y - half),
                n(x + half * 1.1),
                n(y + half * 0.9),
                n(x - half * 1.1),
                n(y + half * 0.9)
            );
            svg.empty("path", attrs![d = outline, fill = paper, stroke = ink, "stroke-width" = 1.2]);
            let hatch = format!(
                "M{} {}L{} {}M{} {}L{} {}",
                n(x - half * 0.55),
                n(y + half * 0.9),
                n(x + half * 0.25),
                n(y - half * 0.5),
                n(x + half * 0.15),
                n(y + half * 0.9),
                n(x + half * 0.55),
                n(y + half * 0.15)
            );
            svg.empty("path", attrs![d = hatch, stroke = ink, "stroke-width" = 0.7, fill = "none"]);
        }
        Mark::Sound => svg.empty(
            "circle",
            attrs![cx = x, cy = y, r = half * 0.75, fill = paper, stroke = ink, "stroke-width" = 0.9],
        ),
        Mark::Unknown => {
            svg.empty(
                "circle",
                attrs![
                    cx = x,
                    cy = y,
                    r = half * 0.85,
                    fill = paper,
                    stroke = LINE,
                    "stroke-width" = 0.7,
                    "stroke-dasharray" = "1.4 1.1"
                ],
            );
            svg.text(
                "text",
                attrs![
                    x = x,
                    y = y + half * 0.5,
                    "font-size" = half * 1.4,
                    "text-anchor" = "middle",
                    fill = ink
                ],
                "?",
            );
        }
    }
}

/// Number of a finding: white on black.
pub(super) fn number(svg: &mut Svg, number: usize, x: f64, y: f64, half: f64) {
    svg.empty("circle", attrs![cx = x, cy = y, r = half, fill = INK]);
    let size = if number < 10 { half * 1.55 } else { half * 1.2 };
    svg.text(
        "text",
        attrs![
            x = x,
            y = y + size * 0.36,
            "font-size" = size,
            "font-weight" = "700",
            "text-anchor" = "middle",
            fill = PAPER
        ],
        &number.to_string(),
    );
}

fn n(value: f64) -> String {
    crate::number::plain(value, 2)
}
