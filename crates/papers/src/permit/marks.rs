//! How far the values of a sheet were checked, counted from the sources of its workings.

use super::words::Words;
use crate::page::{Item, Node, heading, list, paragraph};
use model::working::Working;
use model::{Cite, Standing};
use std::collections::BTreeSet;

/// How far one source was checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Checked {
    Published,
    Carried,
    Memory,
    Confirmed,
    Derived,
}

/// The mark of a citation.
pub(super) fn checked(cite: &Cite) -> Checked {
    match cite.standing {
        Standing::FromMemory | Standing::CommonPractice | Standing::Judgement => Checked::Memory,
        Standing::Derived => Checked::Derived,
        Standing::Published if cite.place.contains("confirmed by") => Checked::Confirmed,
        Standing::Published if cite.place.contains(", line of ") => Checked::Carried,
        Standing::Published => Checked::Published,
    }
}

/// The mark of a citation that stands as text behind an input.
fn of_text(from: &str) -> Option<Checked> {
    if from.ends_with("(value from memory)") || from.ends_with("(common practice, no source)") {
        return Some(Checked::Memory);
    }
    let published = from.ends_with("(published)");
    match (published, from.contains("confirmed by"), from.contains(", line of ")) {
        (true, true, _) => Some(Checked::Confirmed),
        (true, false, true) => Some(Checked::Carried),
        (true, false, false) => Some(Checked::Published),
        (false, ..) => None,
    }
}

/// Every source of these workings, each place once, counted by how far it was checked; those from memory by name.
pub(super) fn section<'a>(words: &Words, workings: impl Iterator<Item = &'a Working>) -> Vec<Node> {
    let mut seen: BTreeSet<(Checked, String)> = BTreeSet::new();
    for working in workings {
        seen.insert((checked(&working.cite), working.cite.to_string()));
        for input in &working.inputs {
            if let Some(mark) = of_text(&input.from) {
                seen.insert((mark, input.from.clone()));
            }
        }
    }
    let count = |mark: Checked| seen.iter().filter(|(one, _)| *one == mark).count().to_string();
    let rows = [
        (Checked::Published, "published"),
        (Checked::Carried, "carried"),
        (Checked::Memory, "memory"),
        (Checked::Confirmed, "confirmed"),
        (Checked::Derived, "derived"),
    ];
    let items = rows.map(|(mark, name)| Item::plain(words.fill(name, &[("n", &count(mark))])));
    let memory: Vec<&str> =
        seen.iter().filter(|(mark, _)| *mark == Checked::Memory).map(|(_, text)| text.as_str()).collect();
    let mut nodes = vec![
        heading(2, words.get("marks")),
        paragraph(words.get("marks_intro")),
        list(items.into_iter().collect()),
    ];
    if !memory.is_empty() {
        nodes.push(Node::Small { text: words.fill("memory_list", &[("list", &memory.join("; "))]) });
    }
    nodes
}
