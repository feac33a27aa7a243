//! The load sheet: methods side by side, margins, questions, sizes, and every working.

use super::marks;
use super::words::{Words, english};
use super::{LoadPaper, PermitHead};
use crate::clean::{capital, clean};
use crate::number::plain;
use crate::page::{Item, Node, Paper, Table, heading, list, paragraph};
use crate::words::Top;
use model::Note;
use model::working::Working;

/// Body type, points.
const SIZE_PT: f64 = 9.0;

/// The load sheet as a paper.
pub fn load_sheet(sheet: &LoadPaper) -> Paper {
    let words = english();
    let mut body = vec![heading(1, words.get("sheet_title")), head(&words, &sheet.head)];
    body.extend(side_by_side(&words, sheet));
    body.extend(open(&words, sheet));
    body.extend(sizes(&words, sheet));
    let figures = || sheet.methods.iter().filter_map(|method| method.figures.as_ref().ok());
    let workings =
        figures().flat_map(|one| &one.workings).chain(sheet.sizes.iter().flat_map(|one| &one.workings));
    body.extend(marks::section(&words, workings));
    body.push(paragraph(words.get("unsigned")));
    body.push(paragraph(words.get("signature")));
    body.extend(cautions(&words, &sheet.head));
    for method in &sheet.methods {
        if let Ok(figures) = &method.figures {
            body.extend(workings_of(&words, &method.name, &figures.workings, &figures.notes));
        }
    }
    let of_sizes: Vec<Working> = sheet.sizes.iter().flat_map(|size| size.workings.clone()).collect();
    if !of_sizes.is_empty() {
        body.extend(workings_of(&words, words.get("sizes"), &of_sizes, &[]));
    }
    paper(&words, &sheet.head, ("sheet_title", "sheet_file"), body)
}

/// A paper of these with the head of a permit.
pub(super) fn paper(words: &Words, head: &PermitHead, (title, file): (&str, &str), body: Vec<Node>) -> Paper {
    let top = Top { job: &head.job, place: &head.place, day: &head.day, invented: head.invented };
    crate::words::paper(words, &top, [title, file, "foot"], SIZE_PT, body)
}

/// What both papers say first.
pub(super) fn head(words: &Words, head: &PermitHead) -> Node {
    let service = match head.service_a {
        Some(service_a) => format!("{} A", plain(service_a, 0)),
        None => words.get("service_none").to_owned(),
    };
    let row = |name: &str, value: String| (words.get(name).to_owned(), value);
    Node::Pairs {
        rows: vec![
            row("job", clean(&head.job)),
            row("place", clean(&head.place)),
            row("day", head.day.clone()),
            row("code", clean(&head.code)),
            row("supply", clean(&head.supply)),
            row("service", service),
        ],
    }
}

/// The cautions, every one.
pub(super) fn cautions(words: &Words, head: &PermitHead) -> Vec<Node> {
    let items = head.cautions.iter().map(|caution| Item::plain(caution.clone())).collect();
    vec![heading(2, words.get("cautions")), list(items)]
}

fn amps(value: Option<f64>) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{} A", plain(value, 0)))
}

fn side_by_side(words: &Words, sheet: &LoadPaper) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("method"), 2.6),
        (words.get("load"), -1.0),
        (words.get("rating"), -1.3),
        (words.get("least"), -1.2),
        (words.get("neutral"), -1.0),
        (words.get("left"), -1.0),
    ]);
    table.small = false;
    let mut not = Vec::new();
    let (mut exceed, mut otherwise) = (Vec::new(), Vec::new());
    for method in &sheet.methods {
        let name = capital(&clean(&method.name));
        match &method.figures {
            Ok(one) => {
                table.row([
                    name.clone(),
                    amps(Some(one.load_a)),
                    amps(one.rating_a),
                    amps(Some(one.least_a)),
                    amps(one.neutral_a),
                    amps(one.left_a),
                ]);
                exceed.extend(one.exceed.iter().map(|text| Item::led(format!("{name}:"), clean(text))));
                otherwise.extend(one.otherwise.iter().map(|text| Item::led(format!("{name}:"), clean(text))));
            }
            Err(why) => not.push(Item::led(format!("{name}:"), clean(why))),
        }
    }
    let mut nodes = vec![heading(2, words.get("side"))];
    nodes.extend(table.node());
    for (title, items) in [("exceed", exceed), ("why_not", not)] {
        if !items.is_empty() {
            nodes.push(heading(3, words.get(title)));
            nodes.push(list(items));
        }
    }
    if !otherwise.is_empty() {
        nodes.push(heading(3, words.get("otherwise")));
        nodes.push(paragraph(words.get("otherwise_intro")));
        nodes.push(list(otherwise));
    }
    nodes
}

fn open(words: &Words, sheet: &LoadPaper) -> Vec<Node> {
    if sheet.questions.is_empty() {
        return Vec::new();
    }
    let columns = [(words.get("about"), 1.6), (words.get("question"), 3.6), (words.get("why"), 3.0)];
    let mut table = Table::new(&columns);
    for one in &sheet.questions {
        table.row([capital(&clean(&one.about)), clean(&one.ask), clean(&one.why)]);
    }
    let mut nodes = vec![heading(2, words.get("asked")), paragraph(words.get("asked_intro"))];
    nodes.extend(table.node());
    nodes
}

fn sizes(words: &Words, sheet: &LoadPaper) -> Vec<Node> {
    let mut table = Table::new(&[(words.get("what"), 4.0), (words.get("size"), 3.0)]);
    for one in &sheet.sizes {
        let size = match &one.size {
            Ok(size) => clean(size),
            Err(why) => format!("{}: {}", words.get("none"), clean(why)),
        };
        table.row([capital(&clean(&one.name)), size]);
    }
    let mut nodes = Vec::new();
    if let Some(table) = table.node() {
        nodes.push(heading(2, words.get("sizes")));
        nodes.push(table);
    }
    nodes
}

fn workings_of(words: &Words, name: &str, workings: &[Working], notes: &[Note]) -> Vec<Node> {
    let mut nodes = vec![heading(2, words.fill("working", &[("method", name)]))];
    nodes.extend(workings.iter().map(|one| working(words, one)));
    if !notes.is_empty() {
        let item = |note: &Note| {
            let cite = note.cite.as_ref().map(|cite| format!(" [{cite}]")).unwrap_or_default();
            Item::led(format!("{}:", capital(&clean(&note.subject))), clean(&format!("{}{cite}", note.text)))
        };
        nodes.push(heading(3, words.get("remarks")));
        nodes.push(list(notes.iter().map(item).collect()));
    }
    nodes
}

fn working(words: &Words, working: &Working) -> Node {
    let title = format!("{}: {}", capital(&clean(&working.title)), clean(&working.result));
    let mut table = Table::new(&[
        (words.get("symbol"), 0.9),
        (words.get("meaning"), 2.6),
        (words.get("value"), 2.0),
        (words.get("from"), 3.4),
    ]);
    for input in &working.inputs {
        table.row([clean(&input.symbol), clean(&input.meaning), clean(&input.value), clean(&input.from)]);
    }
    let row = |name: &str, value: String| (words.get(name).to_owned(), value);
    let mut nodes =
        vec![heading(3, title), Node::Pairs { rows: vec![row("formula", clean(&working.formula))] }];
    nodes.extend(table.node());
    nodes.push(Node::Pairs {
        rows: vec![
            row("result", clean(&working.result)),
            row("valid", clean(&working.validity)),
            row("source", clean(&working.cite.to_string())),
        ],
    });
    Node::Together { nodes }
}
