//! The sheet of the look-back after a year: the same readings at the same load, with room to write.

use super::words::english;
use super::{InstallHead, cautions, head, paper};
use crate::clean::{capital, clean};
use crate::page::{Item, Node, Paper, Table, heading, paragraph};
use model::proving::LookBack;

/// The sheet.
pub fn look_back_sheet(from: &InstallHead, look: &LookBack) -> Paper {
    let words = english();
    let due = look.due.map_or_else(|| words.get("look_not_due").to_owned(), |day| day.to_string());
    let mut body = vec![
        heading(1, words.get("look_title")),
        head(&words, from),
        heading(2, format!("{}: {due}", words.get("look_due"))),
        cautions(&words, from),
        heading(2, words.get("look_again")),
    ];
    let mut table = Table::new(&[
        (words.get("look_place"), 3.0),
        (words.get("look_before"), 2.6),
        (words.get("look_today"), 2.6),
    ]);
    table.small = false;
    for (place, before) in &look.again {
        let blank = words.get("blank");
        table.row([capital(&clean(place)), clean(before), format!("{blank} °C, {blank} A, room {blank}")]);
    }
    body.push(table.node().unwrap_or_else(|| paragraph(words.get("nothing"))));
    body.push(heading(2, words.get("look_at")));
    body.extend(look.look.iter().map(|text| Node::Paragraph(Item::led("☐", clean(text)))));
    paper(&words, from, ("look_title", "look_file"), body)
}
