//! The state of the panel now, for a stranger who takes over.

use super::packet::mismatches;
use super::words::english;
use super::{InstallHead, cautions, head, paper};
use crate::clean::clean;
use crate::page::{Item, Node, Paper, Table, heading, paragraph};
use model::proving::PanelNow;

/// The sheet.
pub fn panel_now_sheet(from: &InstallHead, now: &PanelNow) -> Paper {
    let words = english();
    let at = now
        .last_entry
        .map_or_else(|| words.get("now_no_entry").to_owned(), |at| at.strftime("%Y-%m-%d %H:%M").to_string());
    let mut body = vec![
        heading(1, words.get("now_title")),
        head(&words, from),
        paragraph(words.fill("now_intro", &[("at", &at)])),
        Node::Callout {
            title: words.get("now_supply").to_owned(),
            texts: vec![Item::plain(clean(&now.supply))],
            strong: true,
        },
        cautions(&words, from),
        heading(2, words.get("now_left")),
    ];
    if now.left.is_empty() {
        body.push(paragraph(words.get("now_nothing_left")));
    } else {
        body.extend(now.left.iter().map(|text| Node::Paragraph(Item::led("☐", clean(text)))));
    }
    let mut table = Table::new(&[
        (words.get("order_space"), 0.8),
        (words.get("order_feeds"), 3.0),
        (words.get("packet_breaker"), 1.9),
        ("", 1.3),
        (words.get("now_missing"), 2.8),
    ]);
    for one in &now.breakers {
        let stand = words.get(if one.is_on { "now_on" } else { "now_off" });
        table.items([
            Item::led(clean(&one.spaces), ""),
            Item::plain(clean(&one.words)),
            Item::plain(clean(&one.what)),
            Item::plain(stand),
            Item::plain(clean(&one.missing.join("; "))),
        ]);
    }
    body.push(heading(2, words.get("now_breakers")));
    body.push(table.node().unwrap_or_else(|| paragraph(words.get("nothing"))));
    body.extend(mismatches(&words, &now.mismatches));
    paper(&words, from, ("now_title", "now_file"), body)
}
