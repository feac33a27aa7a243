//! Two circuits on one neutral, clamped at the same time.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::Space;
use record::Body;
use record::fact::NeutralClamped;
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Shared neutral",
    lede: "Load both circuits. The neutral must carry the difference of the two, not their sum.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let pad = |name: &'static str, label: &'static str, unit: &'static str, hint: &'static str| {
        ask.sheet.number(&Keypad { name, label, unit, hint, value: None, required: false })
    };
    html! {
        div.caution { p { "Live parts are open: a qualified person with protective gear only. Open no neutral while a hot is on." } }
        (ask.sheet.text("spaces", "Their two spaces in the new panel", "1 3", ""))
        (pad("first", "First hot", "A", ""))
        (pad("second", "Second hot", "A", ""))
        (pad("neutral", "Neutral", "A", ""))
        (pad("between", "Between the two hots", "V", "Tells most where one circuit has little load. May be left out."))
        (moment(ask))
        (actions("Save"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let spaces: Vec<Space> = taking.several("spaces");
    let missing = "Type what the clamp shows.";
    let first = taking.number("first", missing, limits::AMPS, "A");
    let second = taking.number("second", missing, limits::AMPS, "A");
    let neutral = taking.number("neutral", missing, limits::AMPS, "A");
    let between = taking.may_number("between", limits::VOLTS, "V");
    let two: Result<[Space; 2], _> = spaces.try_into();
    let Ok(spaces) = two else {
        taking.wrong("spaces", "Write the two spaces, as in 1 3.");
        return Vec::new();
    };
    let (Some(first), Some(second), Some(neutral)) = (first, second, neutral) else { return Vec::new() };
    vec![NeutralClamped { spaces: spaces.map(AsText), hots: [first, second], neutral, between }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::SharedNeutral(body) = body else { return Vec::new() };
    let spaces: Vec<String> = body.spaces.iter().map(|space| space.0.write()).collect();
    let mut pairs = vec![
        pair("spaces", spaces.join(" ")),
        pair("first", body.hots[0]),
        pair("second", body.hots[1]),
        pair("neutral", body.neutral),
    ];
    pairs.extend(body.between.map(|volts| pair("between", volts)));
    pairs
}
