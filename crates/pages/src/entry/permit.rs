//! The permit as it was filed.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::install::Flagged;
use record::Body;
use record::fact::{CircuitFiled, PermitFiled};
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Permit",
    lede: "As filed, and what the inspection said. What was installed and labelled is held against it.",
    show,
    read,
    pairs,
    series: None,
};

/// What an inspector flags.
const FLAGGED: [(&str, &str, &str); 7] = [
    ("labels", "Directory, labels", ""),
    ("grounding", "Grounding, bonding", ""),
    ("splices", "Splices", ""),
    ("clearance", "Working space", ""),
    ("protection", "Breakers, protection", ""),
    ("wiring", "Conductors", ""),
    ("other", "Something else", "Say it in the remarks."),
];

fn show(ask: &Ask<'_>) -> Markup {
    let usual: Vec<String> = match ask.cx.settled_job() {
        Some(job) => study::install::planned(job)
            .iter()
            .filter_map(|one| Some(format!("{}={}", one.new.first()?, one.rating_a?)))
            .collect(),
        None => Vec::new(),
    };
    html! {
        (ask.sheet.text("number", "Number", "", ""))
        (ask.sheet.number(&Keypad { name: "rating", label: "Panel as filed", unit: "A", hint: "", value: None, required: false }))
        (ask.sheet.whole("n_spaces", "Spaces as filed", "", None))
        (ask.sheet.words("circuits", "Circuits as filed", "New space and rating: 1=20 3=15. Filled from the layout; change what was filed otherwise.", &usual.join(" ")))
        (ask.sheet.day("passed", "Final passed on", "Left empty: not yet.", None))
        (ask.sheet.day("failed", "Inspected and not passed on", "Each inspection in an entry of its own. Left empty: none.", None))
        (ask.sheet.pick_any("flagged", "What was flagged", "It is counted for the shop, by town and not by inspector.", &FLAGGED, &[]))
        (ask.sheet.words("words", "Remarks", "", ""))
        (moment(ask))
        (actions("Save the permit"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let number = taking.name("number");
    if number.is_none() {
        taking.wrong("number", "Write the number of the permit.");
    }
    let rating_a = taking.may_number("rating", limits::BUS_RATING_A, "A");
    let spaces = taking.reader.whole("n_spaces", (1, limits::SPACES_MAX));
    let mut circuits: Vec<CircuitFiled> = Vec::new();
    let text = taking.words("circuits");
    for part in text.split_whitespace() {
        let read = part.split_once('=').and_then(|(space, amps)| {
            let space = model::Space::read(space, None).ok()?;
            let amps = amps.parse::<f64>().ok()?;
            let fits = limits::RATING_A.0 <= amps && amps <= limits::RATING_A.1;
            fits.then_some(CircuitFiled { space: AsText(space), amps })
        });
        match read {
            Some(one) if circuits.iter().all(|other| !other.space.0.overlaps(one.space.0)) => {
                circuits.push(one)
            }
            Some(one) => taking.wrong("circuits", format!("Space {} stands twice.", one.space.0)),
            None => {
                let shown: String = part.chars().take(20).collect();
                taking.wrong("circuits", format!("“{shown}” is no space with its rating: write 1=20."));
            }
        }
    }
    let passed = taking.reader.day("passed");
    let failed = taking.reader.day("failed");
    let flagged: Vec<String> = taking.reader.fields().all("flagged").map(str::to_owned).collect();
    let flagged = flagged.iter().map(|word| Flagged::read(word, None).map(AsText));
    let Ok(flagged) = flagged.collect::<Result<Vec<_>, _>>() else {
        taking.wrong("flagged", "This is none of what is asked: choose again.");
        return Vec::new();
    };
    if failed.is_none() && passed.is_none() && !flagged.is_empty() {
        taking.wrong("failed", "On which day was it flagged?");
    }
    let words = taking.words("words");
    let Some(number) = number else { return Vec::new() };
    vec![PermitFiled { number, rating_a, spaces, circuits, passed, failed, flagged, words }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Permit(body) = body else { return Vec::new() };
    let circuits: Vec<String> =
        body.circuits.iter().map(|one| format!("{}={}", one.space.0.write(), one.amps)).collect();
    let mut pairs =
        vec![pair("number", &body.number), pair("circuits", circuits.join(" ")), pair("words", &body.words)];
    pairs.extend(body.rating_a.map(|amps| pair("rating", amps)));
    pairs.extend(body.spaces.map(|n| pair("n_spaces", n)));
    pairs.extend(body.passed.map(|day| pair("passed", day)));
    pairs.extend(body.failed.map(|day| pair("failed", day)));
    pairs.extend(body.flagged.iter().map(|one| pair("flagged", one.0.write())));
    pairs
}
