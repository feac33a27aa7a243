//! A text as a QR code, drawn of squares.

use crate::page::Figure;
use crate::svg::{Svg, attrs};
use qrcode::{Color, EcLevel, QrCode};

/// Light squares around the code, as the standard asks.
const QUIET: usize = 4;

/// The code of a text; nothing where the text is too long for one.
pub(super) fn code(text: &str, side_pt: f64, alt: &str) -> Option<Figure> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    let width = code.width();
    let side = (width + 2 * QUIET) as f64;
    let mut svg = Svg::default();
    let view = format!("0 0 {side} {side}");
    svg.open(
        "svg",
        attrs![xmlns = "http://www.w3.org/2000/svg", viewBox = view, width = side_pt, height = side_pt],
    );
    svg.empty("rect", attrs![width = side, height = side, fill = "#ffffff"]);
    let mut path = String::new();
    for (idx, colour) in code.to_colors().iter().enumerate() {
        if *colour == Color::Dark {
            let (x, y) = (idx % width + QUIET, idx / width + QUIET);
            path.push_str(&format!("M{x} {y}h1v1h-1z"));
        }
    }
    svg.empty("path", attrs![d = path, fill = "#000000", "shape-rendering" = "crispEdges"]);
    Some(Figure {
        svg: svg.finish(),
        alt: alt.to_owned(),
        caption: String::new(),
        width_pt: side_pt,
        height_pt: side_pt,
        max_height_pt: side_pt,
        lines: vec![text.to_owned()],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_text_becomes_a_drawing_and_a_long_one_nothing() {
        let figure = code("http://192.168.7.20:7117/jobs/Q-0117", 90.0, "code").expect("it fits");
        assert!(figure.svg.starts_with("<svg") && figure.svg.contains("<path"), "{}", figure.svg);
        assert!(code(&"x".repeat(5_000), 90.0, "code").is_none());
    }
}
