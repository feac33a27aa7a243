//! Papers of the new panel: permit set, pull list, order of switching on, directory card, close-out packet, look-back
//! sheet, state of the panel now. Black and white.

mod card;
mod look_back;
mod now;
mod order;
mod packet;
mod pull;
mod set;
mod words;

pub use card::{CardPaper, directory_card};
pub use look_back::look_back_sheet;
pub use now::panel_now_sheet;
pub use order::switching_sheet;
pub use packet::{Packet, close_out, protection_words};
pub use pull::{PullLine, pull_list};
pub use set::{PermitSet, ScheduleLine, SetRow, permit_set, permit_set_name};

use crate::clean::{capital, clean};
use crate::page::{Item, Node, Paper, heading, list};
use crate::words::Top;
use model::working::Working;
use words::Words;

/// Body type, points.
const SIZE_PT: f64 = 9.5;

/// What is printed at the head of each of them.
#[derive(Debug, Clone, PartialEq)]
pub struct InstallHead {
    /// Name of the job.
    pub job: String,
    /// Place with its town.
    pub place: String,
    /// Invented?
    pub invented: bool,
    /// Day of the paper, ISO.
    pub day: String,
    /// Supply system.
    pub supply: String,
    /// Cautions; every one is printed.
    pub cautions: Vec<String>,
}

fn paper(words: &Words, head: &InstallHead, (title, file): (&str, &str), body: Vec<Node>) -> Paper {
    let top = Top { job: &head.job, place: &head.place, day: &head.day, invented: head.invented };
    crate::words::paper(words, &top, [title, file, "foot"], SIZE_PT, body)
}

fn head(words: &Words, head: &InstallHead) -> Node {
    let row = |name: &str, value: &str| (words.get(name).to_owned(), clean(value));
    Node::Pairs {
        rows: vec![
            row("job", &head.job),
            row("place", &head.place),
            row("day", &head.day),
            row("supply", &head.supply),
        ],
    }
}

/// A heading with a list under it; nothing where the list is empty.
fn listed(title: &str, texts: &[String]) -> Vec<Node> {
    if texts.is_empty() {
        return Vec::new();
    }
    vec![heading(2, title), list(texts.iter().map(|text| Item::plain(clean(text))).collect())]
}

/// The cautions in a frame.
fn cautions(words: &Words, head: &InstallHead) -> Node {
    Node::Callout {
        title: words.get("cautions").to_owned(),
        texts: head.cautions.iter().map(|text| Item::plain(clean(text))).collect(),
        strong: true,
    }
}

fn working(words: &Words, working: &Working) -> Node {
    let row = |name: &str, value: &str| (words.get(name).to_owned(), clean(value));
    let mut rows = vec![row("formula", &working.formula)];
    for input in &working.inputs {
        let value = format!("{}, {}: {}", clean(&input.meaning), clean(&input.value), clean(&input.from));
        rows.push((clean(&input.symbol), value));
    }
    rows.push(row("result", &working.result));
    rows.push(row("valid", &working.validity));
    rows.push(row("source", &working.cite.to_string()));
    let subject = clean(&working.subject);
    let title = capital(&clean(&working.title));
    let title = if subject.is_empty() { title } else { format!("{title}, {subject}") };
    Node::Together { nodes: vec![heading(3, title), Node::Pairs { rows }] }
}
