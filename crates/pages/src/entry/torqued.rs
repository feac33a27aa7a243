//! A termination that was tightened. What was typed for the last one like it is there again; the label is read anew.

use super::ask::{Ask, Groups};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::install::Terminal;
use record::Body;
use record::fact::{TerminalTorqued, TorqueAs, TorqueFrom};
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Torque",
    lede: "Dead, and proven dead. Each termination once, with the value of the equipment’s label.",
    show,
    read,
    pairs,
    series: None,
};

fn last<'a>(ask: &Ask<'a>) -> Option<&'a TerminalTorqued> {
    ask.standing.live.iter().rev().find_map(|fact| match &fact.body {
        Body::Torqued(body) => Some(body),
        _ => None,
    })
}

/// Is it a terminal of the same kind?
fn is_like(one: Terminal, other: Terminal) -> bool {
    matches!(
        (one, other),
        (Terminal::Lug(_), Terminal::Lug(_))
            | (Terminal::Pole(_), Terminal::Pole(_))
            | (Terminal::Neutral(_) | Terminal::Ground(_), Terminal::Neutral(_) | Terminal::Ground(_))
    )
}

fn terminals(ask: &Ask<'_>) -> Groups {
    let Some(job) = ask.cx.settled_job() else { return Vec::new() };
    let log = study::install::prove(job).torque;
    let group = |is_open: bool| {
        let mine = log.lines.iter().filter(move |line| line.fact.is_none() == is_open);
        mine.map(|line| (line.terminal.write(), study::words::capital(&line.words))).collect()
    };
    vec![("Not on record".to_owned(), group(true)), ("On record".to_owned(), group(false))]
}

fn photos(ask: &Ask<'_>) -> Groups {
    let Some(job) = ask.cx.settled_job() else { return Vec::new() };
    let words = |words: &str, hash: &str| {
        let short: String = hash.chars().take(8).collect();
        if words.trim().is_empty() { format!("photo {short}") } else { format!("{words} ({short})") }
    };
    let all = job.photos.iter().rev();
    vec![(String::new(), all.map(|one| (one.sha256.clone(), words(&one.words, &one.sha256))).collect())]
}

fn unit(value: TorqueAs) -> &'static str {
    match value {
        TorqueAs::LbIn(_) => "lb_in",
        TorqueAs::LbFt(_) => "lb_ft",
        TorqueAs::Nm(_) => "nm",
    }
}

fn show(ask: &Ask<'_>) -> Markup {
    let last = last(ask);
    let wanted = ask.values.text("terminal").and_then(|text| Terminal::read(text, None).ok());
    let like = last.filter(|last| wanted.is_some_and(|wanted| is_like(wanted, last.terminal.0)));
    let (label, sheet) = match like.map(|last| &last.source) {
        Some(TorqueFrom::Label(hash)) => (hash.as_str(), ""),
        Some(TorqueFrom::Sheet(words)) => ("", words.as_str()),
        None => ("", ""),
    };
    html! {
        (ask.choose("terminal", "Termination", "", "Choose a termination", terminals(ask), ""))
        (ask.sheet.number(&Keypad {
            name: "value",
            label: "Value",
            unit: "",
            hint: if like.is_some() { "As for the last one like it: does the label say so here, too?" } else { "As the label says for this terminal and wire." },
            value: like.map(|last| last.value.number()),
            required: true,
        }))
        (ask.sheet.pick_narrow("unit", "Unit", "", &[("lb_in", "lb-in", ""), ("lb_ft", "lb-ft", ""), ("nm", "N·m", "")],
            last.map_or("lb_in", |last| unit(last.value))))
        (ask.choose("label", "Photo of the label", "", "No photo", photos(ask), label))
        (ask.sheet.text("sheet", "Or the maker’s sheet", "Which, and where in it. One of the two must be there.", sheet))
        details.more open[last.is_none() || ask.sheet.is_again()] {
            summary { "Tool" @if let Some(last) = last { ": " (last.tool) ", calibrated " (last.calibrated) } }
            (ask.sheet.text("tool", "Tool", "By the shop’s own name.", last.map_or("", |last| last.tool.as_str())))
            (ask.sheet.day("calibrated", "Last calibrated", "", last.map(|last| last.calibrated)))
            (ask.sheet.day("due", "Next due", "Left empty: a year later.", last.and_then(|last| last.due)))
        }
        (moment(ask))
        (actions("Save"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let terminal = taking.need::<Terminal>("terminal", "Choose the termination.");
    let missing = "Type the value of the label.";
    let value = match taking.text("unit") {
        Some("nm") => taking.number("value", missing, limits::TORQUE_NM, "N·m").map(TorqueAs::Nm),
        Some("lb_ft") => taking.number("value", missing, limits::TORQUE_LB_FT, "lb-ft").map(TorqueAs::LbFt),
        _ => taking.number("value", missing, limits::TORQUE_LB_IN, "lb-in").map(TorqueAs::LbIn),
    };
    let label = taking.text("label").map(str::to_owned);
    let sheet = taking.name("sheet");
    let source = match (label, sheet) {
        (Some(hash), None) => Some(TorqueFrom::Label(hash)),
        (None, Some(words)) => Some(TorqueFrom::Sheet(words)),
        (Some(_), Some(_)) => {
            taking.wrong("sheet", "The photo of the label or the maker’s sheet: one of the two.");
            None
        }
        (None, None) => {
            taking.wrong(
                "label",
                "Where does the value come from? Choose the label’s photo, or name the sheet.",
            );
            None
        }
    };
    if let Some(TorqueFrom::Label(hash)) = &source
        && !crate::entry::is_hash(hash)
    {
        taking.wrong("label", "This is no photo of this job.");
    }
    let tool = taking.name("tool");
    if tool.is_none() {
        taking.wrong("tool", "Write which tool was used.");
    }
    let calibrated = taking.reader.day("calibrated");
    if calibrated.is_none() && taking.text("calibrated").is_none() {
        taking.wrong("calibrated", "Give the day of the tool’s last calibration.");
    }
    let due = taking.reader.day("due");
    let (Some(terminal), Some(value), Some(source), Some(tool), Some(calibrated)) =
        (terminal, value, source, tool, calibrated)
    else {
        return Vec::new();
    };
    if taking.at.date() < calibrated {
        taking.wrong("calibrated", "The calibration before the work counts.");
    }
    vec![TerminalTorqued { terminal: AsText(terminal), value, source, tool, calibrated, due }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Torqued(body) = body else { return Vec::new() };
    let mut pairs = vec![
        pair("terminal", body.terminal.0.write()),
        pair("value", body.value.number()),
        pair("unit", unit(body.value)),
        match &body.source {
            TorqueFrom::Label(hash) => pair("label", hash),
            TorqueFrom::Sheet(words) => pair("sheet", words),
        },
        pair("tool", &body.tool),
        pair("calibrated", body.calibrated),
    ];
    pairs.extend(body.due.map(|due| pair("due", due)));
    pairs
}
