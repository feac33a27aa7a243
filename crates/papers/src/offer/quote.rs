//! The quote: choices side by side, the scope of one, what is contested, what is not in it, how to cancel.

use super::words::{Words, english};
use super::{OfferHead, cautions, lines, paper};
use crate::clean::clean;
use crate::page::{Item, Node, Paper, Table, heading, list, paragraph};

/// A choice with its prices in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// In words.
    pub title: String,
    /// Range without what is contested; `None`: no price.
    pub without: Option<String>,
    /// Range with it; `None`: nothing is contested, or no price.
    pub with: Option<String>,
    /// What it does not do.
    pub leaves: String,
}

/// How a contested item stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ContestRow {
    /// What.
    pub words: String,
    /// `in_scope`, `left_out` or `open`.
    pub standing: &'static str,
    /// Why.
    pub why: String,
}

/// The quote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuotePaper {
    /// Head.
    pub head: OfferHead,
    /// Last day on which it holds, ISO.
    pub valid_until: String,
    /// Whose price book.
    pub book: String,
    /// Is the book invented?
    pub invented_book: bool,
    /// Choices, in order.
    pub choices: Vec<Choice>,
    /// The choice that is told in full.
    pub option: String,
    /// Its scope: what is done, step by step.
    pub scope: Vec<String>,
    /// What makes its price: words and sum.
    pub groups: Vec<(String, String)>,
    /// Expected sum.
    pub expected: String,
    /// Materials: how many, what.
    pub materials: Vec<(u32, String)>,
    /// Contested items.
    pub contested: Vec<ContestRow>,
    /// Allowances: what, and how it is carried.
    pub allowances: Vec<(String, String)>,
    /// Exclusions.
    pub exclusions: Vec<String>,
    /// The notice of cancelling that the shop's state asks for, in the shop's words; empty: not given.
    pub notice: String,
    /// What is to be known.
    pub notes: Vec<String>,
}

/// The quote as a paper.
pub fn quote_paper(from: &QuotePaper) -> Paper {
    let w = english();
    let row = |name: &str, value: &str| (w.get(name).to_owned(), clean(value));
    let mut rows = vec![
        row("job", &from.head.job),
        row("place", &from.head.place),
        row("owner", &from.head.owner),
        row("day", &from.head.day),
        row("valid", &from.valid_until),
        row("book", &from.book),
    ];
    rows.retain(|(_, value)| !value.is_empty());
    let mut body = vec![heading(1, w.get("quote_title")), Node::Pairs { rows }];
    if from.invented_book {
        let texts = vec![Item::plain(w.get("invented_book"))];
        body.push(Node::Callout { title: w.get("invented").to_owned(), texts, strong: true });
    }
    body.extend(choices(&w, from));
    body.extend(scope(&w, from));
    body.extend(open(&w, from));
    body.extend(cancelling(&w, &from.notice));
    body.push(paragraph(w.get("sign")));
    body.push(heading(2, w.get("notes")));
    body.push(lines(&from.notes));
    body.extend(cautions(&w, &from.head));
    paper(&w, &from.head, ("quote_title", "quote_file", "foot_quote"), body)
}

/// How to change one's mind: the shop's own notice, or that it must be attached, and by whom.
fn cancelling(w: &Words, notice: &str) -> Vec<Node> {
    let mut nodes = vec![heading(2, w.get("cancel")), paragraph(w.get("cancel_text"))];
    let own: Vec<Item> =
        notice.lines().filter(|line| !line.trim().is_empty()).map(|line| Item::plain(clean(line))).collect();
    let (title, texts) = if own.is_empty() {
        ("cancel_missing_title", vec![Item::plain(w.get("cancel_missing"))])
    } else {
        ("cancel_notice", own)
    };
    nodes.push(Node::Callout { title: w.get(title).to_owned(), texts, strong: true });
    nodes.push(paragraph(w.get("cancel_wait")));
    nodes
}

fn choices(w: &Words, from: &QuotePaper) -> Vec<Node> {
    let mut table = Table::new(&[
        (w.get("choice"), 2.2),
        (w.get("price"), -1.7),
        (w.get("with"), -1.7),
        (w.get("leaves"), 3.6),
    ]);
    table.small = false;
    for one in &from.choices {
        let price = |price: &Option<String>, none: &str| price.clone().unwrap_or_else(|| none.to_owned());
        table.row([
            one.title.clone(),
            price(&one.without, w.get("no_price")),
            price(&one.with, "–"),
            clean(&one.leaves),
        ]);
    }
    let mut nodes = vec![heading(2, w.get("choices")), paragraph(w.get("choices_intro"))];
    nodes.extend(table.node());
    nodes
}

fn scope(w: &Words, from: &QuotePaper) -> Vec<Node> {
    let mut nodes = vec![heading(2, w.fill("scope", &[("option", &from.option)])), lines(&from.scope)];
    // Without a price there is nothing that makes it; the notes say why there is none.
    if !from.expected.is_empty() {
        let mut sums = Table::new(&[(w.get("part"), 4.0), (w.get("sum"), -1.4)]);
        for (words, sum) in &from.groups {
            sums.row([words.clone(), sum.clone()]);
        }
        sums.items([Item::led(w.get("expected"), ""), Item::led(from.expected.clone(), "")]);
        nodes.push(heading(3, w.get("parts_of")));
        nodes.extend(sums.node());
    }
    let mut list = Table::new(&[(w.get("quantity"), -0.8), (w.get("what"), 6.0)]);
    for (quantity, words) in &from.materials {
        list.row([quantity.to_string(), clean(words)]);
    }
    nodes.push(heading(3, w.get("materials")));
    nodes.extend(list.node());
    nodes
}

fn open(w: &Words, from: &QuotePaper) -> Vec<Node> {
    let contested = from.contested.iter().map(|one| {
        Item::led(format!("{}:", one.words), format!("{}; {}", w.get(one.standing), clean(&one.why)))
    });
    let allowances = from
        .allowances
        .iter()
        .map(|(words, how)| Item::led(format!("{words}:"), clean(how)))
        .collect::<Vec<_>>();
    let mut nodes =
        vec![heading(2, w.get("contested")), paragraph(w.get("contested_intro")), list(contested.collect())];
    if !allowances.is_empty() {
        nodes.extend([
            heading(2, w.get("allowances")),
            paragraph(w.get("allowances_intro")),
            list(allowances),
        ]);
    }
    if !from.exclusions.is_empty() {
        nodes.extend([heading(2, w.get("not_in")), lines(&from.exclusions)]);
    }
    nodes
}

// The names by which a contested item stands: "in_scope", "left_out", "open".
