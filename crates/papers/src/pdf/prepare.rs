//! Makes a page tree ready for the typesetter: characters that no font has are written out, words wider than
//! their column get places to break, drawings are scaled into their room.

use super::Fonts;
use crate::page::{Figure, Item, Node, Paper, Table};
use crate::width::width;
use std::collections::BTreeMap;

/// Invisible: a line may break here.
const BREAK: char = '\u{200B}';

/// A space at which no line may break, before these units.
const NO_BREAK: char = '\u{A0}';
const UNITS: [&str; 13] = ["°C", "°F", "A", "V", "W", "K", "h", "mV", "mΩ", "Ω", "kVA", "dB", "min"];

/// The paper as the template wants it.
pub(super) fn ready(paper: &Paper, fonts: &Fonts) -> Paper {
    let mut work = Work { fonts, known: BTreeMap::new(), size: paper.text_size_pt };
    let mut ready = paper.clone();
    for line in [&mut ready.title, &mut ready.head, &mut ready.foot, &mut ready.page_of] {
        *line = work.covered(line);
    }
    if let Some(mark) = &mut ready.invented {
        *mark = work.covered(mark);
    }
    work.nodes(&mut ready.body, paper.sheet.text_width_pt());
    ready
}

struct Work<'a> {
    fonts: &'a Fonts,
    known: BTreeMap<char, bool>,
    size: f64,
}

impl Work<'_> {
    /// Writes out characters that no font has, for example `(U+1F525)`.
    fn covered(&mut self, text: &str) -> String {
        self.replaced(text, |mark| format!("(U+{:04X})", u32::from(mark)))
    }

    fn replaced(&mut self, text: &str, instead: impl Fn(char) -> String) -> String {
        if text.is_ascii() {
            return text.to_owned();
        }
        let mut out = String::with_capacity(text.len());
        for mark in text.chars() {
            let fonts = self.fonts;
            if *self.known.entry(mark).or_insert_with(|| mark.is_ascii() || fonts.covers(mark)) {
                out.push(mark);
            } else {
                out.push_str(&instead(mark));
            }
        }
        out
    }

    fn text(&mut self, text: &mut String, room: f64, scale: f64) {
        *text = breakable(&self.covered(text), self.size * scale, room);
    }

    fn item(&mut self, item: &mut Item, room: f64, scale: f64) {
        self.text(&mut item.lead, room, scale * 1.08);
        self.text(&mut item.text, room, scale);
    }

    fn nodes(&mut self, nodes: &mut [Node], room: f64) {
        for node in nodes {
            self.node(node, room);
        }
    }

    fn node(&mut self, node: &mut Node, room: f64) {
        match node {
            Node::Heading { level, text } => {
                let scale = if *level == 1 { 1.9 } else { 1.25 };
                self.text(text, room, scale);
            }
            Node::Paragraph(item) => self.item(item, room, 1.0),
            Node::List { items, .. } => items.iter_mut().for_each(|item| self.item(item, room - 12.0, 1.0)),
            Node::Table(table) => self.table(table, room),
            Node::Pairs { rows } => {
                for (name, value) in rows {
                    self.text(name, room * 0.27, 0.92);
                    self.text(value, room * 0.73 - 10.0, 0.92);
                }
            }
            Node::Figure(figure) => self.figure(figure, room),
            Node::Callout { title, texts, .. } => {
                self.text(title, room - 20.0, 1.15);
                texts.iter_mut().for_each(|item| self.item(item, room - 20.0, 1.0));
            }
            Node::Columns { left, right, left_pt, gap_pt } => {
                let (left_pt, right_pt) = (*left_pt, room - *left_pt - *gap_pt);
                self.nodes(left, left_pt);
                self.nodes(right, right_pt);
            }
            Node::Small { text } => self.text(text, room, 0.84),
            Node::Together { nodes } => self.nodes(nodes, room),
            Node::PageBreak => {}
        }
    }

    fn table(&mut self, table: &mut Table, room: f64) {
        let total: f64 = table.columns.iter().map(|column| column.share).sum();
        let scale = if table.small { 0.84 } else { 0.94 };
        let rooms: Vec<f64> =
            table.columns.iter().map(|column| room * column.share / total.max(1e-9) - 6.5).collect();
        for (column, &room) in table.columns.iter_mut().zip(&rooms) {
            self.text(&mut column.title, room, scale * 1.08);
        }
        for row in &mut table.rows {
            for (cell, &room) in row.iter_mut().zip(&rooms) {
                self.item(cell, room, scale);
            }
        }
    }

    fn figure(&mut self, figure: &mut Figure, room: f64) {
        let high = figure.max_height_pt / figure.height_pt.max(1.0);
        let wide = room / figure.width_pt.max(1.0);
        figure.width_pt *= high.min(wide).min(1.0);
        // in a drawing there is no room to write a character out
        figure.svg = self.replaced(&figure.svg, |_| "□".to_owned());
        figure.alt = self.covered(&figure.alt);
        self.text(&mut figure.caption, room, 0.82);
        figure.lines.clear();
    }
}

/// Adds places to break to words that are wider than the room.
fn breakable(text: &str, size: f64, room: f64) -> String {
    use unicode_segmentation::UnicodeSegmentation;
    let mut out = String::with_capacity(text.len());
    let is_digit = |mark: char| mark.is_ascii_digit();
    let (mut after_digit, mut after_in) = (false, false);
    for (idx, word) in text.split(' ').enumerate() {
        if 0 < idx {
            let unit = word.trim_end_matches(['.', ',', ';', ')', ':']);
            let odds = (after_digit && word == "in") || (after_in && word.starts_with(is_digit));
            out.push(if odds || after_digit && UNITS.contains(&unit) { NO_BREAK } else { ' ' });
            after_in = odds && word == "in";
        }
        after_digit = word.ends_with(is_digit);
        if width(word, size) <= room {
            out.push_str(word);
            continue;
        }
        for piece in word.graphemes(true) {
            out.push_str(piece);
            out.push(BREAK);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_words_that_do_not_fit_get_breaks() {
        assert_eq!(breakable("a dryer in the laundry", 10.0, 60.0), "a dryer in the laundry");
        let broken = breakable(&format!("see {}", "x".repeat(40)), 10.0, 60.0);
        assert!(broken.starts_with("see x\u{200B}x"));
        assert_eq!(broken.replace(BREAK, ""), format!("see {}", "x".repeat(40)));
    }

    #[test]
    fn characters_without_a_glyph_are_written_out() {
        let fonts = Fonts::embedded();
        let mut work = Work { fonts: &fonts, known: BTreeMap::new(), size: 10.0 };
        assert_eq!(work.covered("25 °C é Ω"), "25 °C é Ω");
        assert_eq!(work.covered("\u{10FFFD}\u{1F9FF}x"), "(U+10FFFD)(U+1F9FF)x");
    }
}
