//! An appliance with its nameplate, for the load calculation.

use super::ask::Ask;
use super::premises::{replace_earlier, yes_no_word};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::fields::quoted;
use maud::{Markup, html};
use model::dwelling::{Rating, Status, UseKind, Wires};
use record::Body;
use record::fact::ApplianceDescribed;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "An appliance",
    lede: "One at a time, by its nameplate. What is not known is asked, never assumed.",
    show,
    read,
    pairs,
    series: None,
};

/// What an appliance may be, in words.
const USES: [(&str, &str, &str); 12] = [
    ("range", "Range", "cooktop and oven in one"),
    ("oven", "Wall oven", ""),
    ("cooktop", "Cooktop", ""),
    ("dryer", "Dryer", "on its own circuit"),
    ("appliance", "Other, fixed", "water heater, dishwasher, disposer, on its own circuit"),
    ("motor", "Motor", "no part of an appliance"),
    ("cooling", "Cooling", "air conditioner"),
    ("heat-pump", "Heat pump", "by its compressor"),
    ("heat", "Electric heat", "furnace, baseboards"),
    ("storage-heat", "Storage heat", "runs at full load"),
    ("blower", "Blower", "of a furnace or air handler"),
    ("vehicle", "Vehicle supply", ""),
];

const PLATE: &str = "As printed: 4500 W, 12 kW, 19 A at 240 V, 1/2 hp at 115 V.";
const PLATES: [&str; 6] = ["4500 W", "5 kW", "12 kW", "1200 W", "19 A at 240 V", "32 A at 240 V"];

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let more = ["motor", "controls", "supplement", "together", "managed", "unit"];
    let is_open = more.iter().any(|name| ask.values.text(name).is_some_and(|value| value != "unknown"));
    html! {
        (sheet.pick("what", "What it is", "", &USES, ""))
        (sheet.text("name", "What you call it", "As on the directory or the plate; another with this name replaces it.", ""))
        (sheet.text_among("rating", "Nameplate", PLATE, "", &PLATES))
        (sheet.pick_list("wires", "How it is connected", "", &[
            ("", "Not known", ""),
            ("leg-to-neutral", "120 V", "one leg and neutral"),
            ("leg-to-leg", "240 V without neutral", "208 V on two legs of a wye"),
            ("both", "Both legs and the neutral", ""),
        ], ""))
        (sheet.pick("status", "It is", "", &[("existing", "There", ""), ("added", "To be added", ""), ("removed", "To go", "")], "existing"))
        details.more open[is_open || sheet.is_again()] {
            summary { "Heat, heat pump, motor, managed, second dwelling" }
            (sheet.whole("controls", "Separate controls", "Of electric heat. A central furnace is one.", None))
            (sheet.text("supplement", "Supplemental heat", "Of a heat pump. None: 0 W.", ""))
            (sheet.yes_no("together", "Do compressor and supplement run together?", "", None))
            (sheet.text("motor", "The part that is one motor", "As a nameplate, where it is known.", ""))
            (sheet.text("managed", "Group of managed loads", "By its name in the dwelling.", ""))
            (sheet.text("unit", "Which dwelling", "Only where the building has two.", ""))
        }
        (moment(ask))
        (actions("Save the appliance"))
    }
}

/// A nameplate as people type it, with a decimal comma too.
fn plate(taking: &mut Taking<'_>, field: &str) -> Option<AsText<Rating>> {
    let text = taking.text(field)?;
    let digits = |rest: &str| rest.chars().take_while(char::is_ascii_digit).count();
    if let Some((whole, rest)) = text.split_once(',')
        && digits(rest) == 3
    {
        taking.wrong(
            field,
            format!("“{text}” can be read in two ways: write {whole}{rest} or {whole}.{rest}."),
        );
        return None;
    }
    match Rating::read(&text.replace(',', "."), None) {
        Ok(rating) => Some(AsText(rating)),
        Err(error) => {
            taking.wrong(field, quoted(&format!("“{text}” is not {}: {}.", Rating::WHAT, error.hint())));
            None
        }
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let what = taking.need::<UseKind>("what", "Choose what it is.");
    let name = taking.name("name");
    let Some(what) = what else { return Vec::new() };
    // Left empty it is called by what it is.
    let words =
        USES.iter().find(|(word, ..)| *word == what.write()).map(|(_, words, _)| words.to_lowercase());
    let name = name.or(words).unwrap_or_default();
    let (heat, pump) = (what == UseKind::Heat, what == UseKind::HeatPump);
    let controls = taking.reader.whole("controls", (1, 100)).map(u32::from);
    let supplement = plate(taking, "supplement");
    let together = taking.reader.yes_no("together");
    if controls.is_some() && !heat {
        taking.wrong("controls", "Only electric heat has separate controls: leave it empty.");
    }
    if supplement.is_some() && !pump {
        taking.wrong("supplement", "Only a heat pump has supplemental heat: leave it empty.");
    }
    if together.is_some() && !pump {
        taking.wrong("together", "This is asked of heat pumps only: choose “not known”.");
    }
    let described = ApplianceDescribed {
        name,
        unit: taking.name("unit").unwrap_or_default(),
        what: AsText(what),
        rating: plate(taking, "rating"),
        wires: taking.may::<Wires>("wires").map(AsText),
        motor: plate(taking, "motor"),
        controls,
        supplement,
        together,
        status: AsText(taking.may::<Status>("status").unwrap_or_default()),
        managed: taking.name("managed"),
    };
    let (unit, name) = (described.unit.clone(), described.name.clone());
    replace_earlier(
        taking,
        |body| matches!(body, Body::Appliance(known) if known.unit == unit && known.name == name),
    );
    vec![described.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Appliance(body) = body else { return Vec::new() };
    let mut pairs = vec![
        pair("what", body.what.0.write()),
        pair("name", &body.name),
        pair("unit", &body.unit),
        pair("status", body.status.0.write()),
        pair("wires", body.wires.map(|wires| wires.0.write()).unwrap_or_default()),
    ];
    pairs.extend(body.rating.as_ref().map(|rating| pair("rating", rating.0.write())));
    pairs.extend(body.motor.as_ref().map(|motor| pair("motor", motor.0.write())));
    pairs.extend(body.controls.map(|controls| pair("controls", controls)));
    pairs.extend(body.supplement.as_ref().map(|supplement| pair("supplement", supplement.0.write())));
    pairs.extend(body.together.map(|together| pair("together", yes_no_word(Some(together)))));
    pairs.extend(body.managed.as_ref().map(|managed| pair("managed", managed)));
    pairs
}
