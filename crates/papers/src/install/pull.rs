//! The pull list: one large-print line a circuit, for bad light and an arm's length.

use super::words::{Words, english};
use super::{InstallHead, listed, paper};
use crate::clean::clean;
use crate::page::{Item, Node, Paper, Table, heading, paragraph};

/// Large print, points.
const LARGE_PT: f64 = 17.0;

/// A conductor to be pulled over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PullLine {
    /// Space in the old panel.
    pub old: String,
    /// Number on its tag; empty where it has none.
    pub number: String,
    /// Colour of the conductor; empty where it is not on record.
    pub colour: String,
    /// Free length; empty where it was not measured.
    pub length: String,
    /// Space in the new panel; empty where none is chosen.
    pub new: String,
    /// Leg there.
    pub leg: String,
    /// Does it need a splice? `None` where that is not known.
    pub splice: Option<bool>,
}

/// The list as a paper.
pub fn pull_list(head: &InstallHead, lines: &[PullLine], notes: &[String]) -> Paper {
    let words = english();
    let mut table = Table::new(&[
        (words.get("pull_old"), 1.0),
        (words.get("pull_number"), 0.9),
        (words.get("pull_colour"), 1.5),
        (words.get("pull_length"), 1.2),
        (words.get("pull_new"), 1.0),
        (words.get("pull_leg"), 0.7),
        (words.get("pull_splice"), 1.2),
    ]);
    table.small = false;
    let or = |text: &str, other: &str| {
        let text = clean(text);
        if text.is_empty() { words.get(other).to_owned() } else { text }
    };
    for line in lines {
        let splice = match line.splice {
            None => words.get("unknown"),
            Some(true) => words.get("packet_yes"),
            Some(false) => "–",
        };
        table.items([
            Item::led(clean(&line.old), ""),
            Item::plain(or(&line.number, "blank")),
            Item::plain(or(&line.colour, "blank")),
            Item::plain(or(&line.length, "unknown")),
            Item::led(or(&line.new, "blank"), ""),
            Item::led(or(&line.leg, "unknown"), ""),
            Item::plain(splice),
        ]);
    }
    let mut body =
        vec![heading(1, words.get("pull_title")), Node::Small { text: words.get("pull_intro").to_owned() }];
    body.push(table.node().unwrap_or_else(|| paragraph(words.get("nothing"))));
    let small = |text: &String| Node::Small { text: clean(text) };
    if !notes.is_empty() {
        body.push(heading(2, words.get("notes")));
        body.extend(notes.iter().map(small));
    }
    // In one run, so that they stay on the sheet with the lines.
    let cautions: Vec<String> = head.cautions.iter().map(|text| clean(text)).collect();
    body.push(Node::Small { text: cautions.join(" ") });
    Paper { text_size_pt: LARGE_PT, ..paper(&words, head, ("pull_title", "pull_file"), body) }
}

/// Notes as a list under their heading, for the other papers.
pub(super) fn notes(words: &Words, notes: &[String]) -> Vec<Node> {
    listed(words.get("notes"), notes)
}
