//! A breaker, in full.

use super::ask::Ask;
use super::standing::Standing;
use super::taking::Taking;
use super::wire::{self, Names};
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::breaker::{Attachment, Handle, LoadClass, Protection};
use model::{FactId, PanelId, Slot, Space};
use record::fact::{BreakerDescribed, CircuitDescribed};
use record::text::{AsText, Textual};
use record::{Body, Fact};

pub(super) const FORM: Form = Form {
    title: "Breaker",
    lede: "What is marked on the handle and what it feeds. Leave out what was not looked at.",
    show,
    read,
    pairs,
    series: None,
};

static WIRE: Names = Names {
    size: "size",
    metal: "metal",
    insulation: "insulation",
    free: "free",
    free_unit: "free-unit",
    entry: "enters",
};

/// Most poles that a breaker can have.
const POLES_MAX: usize = 3;

/// Classes of load for people.
const CLASSES: [(&str, &str, &str); 13] = [
    ("", "Not known", ""),
    ("general", "Lights, receptacles", ""),
    ("small-appliance", "Small appliances", "kitchen, laundry, bath"),
    ("dryer", "Dryer", ""),
    ("cooking", "Cooking", ""),
    ("water-heater", "Water heater", ""),
    ("cooling", "Cooling", "or heat pump"),
    ("space-heat", "Space heat", ""),
    ("vehicle", "Vehicle", ""),
    ("motor", "Motor", "pump, fan, furnace"),
    ("feeder", "Feeder", "a section or sub-panel"),
    ("source", "A source", "generator, solar, battery"),
    ("spare", "Spare", "nothing on it"),
];

/// The facts that describe a breaker with a pole in one of these spaces.
fn described<'a>(standing: &Standing<'a>, panel: &PanelId, spaces: &[Space]) -> Vec<&'a Fact> {
    let at = |body: &BreakerDescribed| {
        body.panel.0 == *panel
            && body.spaces.iter().any(|mine| spaces.iter().any(|space| mine.0.overlaps(*space)))
    };
    let all = standing.live.iter().filter(|fact| matches!(&fact.body, Body::Breaker(body) if at(body)));
    all.copied().collect()
}

/// The fields of the breaker that a space holds, for its form.
pub(super) fn at(standing: &Standing<'_>, slot: &Slot) -> Pairs {
    match described(standing, &slot.panel, &[slot.space]).last() {
        Some(fact) => {
            let mut pairs = pairs(&fact.body);
            pairs.push(pair("supersedes", fact.id()));
            pairs
        }
        None => vec![pair("panel", &slot.panel), pair("spaces", slot.space)],
    }
}

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let panels: Vec<(String, String)> = ask
        .installation()
        .map(|installation| installation.panels.as_slice())
        .unwrap_or_default()
        .iter()
        .map(|panel| (panel.id.to_string(), format!("Panel {}", panel.id)))
        .collect();
    let first = panels.first().map(|(id, _)| id.clone()).unwrap_or_default();
    html! {
        @if panels.len() == 1 { input type="hidden" name="panel" value=(first); }
        @else { (sheet.select("panel", "Panel", "", &[(String::new(), panels)], &first)) }
        (sheet.text("spaces", "Spaces of its poles", "First pole first, for example 15, or 1, 3 for two poles. Halves of a space: 5a, 5b.", ""))
        (sheet.number(&Keypad { name: "rating_a", label: "Rating on the handle", unit: "A", hint: "", value: None, required: true }))
        @if ask.sheet.is_wrong("rating_a") || sheet.value("rating_sure", "") == "yes" { (sheet.rating_sure("rating_sure", false)) }
        @else { details.more { summary { "An unusual rating" } (sheet.rating_sure("rating_sure", false)) } }
        (sheet.text("feeds", "Feeds", "The rooms and loads, not the people: kitchen receptacles, east.", ""))
        (sheet.pick("class", "Kind of load", "", &CLASSES, ""))
        (sheet.pick("handle", "Handle when first seen", "A claim, never a proof.", &[("on", "On", ""), ("off", "Off", ""), ("tripped", "Tripped", "")], "on"))
        (sheet.yes_no("other_make", "Of another make than the panel’s list names", "Not known: nobody has read the list. The make itself is not written down.", None))
        (sheet.yes_no("later", "Put in later than the panel", "", None))
        details.more open[ask.sheet.is_again()] {
            summary { "Kind of breaker" }
            (sheet.pick("protection", "Opens by", "", &[
                ("thermal-magnetic", "Heat and magnet", "the plain breaker"),
                ("arc-fault", "Arc fault", "too"),
                ("ground-fault", "Ground fault", "too"),
                ("arc-and-ground-fault", "Both", "arc and ground fault"),
                ("switch-only", "A switch only", "no trip"),
            ], "thermal-magnetic"))
            (sheet.pick("attachment", "On the bus by", "", &[("plug-on", "A clip", "pushed on a stab"), ("bolt-on", "A bolt", "")], "plug-on"))
        }
        details.more open[["size", "metal", "partner", "uses_neutral", "doubled"].iter().any(|name| ask.values.text(name).is_some_and(|text| text != "unknown"))] {
            summary { "Wire and neutral" }
            (wire::show(ask, &WIRE, true))
            (sheet.text("partner", "Shares its neutral with space", "Multiwire circuit: the space of the other pole.", ""))
            (sheet.yes_no("uses_neutral", "Uses the neutral", "", None))
            (sheet.yes_no("doubled", "More than one wire under the terminal", "", None))
        }
        (moment(ask))
        (actions("Save breaker"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let panel = taking.may::<PanelId>("panel").or_else(|| taking.home());
    let spaces = taking.several::<Space>("spaces");
    if taking.text("rating_a").is_none() {
        taking.wrong("rating_a", "Type the rating on the handle.");
    }
    let rating_a = taking.reader.rating("rating_a", "rating_sure");
    let protection = taking.may::<Protection>("protection").unwrap_or(Protection::ThermalMagnetic);
    let attachment = taking.may::<Attachment>("attachment").unwrap_or(Attachment::PlugOn);
    let handle = taking.may::<Handle>("handle").unwrap_or(Handle::On);
    let (other_make, later) = (taking.reader.yes_no("other_make"), taking.reader.yes_no("later"));
    let circuit = CircuitDescribed {
        feeds: taking.words("feeds"),
        class: taking.may::<LoadClass>("class").map(AsText),
        conductor: wire::read(taking, &WIRE),
        partner: taking.may::<Space>("partner").map(AsText),
        uses_neutral: taking.reader.yes_no("uses_neutral"),
        doubled: taking.reader.yes_no("doubled"),
    };
    if taking.text("spaces").is_none() {
        taking.wrong("spaces", "Write the space of its first pole, and of the others if it has more.");
    } else if POLES_MAX < spaces.len() {
        taking.wrong("spaces", "A breaker has at most three poles.");
    }
    if panel.is_none() {
        taking.wrong("panel", "Describe the panel first, or choose one.");
    }
    let (Some(panel), Some(rating_a), Some(&first)) = (panel, rating_a, spaces.first()) else {
        return Vec::new();
    };
    // What was said of a breaker in these spaces before no longer holds.
    let earlier: Vec<FactId> =
        described(&taking.standing, &panel, &spaces).into_iter().map(|fact| fact.id().clone()).collect();
    for id in earlier {
        if !taking.supersedes.contains(&id) && taking.view.is_known_to(taking.reader.fields(), &id) {
            taking.supersedes.push(id);
        }
    }
    taking.about = Some(Slot::new(panel.clone(), first));
    let described = BreakerDescribed {
        panel: AsText(panel),
        spaces: spaces.into_iter().map(AsText).collect(),
        rating_a,
        protection: AsText(protection),
        attachment: AsText(attachment),
        other_make,
        later,
        handle: AsText(handle),
        circuit: (circuit != CircuitDescribed::default()).then_some(circuit),
    };
    vec![Box::new(described).into()]
}

fn yes_no(name: &str, value: Option<bool>) -> (String, String) {
    pair(
        name,
        match value {
            Some(true) => "yes",
            Some(false) => "no",
            None => "unknown",
        },
    )
}

fn pairs(body: &Body) -> Pairs {
    let Body::Breaker(body) = body else { return Vec::new() };
    let spaces: Vec<String> = body.spaces.iter().map(|space| space.0.to_string()).collect();
    let mut pairs = vec![
        pair("panel", &body.panel.0),
        pair("spaces", spaces.join(", ")),
        pair("rating_a", body.rating_a),
        pair("protection", body.protection.0.write()),
        pair("attachment", body.attachment.0.write()),
        pair("handle", body.handle.0.write()),
        yes_no("other_make", body.other_make),
        yes_no("later", body.later),
    ];
    if record::nearest_rating(body.rating_a).is_some() {
        pairs.push(pair("rating_sure", "yes"));
    }
    if let Some(circuit) = &body.circuit {
        pairs.push(pair("feeds", &circuit.feeds));
        pairs.extend(circuit.class.map(|class| pair("class", class.0.write())));
        pairs.extend(wire::pairs(&circuit.conductor, &WIRE));
        pairs.extend(circuit.partner.map(|partner| pair("partner", partner.0)));
        pairs.push(yes_no("uses_neutral", circuit.uses_neutral));
        pairs.push(yes_no("doubled", circuit.doubled));
    }
    pairs
}
