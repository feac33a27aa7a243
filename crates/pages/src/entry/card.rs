//! The directory card as it hangs in the door: the proposed lines, to be changed where it says otherwise.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use record::Body;
use record::fact::{CardHung, CardLine, LengthAs};
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Directory card",
    lede: "Rooms and appliances, not persons: who lives there changes.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let lines = ask.cx.settled_job().map(|job| study::install::prove(job).card).unwrap_or_default();
    let usual: Vec<String> = lines.iter().map(|line| format!("{}: {}", line.first, line.words)).collect();
    let pad = |name: &'static str, label: &'static str| {
        ask.sheet.number(&Keypad { name, label, unit: "in", hint: "", value: None, required: false })
    };
    html! {
        @for line in lines.iter().filter(|line| !line.faults.is_empty()) {
            p.note { strong { (line.spaces) " " (line.words) ": " } (line.faults.join(" ")) }
        }
        (ask.sheet.words("lines", "What it says", "One line a breaker: its first space, a colon, the words.", &usual.join("\n")))
        (pad("width", "Width of the place in the door"))
        (pad("height", "Height of the place in the door"))
        (moment(ask))
        (actions("Save the card"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let text = taking.words("lines");
    let mut lines: Vec<CardLine> = Vec::new();
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        let shown: String = line.chars().take(30).collect();
        let read = line.split_once(':').and_then(|(space, words)| {
            let words = words.trim();
            let fits = !words.is_empty() && words.chars().count() <= limits::NAME_MAX;
            let space = model::Space::read(space.trim(), None).ok().filter(|_| fits)?;
            Some(CardLine { space: AsText(space), words: words.to_owned() })
        });
        match read {
            Some(one) if lines.iter().all(|other| !other.space.0.overlaps(one.space.0)) => lines.push(one),
            Some(one) => taking.wrong("lines", format!("Space {} stands twice.", one.space.0)),
            None => taking.wrong("lines", format!("“{shown}” is no line: write 1: kitchen counter, left.")),
        }
    }
    if lines.is_empty() && text.is_empty() {
        taking.wrong("lines", "Write what the card says.");
    }
    let range = (limits::CABINET_M.0 / 0.0254, limits::CABINET_M.1 / 0.0254);
    let width = taking.may_number("width", range, "in").map(LengthAs::In);
    let height = taking.may_number("height", range, "in").map(LengthAs::In);
    if lines.is_empty() {
        return Vec::new();
    }
    vec![CardHung { width, height, lines }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Card(body) = body else { return Vec::new() };
    let lines: Vec<String> =
        body.lines.iter().map(|line| format!("{}: {}", line.space.0.write(), line.words)).collect();
    let mut pairs = vec![pair("lines", lines.join("\n"))];
    for (name, side) in [("width", body.width), ("height", body.height)] {
        let inches = side.map(|side| match side {
            LengthAs::In(inches) => inches,
            other => other.quantity().inches(),
        });
        pairs.extend(inches.map(|inches| pair(name, inches)));
    }
    pairs
}
