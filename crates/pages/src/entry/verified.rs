//! A temperature at the new panel under load, to hold against the first one.

use super::ask::{Ask, Groups};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::evidence::{Surface, TemperatureMethod};
use model::install::Terminal;
use record::Body;
use record::fact::{TemperatureAs, TerminalVerified};
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Temperature of the new panel",
    lede: "The same loads as at the first reading, for as long: then it can be compared.",
    show,
    read,
    pairs,
    series: None,
};

fn terminals(ask: &Ask<'_>) -> Groups {
    let Some(job) = ask.cx.settled_job() else { return Vec::new() };
    let log = study::install::prove(job).torque;
    let mine = log.lines.iter().filter(|line| matches!(line.terminal, Terminal::Pole(_) | Terminal::Lug(_)));
    let all = mine.map(|line| (line.terminal.write(), study::words::capital(&line.words)));
    vec![(String::new(), all.collect())]
}

fn show(ask: &Ask<'_>) -> Markup {
    let degrees = |name: &'static str, label: &'static str, hint: &'static str| {
        ask.sheet.signed(&Keypad { name, label, unit: "", hint, value: None, required: false })
    };
    let pad = |name: &'static str, label: &'static str, unit: &'static str, hint: &'static str| {
        ask.sheet.number(&Keypad { name, label, unit, hint, value: None, required: false })
    };
    let last = ask.standing.instrument(|body| match body {
        Body::Verified(body) => body.instrument.as_deref(),
        _ => None,
    });
    html! {
        (ask.choose("terminal", "Where", "", "Choose a place", terminals(ask), ""))
        (ask.sheet.pick_narrow("unit", "Unit", "", &[("c", "°C", ""), ("f", "°F", "")], "c"))
        (degrees("value", "Reading", "On plastic or insulation, not on bare metal."))
        (degrees("room", "Room air", "In the same unit."))
        (pad("amps", "Current through it", "A", ""))
        (pad("held", "For how long", "min", "A breaker needs 20 minutes to warm through."))
        (ask.sheet.pick("surface", "Surface", "", &[("matte", "Plastic, insulation", ""), ("bare-metal", "Bare metal", "not compared by infrared")], "matte"))
        (ask.sheet.pick("method", "Taken by", "", &[("infrared", "Infrared", ""), ("contact", "Contact probe", "")], "infrared"))
        (ask.instrument(last, ""))
        (moment(ask))
        (actions("Save the reading"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let terminal = taking.need::<Terminal>("terminal", "Choose where it was taken.");
    let value = taking.may_temperature("value", limits::SURFACE_C);
    if value.is_none() && taking.text("value").is_none() {
        taking.wrong("value", "Type what the instrument shows.");
    }
    let room = taking.may_temperature("room", limits::ROOM_C);
    let amps = taking.may_number("amps", limits::AMPS, "A");
    let held_min = taking.may_number("held", limits::MINUTES, "min");
    let surface = taking.may::<Surface>("surface").unwrap_or(Surface::Matte);
    let method = taking.may::<TemperatureMethod>("method").unwrap_or(TemperatureMethod::Infrared);
    let instrument = taking.name("instrument");
    let (Some(terminal), Some(value)) = (terminal, value) else { return Vec::new() };
    vec![
        TerminalVerified {
            terminal: AsText(terminal),
            value,
            room,
            amps,
            held_min,
            surface: AsText(surface),
            method: AsText(method),
            instrument,
        }
        .into(),
    ]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Verified(body) = body else { return Vec::new() };
    let unit = if matches!(body.value, TemperatureAs::F(_)) { "f" } else { "c" };
    let mut pairs = vec![
        pair("terminal", body.terminal.0.write()),
        pair("unit", unit),
        pair("value", body.value.number()),
        pair("surface", body.surface.0.write()),
        pair("method", body.method.0.write()),
    ];
    // The form has one unit for both.
    let room = body.room.filter(|room| matches!(room, TemperatureAs::F(_)) == (unit == "f"));
    pairs.extend(room.map(|room| pair("room", room.number())));
    pairs.extend(body.amps.map(|amps| pair("amps", amps)));
    pairs.extend(body.held_min.map(|minutes| pair("held", minutes)));
    pairs.extend(body.instrument.as_ref().map(|instrument| pair("instrument", instrument)));
    pairs
}
