//! Place of the panel, planned work, electrodes: what the code asks about.

use super::ask::Ask;
use super::premises::{line_pair, lines, replace_earlier, yes_no_word};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::conductor::Metal;
use model::site::{Area, Outdoor, PlannedWork, ThreeWireNeutral};
use record::Body;
use record::fact::{CircuitPlanned, SiteSeen, ThreeWireFound};
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Site and planned work",
    lede: "What the code asks about. Leave out what was not looked at: it is asked where it matters.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let pad = |name: &'static str, label: &'static str, unit: &'static str, hint: &'static str| Keypad {
        name,
        label,
        unit,
        hint,
        value: None,
        required: false,
    };
    let yes_no = |name: &'static str, label: &'static str| sheet.yes_no(name, label, "", None);
    html! {
        (sheet.pick_list("work", "Planned", "", &[
            ("", "Not said", ""),
            ("none", "Nothing yet", "what does the code say of the panel as it is?"),
            ("replace-in-place", "New panel in the same place", ""),
            ("relocate", "New panel in another place", ""),
            ("interior", "New interior in the old cabinet", ""),
            ("meter-or-entrance", "Meter socket or service conductors only", ""),
        ], ""))
        (sheet.number(&pad("service_a", "Rating of the service after the work", "A", "")))
        (sheet.whole("dwellings", "Dwellings in the building", "", None))
        (sheet.pick_list("outdoor", "Outdoors after the work", "", &[
            ("", "Not known", ""),
            ("nothing", "No disconnect", ""),
            ("emergency", "Emergency or meter disconnect", "ahead of the service disconnect"),
            ("service-disconnect", "The service disconnect itself", "the panel indoors becomes a sub-panel"),
        ], ""))
        (sheet.whole("disconnects", "Hand movements that open the whole service", "After the work.", None))
        (yes_no("in_one_enclosure", "Are they in one enclosure?"))
        (yes_no("surge", "Surge device at the service after the work?"))
        details.more open { summary { "Place and working space" }
            (yes_no("in_bathroom", "In a bathroom?"))
            (yes_no("in_closet", "In a clothes closet?"))
            (yes_no("over_stairs", "Over steps?"))
            (sheet.number(&pad("highest_handle_in", "Highest handle above the floor", "in", "To its centre.")))
            (sheet.number(&pad("space_depth_in", "Clear space, depth", "in", "")))
            (sheet.number(&pad("space_width_in", "Clear space, width", "in", "")))
            (sheet.number(&pad("space_height_in", "Clear space, height", "in", "")))
        }
        details.more open { summary { "Panel" }
            (yes_no("directory", "Every circuit described in the directory?"))
            (yes_no("openings", "Unused openings?"))
            (sheet.whole("neutrals_at_terminal", "Most neutrals under one terminal", "Looked at by a qualified person.", None))
            (yes_no("interior_evaluated", "New interior evaluated with this cabinet?"))
            (sheet.number(&pad("fault_a", "Fault current by the utility", "A", "As it told it.")))
            (sheet.number(&pad("interrupting_a", "Interrupting rating of the main", "A", "As marked: 10 kA is 10000.")))
        }
        details.more open { summary { "Electrodes" }
            (yes_no("water_pipe", "Metal water pipe, 10 ft or more in earth?"))
            (yes_no("other_electrode", "Another electrode, for example in concrete?"))
            (sheet.whole("rods", "Ground rods", "", None))
            (sheet.number(&pad("rod_spacing_ft", "Distance of two rods", "ft", "")))
            (yes_no("intersystem", "Bonding termination for other systems?"))
        }
        details.more open { summary { "Circuits" }
            (sheet.number(&pad("extension_ft", "Longest new piece of circuit", "ft", "Outside enclosures.")))
            (yes_no("adds_outlets", "Outlets or devices added?"))
            (sheet.words("new_circuits", "Circuits that are added", "One a line: name; amperes; area or ?; 120 or 240; receptacles or equipment. Areas: living, kitchen-counter, kitchen, laundry, bathroom, garage, unfinished-basement, finished-basement, outdoors, cooking-or-dryer, other.", ""))
            (sheet.words("three_wire", "Range and dryer circuits without equipment ground", "One a line: name; insulated, bare-in-service-cable, bare or ?; copper, aluminium or ?", ""))
        }
        (moment(ask))
        (actions("Save the site"))
    }
}

/// A word that may be a question mark. `None` in the outer place: told of.
fn word<T: Textual>(taking: &mut Taking<'_>, field: &str, text: &str) -> Option<Option<AsText<T>>> {
    if text == "?" {
        return Some(None);
    }
    match T::read(text, None) {
        Ok(thing) => Some(Some(AsText(thing))),
        Err(error) => {
            taking.wrong(field, format!("“{text}” is not {}: {}.", T::WHAT, error.hint()));
            None
        }
    }
}

fn new_circuit(taking: &mut Taking<'_>, parts: &[String]) -> Option<CircuitPlanned> {
    let amps =
        parts[1].trim_end_matches('A').trim().parse::<u32>().ok().filter(|amps| (10..=200).contains(amps));
    if amps.is_none() {
        taking.wrong("new_circuits", format!("“{}” is no rating: 10 to 200 A.", parts[1]));
    }
    let area = word::<Area>(taking, "new_circuits", &parts[2]);
    let is_120_v = match parts[3].trim_end_matches('V').trim() {
        "120" => true,
        "240" | "208" => false,
        other => {
            taking.wrong("new_circuits", format!("“{other}” is neither 120 nor 240."));
            return None;
        }
    };
    let receptacles = match parts[4].as_str() {
        "receptacles" => true,
        "equipment" => false,
        other => {
            taking.wrong("new_circuits", format!("“{other}” is neither receptacles nor equipment."));
            return None;
        }
    };
    Some(CircuitPlanned { name: parts[0].clone(), area: area?, amps: amps?, is_120_v, receptacles })
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let mut new_circuits = Vec::new();
    for parts in lines(taking, "new_circuits", 5) {
        new_circuits.extend(new_circuit(taking, &parts));
    }
    let mut three_wire = Vec::new();
    for parts in lines(taking, "three_wire", 3) {
        let neutral = word::<ThreeWireNeutral>(taking, "three_wire", &parts[1]);
        let metal = word::<Metal>(taking, "three_wire", &parts[2]);
        if let (Some(neutral), Some(metal)) = (neutral, metal) {
            three_wire.push(ThreeWireFound { name: parts[0].clone(), neutral, metal });
        }
    }
    let whole =
        |taking: &mut Taking<'_>, field: &str, range| taking.reader.whole(field, range).map(u32::from);
    let inches = limits::HEIGHT_IN;
    let seen = SiteSeen {
        work: taking.may::<PlannedWork>("work").map(AsText),
        outdoor: taking.may::<Outdoor>("outdoor").map(AsText),
        dwellings: whole(taking, "dwellings", (1, 1000)),
        disconnects: whole(taking, "disconnects", (1, 100)),
        neutrals_at_terminal: whole(taking, "neutrals_at_terminal", (0, 20)),
        rods: whole(taking, "rods", (0, 20)),
        service_a: taking.may_number("service_a", limits::BUS_RATING_A, "A"),
        extension_ft: taking.may_number("extension_ft", limits::EXTENSION_FT, "ft"),
        highest_handle_in: taking.may_number("highest_handle_in", inches, "in"),
        space_depth_in: taking.may_number("space_depth_in", inches, "in"),
        space_width_in: taking.may_number("space_width_in", inches, "in"),
        space_height_in: taking.may_number("space_height_in", inches, "in"),
        fault_a: taking.may_number("fault_a", limits::FAULT_A, "A"),
        interrupting_a: taking.may_number("interrupting_a", limits::FAULT_A, "A"),
        rod_spacing_ft: taking.may_number("rod_spacing_ft", limits::EXTENSION_FT, "ft"),
        in_one_enclosure: taking.reader.yes_no("in_one_enclosure"),
        surge: taking.reader.yes_no("surge"),
        adds_outlets: taking.reader.yes_no("adds_outlets"),
        in_bathroom: taking.reader.yes_no("in_bathroom"),
        in_closet: taking.reader.yes_no("in_closet"),
        over_stairs: taking.reader.yes_no("over_stairs"),
        directory: taking.reader.yes_no("directory"),
        openings: taking.reader.yes_no("openings"),
        interior_evaluated: taking.reader.yes_no("interior_evaluated"),
        water_pipe: taking.reader.yes_no("water_pipe"),
        other_electrode: taking.reader.yes_no("other_electrode"),
        intersystem: taking.reader.yes_no("intersystem"),
        new_circuits,
        three_wire,
    };
    replace_earlier(taking, |body| matches!(body, Body::Site(_)));
    vec![Box::new(seen).into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Site(body) = body else { return Vec::new() };
    // Never empty, so that a site of which nothing is known can be corrected too.
    let mut pairs = vec![pair("outdoor", body.outdoor.map(|outdoor| outdoor.0.write()).unwrap_or_default())];
    pairs.extend(body.work.map(|work| pair("work", work.0.write())));
    let counts = [
        ("dwellings", body.dwellings),
        ("disconnects", body.disconnects),
        ("neutrals_at_terminal", body.neutrals_at_terminal),
        ("rods", body.rods),
    ];
    pairs.extend(counts.into_iter().filter_map(|(name, value)| Some(pair(name, value?))));
    let numbers = [
        ("service_a", body.service_a),
        ("extension_ft", body.extension_ft),
        ("highest_handle_in", body.highest_handle_in),
        ("space_depth_in", body.space_depth_in),
        ("space_width_in", body.space_width_in),
        ("space_height_in", body.space_height_in),
        ("fault_a", body.fault_a),
        ("interrupting_a", body.interrupting_a),
        ("rod_spacing_ft", body.rod_spacing_ft),
    ];
    pairs.extend(numbers.into_iter().filter_map(|(name, value)| Some(pair(name, value?))));
    let flags = [
        ("in_one_enclosure", body.in_one_enclosure),
        ("surge", body.surge),
        ("adds_outlets", body.adds_outlets),
        ("in_bathroom", body.in_bathroom),
        ("in_closet", body.in_closet),
        ("over_stairs", body.over_stairs),
        ("directory", body.directory),
        ("openings", body.openings),
        ("interior_evaluated", body.interior_evaluated),
        ("water_pipe", body.water_pipe),
        ("other_electrode", body.other_electrode),
        ("intersystem", body.intersystem),
    ];
    pairs.extend(flags.into_iter().filter_map(|(name, value)| Some(pair(name, yes_no_word(Some(value?))))));
    let new_circuits = body.new_circuits.iter().map(|one| {
        let area = one.area.map_or("?".to_owned(), |area| area.0.write());
        let volts = if one.is_120_v { "120" } else { "240" };
        let ends = if one.receptacles { "receptacles" } else { "equipment" };
        format!("{}; {}; {area}; {volts}; {ends}", one.name, one.amps)
    });
    pairs.extend(line_pair("new_circuits", new_circuits));
    let three_wire = body.three_wire.iter().map(|one| {
        let neutral = one.neutral.map_or("?".to_owned(), |neutral| neutral.0.write());
        let metal = one.metal.map_or("?".to_owned(), |metal| metal.0.write());
        format!("{}; {neutral}; {metal}", one.name)
    });
    pairs.extend(line_pair("three_wire", three_wire));
    pairs
}
