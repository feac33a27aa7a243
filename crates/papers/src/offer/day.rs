//! The sheet of the day: when the power is back, steps with room to write, needs of the house, who is told when.

use super::words::{Words, english};
use super::{OfferHead, cautions, lines, paper};
use crate::clean::clean;
use crate::page::{Item, Node, Paper, Table, heading, list, paragraph};

/// A step of the day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayStep {
    /// From and to, of a usual day.
    pub time: String,
    /// Does it decide the end?
    pub critical: bool,
    /// People.
    pub people: u32,
    /// What is done.
    pub words: String,
    /// When it was begun, where it was.
    pub begun: String,
    /// When it was done, where it was.
    pub done: String,
}

/// The sheet of the day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayPaper {
    /// Head.
    pub head: OfferHead,
    /// What is done.
    pub work: String,
    /// The day, ISO; `None`: not booked.
    pub date: Option<String>,
    /// Start of the crew.
    pub start: String,
    /// People.
    pub crew: u32,
    /// Power back: a tenth, half, nine tenths of the days; `None`: not that day.
    pub back: [Option<String>; 3],
    /// Share of the days on which it is not back.
    pub never: String,
    /// Hours in the dark, in words.
    pub dark: String,
    /// What would help: change, and share of the days with the power back then.
    pub helps: Vec<(String, String)>,
    /// Steps.
    pub steps: Vec<DayStep>,
    /// Needs: question, what the record says, advice.
    pub needs: Vec<(String, Option<String>, String)>,
    /// Who is told: when, who, what.
    pub told: Vec<(String, String, String)>,
    /// Rules of the place: what holds, and who said so when.
    pub rules: Vec<(String, String)>,
    /// What is to be known.
    pub notes: Vec<String>,
}

/// The sheet of the day as a paper.
pub fn day_sheet(from: &DayPaper) -> Paper {
    let w = english();
    let row = |name: &str, value: String| (w.get(name).to_owned(), value);
    let at = |at: &Option<String>| at.clone().unwrap_or_else(|| w.get("not_that_day").to_owned());
    let [early, half, late] = [at(&from.back[0]), at(&from.back[1]), at(&from.back[2])];
    let never = ("never", from.never.as_str());
    let back = match &from.back[0] {
        None => w.fill("back_never", &[never]),
        Some(_) => w.fill("back_text", &[("early", &early), ("half", &half), ("late", &late), never]),
    };
    let mut body = vec![
        heading(1, w.get("day_title")),
        Node::Pairs {
            rows: vec![
                row("job", clean(&from.head.job)),
                row("place", clean(&from.head.place)),
                row("service", clean(&from.work)),
                row("date", from.date.clone().unwrap_or_else(|| w.get("not_booked").to_owned())),
                row("start", from.start.clone()),
                row("crew", from.crew.to_string()),
                row("back", back),
                row("dark", from.dark.clone()),
            ],
        },
    ];
    body.extend(steps(&w, from));
    body.extend(helps(&w, from));
    body.extend(house(&w, from));
    body.extend(rules(&w, from));
    body.push(heading(2, w.get("notes")));
    body.push(lines(&from.notes));
    body.extend(cautions(&w, &from.head));
    paper(&w, &from.head, ("day_title", "day_file", "foot_day"), body)
}

fn steps(w: &Words, from: &DayPaper) -> Vec<Node> {
    let mut table = Table::new(&[
        (w.get("time"), 1.5),
        ("", 0.3),
        (w.get("people"), -0.8),
        (w.get("step"), 4.6),
        (w.get("begun"), 0.9),
        (w.get("done"), 0.9),
    ]);
    for one in &from.steps {
        let room = |time: &str| if time.is_empty() { "____".to_owned() } else { time.to_owned() };
        table.row([
            one.time.clone(),
            if one.critical { "★".to_owned() } else { String::new() },
            one.people.to_string(),
            clean(&one.words),
            room(&one.begun),
            room(&one.done),
        ]);
    }
    let mut nodes = vec![heading(2, w.get("steps")), paragraph(w.get("steps_intro"))];
    nodes.extend(table.node());
    nodes
}

fn helps(w: &Words, from: &DayPaper) -> Vec<Node> {
    let mut table = Table::new(&[(w.get("helps_what"), 4.0), (w.get("helps_share"), -1.2)]);
    for (what, share) in &from.helps {
        table.row([what.clone(), share.clone()]);
    }
    table.node().map(|table| vec![heading(2, w.get("helps")), table]).unwrap_or_default()
}

fn rules(w: &Words, from: &DayPaper) -> Vec<Node> {
    let mut table = Table::new(&[(w.get("rule"), 4.0), (w.get("rule_from"), 4.0)]);
    for (says, origin) in &from.rules {
        table.row([clean(says), clean(origin)]);
    }
    table.node().map(|table| vec![heading(2, w.get("rules")), table]).unwrap_or_default()
}

fn house(w: &Words, from: &DayPaper) -> Vec<Node> {
    let need = |(ask, said, advice): &(String, Option<String>, String)| {
        let said = said.clone().unwrap_or_else(|| w.get("not_asked").to_owned());
        let said = w.fill("on_record", &[("said", &clean(&said))]);
        Item::led(clean(ask), format!("{said}. {}", clean(advice)))
    };
    let mut nodes = Vec::new();
    if !from.needs.is_empty() {
        nodes.extend([heading(2, w.get("needs")), list(from.needs.iter().map(need).collect())]);
    }
    let mut table = Table::new(&[(w.get("when"), 1.6), (w.get("who"), 1.4), (w.get("say"), 5.0)]);
    for (when, who, say) in &from.told {
        table.row([when.clone(), who.clone(), clean(say)]);
    }
    if let Some(table) = table.node() {
        nodes.extend([heading(2, w.get("told")), table]);
    }
    nodes
}
