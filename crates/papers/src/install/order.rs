//! The sheet of switching on: the readings first, then block by block with room to write.

use super::pull::notes;
use super::words::{Words, english};
use super::{InstallHead, cautions, head, listed, paper};
use crate::clean::clean;
use crate::number::plain;
use crate::page::{Item, Node, Paper, Table, heading, paragraph};
use model::install::Stage;
use model::isolation::ProofPoint;
use model::proving::{BranchBlock, SwitchingOn};
use model::{Current, Leg, Space};

/// The sheet.
pub fn switching_sheet(from: &InstallHead, order: &SwitchingOn) -> Paper {
    let words = english();
    let mut body = vec![heading(1, words.get("order_title")), head(&words, from), cautions(&words, from)];
    body.push(heading(2, words.get("order_readings")));
    body.push(readings(&words, order));
    if order.shut.is_empty() {
        body.push(callout(words.get("order_open"), &[words.get("order_open_words").to_owned()]));
    } else {
        body.push(callout(words.get("order_shut"), &order.shut));
        let waiting = order.n_open.to_string();
        body.push(paragraph(words.fill("order_waiting", &[("n", &waiting)])));
    }
    body.extend(closed(&words, order));
    let mut number = order.closed.len();
    for (block, title) in order
        .next
        .iter()
        .map(|block| (block, words.get("order_next")))
        .chain(order.later.iter().map(|block| (block, words.get("order_later"))))
    {
        number += 1;
        let n = number.to_string();
        body.push(self::block(
            &words,
            block,
            &format!("{title}: {}", words.fill("order_block", &[("n", &n)])),
        ));
    }
    if order.shut.is_empty() && order.n_open == 0 {
        body.push(paragraph(words.get("order_none_left")));
    }
    body.extend(notes(&words, &order.notes));
    paper(&words, from, ("order_title", "order_file"), body)
}

fn callout(title: &str, texts: &[String]) -> Node {
    Node::Callout {
        title: title.to_owned(),
        texts: texts.iter().map(|text| Item::plain(clean(text))).collect(),
        strong: true,
    }
}

pub(super) fn pair_words(pair: (ProofPoint, ProofPoint)) -> String {
    let point = |point| match point {
        ProofPoint::Leg(leg) => leg.to_string(),
        ProofPoint::Neutral => "N".to_owned(),
        ProofPoint::Ground => "G".to_owned(),
    };
    format!("{}–{}", point(pair.0), point(pair.1))
}

pub(super) fn readings(words: &Words, order: &SwitchingOn) -> Node {
    let mut table = Table::new(&[
        (words.get("order_stage"), 2.6),
        (words.get("order_pair"), 1.0),
        (words.get("order_range"), 1.6),
        (words.get("order_shown"), 1.2),
        ("", 1.4),
    ]);
    table.small = false;
    for need in &order.readings {
        let stage = match need.stage {
            Stage::Supply => words.get("stage_supply"),
            Stage::Main => words.get("stage_main"),
            Stage::Branches => words.get("stage_branches"),
        };
        let shown = need.shown.map_or_else(
            || format!("{} V", words.get("blank")),
            |shown| format!("{} V", plain(shown.v(), 1)),
        );
        let stand = match need.shown {
            None => "",
            Some(_) if need.is_met() => words.get("met"),
            Some(_) => words.get("not_met"),
        };
        let range = format!("{} to {} V", plain(need.low.v(), 0), plain(need.high.v(), 0));
        table.items([
            Item::plain(stage),
            Item::led(pair_words(need.pair), ""),
            Item::plain(range),
            Item::plain(shown),
            Item::plain(stand),
        ]);
    }
    table.node().unwrap_or_else(|| paragraph(words.get("nothing")))
}

fn legs_words(legs: &[(Leg, Current)]) -> String {
    let words: Vec<String> =
        legs.iter().map(|(leg, amps)| format!("{leg} {} A", plain(amps.a(), 1))).collect();
    words.join(", ")
}

fn spaces_words(spaces: &[Space]) -> String {
    spaces.iter().map(Space::to_string).collect::<Vec<_>>().join("/")
}

fn block(words: &Words, block: &BranchBlock, title: &str) -> Node {
    let mut table = Table::new(&[
        ("", 0.4),
        (words.get("order_space"), 0.9),
        (words.get("order_feeds"), 4.4),
        (words.get("order_legs"), 0.7),
        (words.get("order_known"), -1.0),
    ]);
    table.small = false;
    for branch in &block.branches {
        let legs: Vec<String> = branch.legs.iter().map(Leg::to_string).collect();
        table.items([
            Item::plain("☐"),
            Item::led(spaces_words(&branch.spaces), ""),
            Item::plain(clean(&branch.words)),
            Item::plain(legs.join("")),
            Item::plain(
                branch.known.map_or_else(|| words.get("unknown").to_owned(), |known| plain(known.a(), 1)),
            ),
        ]);
    }
    let blanks: Vec<String> =
        block.legs.iter().map(|(leg, _)| format!("{leg} {} A", words.get("blank"))).collect();
    let after =
        words.fill("order_most", &[("legs", &legs_words(&block.legs)), ("blanks", &blanks.join(", "))]);
    let mut nodes = vec![heading(3, title)];
    nodes.extend(table.node());
    nodes.push(paragraph(after));
    Node::Together { nodes }
}

pub(super) fn closed(words: &Words, order: &SwitchingOn) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("order_at"), 1.5),
        (words.get("order_space"), 1.8),
        (words.get("order_amps"), 1.8),
        (words.get("order_faults"), 3.4),
    ]);
    for block in &order.closed {
        let spaces: Vec<String> = block.spaces.iter().map(Space::to_string).collect();
        table.row([
            block.at.strftime("%Y-%m-%d %H:%M").to_string(),
            spaces.join(", "),
            legs_words(&block.legs),
            clean(&block.faults.join(" ")),
        ]);
    }
    let Some(node) = table.node() else { return Vec::new() };
    vec![heading(2, words.get("order_closed")), node]
}

/// Where the limits come from, as small print.
pub(super) fn sources(words: &Words, sources: &[String]) -> Vec<Node> {
    listed(words.get("sources"), sources)
}
