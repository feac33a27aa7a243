//! A breaker as it went into the new panel.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::Space;
use model::breaker::Protection;
use record::Body;
use record::fact::BreakerInstalled;
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Breaker of the new panel",
    lede: "As it is in the panel now, not as it was planned.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let corrected = ask.sheet.all_typed("from");
    let usual = corrected.first().cloned().unwrap_or_default();
    html! {
        (ask.sheet.text("spaces", "New spaces", "First pole first: 1, or 2 4.", ""))
        (ask.sheet.number(&Keypad { name: "rating", label: "Rating", unit: "A", hint: "", value: None, required: true }))
        (ask.sheet.pick("protection", "Protection", "", &[
            ("thermal-magnetic", "Plain", ""),
            ("arc-fault", "Arc-fault", ""),
            ("ground-fault", "Ground-fault", ""),
            ("arc-and-ground-fault", "Both", ""),
        ], "thermal-magnetic"))
        (ask.choose("from", "From the old space", "Its first pole. None: a new circuit.", "A new circuit", ask.slots(), &usual))
        (ask.sheet.text("words", "What it feeds", "Rooms, not persons. Left empty: as on record for the old circuit.", ""))
        (ask.sheet.tick("spliced", "A conductor was lengthened", "", false))
        (moment(ask))
        (actions("Save the breaker"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let spaces: Vec<Space> = taking.several("spaces");
    if spaces.is_empty() && taking.text("spaces").is_none() {
        taking.wrong("spaces", "Write its spaces in the new panel.");
    }
    let rating = taking.number("rating", "Type the rating on its handle.", limits::RATING_A, "A");
    let protection = taking.may::<Protection>("protection").unwrap_or(Protection::ThermalMagnetic);
    let first = taking.may::<model::Slot>("from");
    let from = first.map(|slot| poles(taking, slot)).unwrap_or_default();
    let words = taking.words("words");
    let spliced = taking.reader.ticked("spliced");
    let Some(rating_a) = rating.filter(|_| !spaces.is_empty()) else { return Vec::new() };
    vec![
        BreakerInstalled {
            spaces: spaces.into_iter().map(AsText).collect(),
            rating_a,
            protection: AsText(protection),
            from: from.into_iter().map(AsText).collect(),
            size: None,
            spliced,
            words,
        }
        .into(),
    ]
}

/// All poles of the old breaker, the chosen one where it is not described.
fn poles(taking: &Taking<'_>, slot: model::Slot) -> Vec<model::Slot> {
    let installation = super::words::installation(taking.view);
    match installation.and_then(|installation| installation.breaker_at(&slot)) {
        Some(breaker) => {
            breaker.spaces.iter().map(|&space| model::Slot::new(slot.panel.clone(), space)).collect()
        }
        None => vec![slot],
    }
}

fn pairs(body: &Body) -> Pairs {
    let Body::Installed(body) = body else { return Vec::new() };
    let spaces: Vec<String> = body.spaces.iter().map(|space| space.0.write()).collect();
    let mut pairs = vec![
        pair("spaces", spaces.join(" ")),
        pair("rating", body.rating_a),
        pair("protection", body.protection.0.write()),
        pair("words", &body.words),
    ];
    pairs.extend(body.from.first().map(|slot| pair("from", slot.0.write())));
    if body.spliced {
        pairs.push(pair("spliced", "yes"));
    }
    pairs
}
