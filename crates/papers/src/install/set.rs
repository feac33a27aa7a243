//! The permit set: scope, load calculation and one-line diagram as they stand by themselves, the schedule from old to
//! new, grounding and bonding, fault current, notes with citations. One file; its headings are its bookmarks.

use super::words::{Words, english};
use super::{InstallHead, cautions, head, listed, paper};
use crate::clean::{capital, clean};
use crate::page::{Item, Node, Paper, Table, file_name, heading, list, paragraph};

/// A line of the schedule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScheduleLine {
    /// Spaces in the old panel; empty for a new circuit.
    pub old: String,
    /// Spaces in the new panel.
    pub new: String,
    /// Legs there.
    pub legs: String,
    /// Rating, poles and protection.
    pub breaker: String,
    /// Conductor.
    pub wire: String,
    /// What it feeds.
    pub feeds: String,
}

/// A size or an answer with its citation, or the refusal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetRow {
    /// What.
    pub what: String,
    /// Size or answer, or why there is none.
    pub answer: Result<String, String>,
    /// Where it comes from.
    pub cite: String,
}

/// What the set is made from.
#[derive(Debug, Clone, PartialEq)]
pub struct PermitSet {
    /// Head.
    pub head: InstallHead,
    /// What is to be done, line by line.
    pub scope: Vec<String>,
    /// Name and body of papers that are taken in whole: load calculation, one-line diagram.
    pub papers: Vec<Paper>,
    /// The schedule.
    pub schedule: Vec<ScheduleLine>,
    /// Remarks on the schedule.
    pub schedule_notes: Vec<String>,
    /// Grounding and bonding.
    pub grounding: Vec<SetRow>,
    /// Fault current.
    pub fault: Vec<SetRow>,
    /// What the code asks, with its citations.
    pub notes: Vec<SetRow>,
}

/// Name of the file of the set, without extension.
pub fn permit_set_name(job: &str) -> String {
    file_name(&[english().get("set_file"), job])
}

/// The set as one paper.
pub fn permit_set(set: &PermitSet) -> Paper {
    let words = english();
    let mut body = vec![heading(1, words.get("set_title")), head(&words, &set.head)];
    let contents: Vec<String> = std::iter::once(words.get("set_scope"))
        .chain(set.papers.iter().map(|paper| paper.title.as_str()))
        .chain(["set_schedule", "set_grounding", "set_fault", "set_notes"].map(|name| words.get(name)))
        .enumerate()
        .map(|(idx, title)| format!("{}. {title}", idx + 1))
        .collect();
    body.extend(listed(words.get("set_contents"), &contents));
    body.extend(listed(words.get("set_scope"), &set.scope));
    let refused: Vec<String> = set
        .grounding
        .iter()
        .chain(&set.fault)
        .chain(&set.notes)
        .filter_map(|row| row.answer.as_ref().err().map(|why| format!("{}: {why}", capital(&row.what))))
        .collect();
    if !refused.is_empty() {
        body.push(Node::Callout {
            title: words.get("set_refused_intro").to_owned(),
            texts: refused.iter().map(|text| Item::plain(clean(text))).collect(),
            strong: true,
        });
    }
    body.push(cautions(&words, &set.head));
    body.push(paragraph(words.get("set_signature")));
    // The cover stands alone; what follows flows, so that no page is left nearly empty where a part ends.
    body.push(Node::PageBreak);
    for one in &set.papers {
        body.extend(kept_with_drawing(&one.body));
    }
    body.extend(schedule(&words, set));
    for (title, rows) in
        [("set_grounding", &set.grounding), ("set_fault", &set.fault), ("set_notes", &set.notes)]
    {
        body.push(heading(1, words.get(title)));
        body.push(table(&words, rows));
    }
    paper(&words, &set.head, ("set_title", "set_file"), body)
}

/// The body of a paper whose drawing stays on one page with what stands above it. A heading keeps to what follows it.
fn kept_with_drawing(body: &[Node]) -> Vec<Node> {
    let Some(drawing) = body.iter().position(|node| matches!(node, Node::Figure(_))) else {
        return body.to_vec();
    };
    let title = usize::from(matches!(body.first(), Some(Node::Heading { .. })));
    let mut nodes = body[..title].to_vec();
    nodes.push(Node::Together { nodes: body[title..=drawing].to_vec() });
    nodes.extend(body[drawing + 1..].iter().cloned());
    nodes
}

fn schedule(words: &Words, set: &PermitSet) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("set_old"), 0.8),
        (words.get("set_new"), 0.8),
        (words.get("order_legs"), 0.6),
        (words.get("set_rating"), 2.0),
        (words.get("packet_wire"), 1.4),
        (words.get("order_feeds"), 3.8),
    ]);
    for line in &set.schedule {
        table.items([
            Item::plain(clean(&line.old)),
            Item::led(clean(&line.new), ""),
            Item::plain(clean(&line.legs)),
            Item::plain(clean(&line.breaker)),
            Item::plain(clean(&line.wire)),
            Item::plain(clean(&line.feeds)),
        ]);
    }
    let none = || paragraph(words.get("set_no_schedule"));
    let mut nodes = vec![heading(1, words.get("set_schedule")), table.node().unwrap_or_else(none)];
    if !set.schedule_notes.is_empty() {
        nodes.push(list(set.schedule_notes.iter().map(|text| Item::plain(clean(text))).collect()));
    }
    nodes
}

fn table(words: &Words, rows: &[SetRow]) -> Node {
    let mut table =
        Table::new(&[(words.get("set_what"), 3.0), (words.get("set_size"), 3.6), (words.get("source"), 2.6)]);
    for row in rows {
        let answer = match &row.answer {
            Ok(answer) => Item::plain(clean(answer)),
            Err(why) => Item::led(format!("{}:", words.get("set_refused")), clean(why)),
        };
        table.items([Item::plain(capital(&clean(&row.what))), answer, Item::plain(clean(&row.cite))]);
    }
    table.node().unwrap_or_else(|| paragraph(words.get("nothing")))
}
