//! A dwelling: its areas and circuits, for the load calculation.

use super::ask::Ask;
use super::premises::{line_pair, lines, replace_earlier, yes_no_word};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use record::Body;
use record::fact::{DwellingDescribed, ManagedDescribed};
use record::limits;

pub(super) const FORM: Form = Form {
    title: "The dwelling",
    lede: "Areas and circuits for the load calculation. Leave out what was not measured or counted: it is asked, never assumed.",
    show,
    read,
    pairs,
    series: None,
};

/// A dwelling below this is a slip of the decimal point, or square metres, ft².
const FLOOR_LEAST_FT2: f64 = 100.0;

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let area = |name: &'static str, label: &'static str, hint: &'static str| Keypad {
        name,
        label,
        unit: "ft²",
        hint,
        value: None,
        required: false,
    };
    html! {
        (sheet.number(&area("floor_ft2", "Floor area", "By the outside dimensions; without open porches, garages, unfinished space.")))
        (sheet.number(&area("adaptable_ft2", "Unfinished space that could become a room", "No garage. None: 0.")))
        (sheet.number(&area("adaptable_garage_ft2", "Garage that could become a room", "None: 0.")))
        (sheet.whole("small_appliance_circuits", "Small-appliance circuits", "20 A circuits at the counters of kitchen, pantry and dining.", None))
        (sheet.whole("laundry_circuits", "Laundry circuits", "No laundry of its own: 0.", None))
        details.more open[ask.values.text("unit").is_some() || ask.values.text("managed").is_some() || sheet.is_again()] {
            summary { "Two dwellings, managed loads" }
            (sheet.text("unit", "Which dwelling", "Only where the building has two: a name for each.", ""))
            (sheet.words("managed", "Loads held to a limit", "By a listed system, one group a line: name; limit in A; listed yes or no. What is not known: a question mark.", ""))
        }
        (moment(ask))
        (actions("Save the dwelling"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let count = (0, limits::CIRCUITS_MAX as u16);
    let mut managed = Vec::new();
    for parts in lines(taking, "managed", 3) {
        let limit_a = match parts[1].trim_end_matches('A').trim() {
            "?" => None,
            text => match text.parse::<f64>() {
                Ok(limit) if (limits::BUS_RATING_A.0..=limits::BUS_RATING_A.1).contains(&limit) => {
                    Some(limit)
                }
                _ => {
                    taking.wrong(
                        "managed",
                        format!("“{}” is no limit in A: write 40, or a question mark.", parts[1]),
                    );
                    None
                }
            },
        };
        let listed = match parts[2].as_str() {
            "yes" => Some(true),
            "no" => Some(false),
            "?" => None,
            other => {
                taking.wrong("managed", format!("“{other}” is neither yes nor no nor a question mark."));
                None
            }
        };
        managed.push(ManagedDescribed { name: parts[0].clone(), limit_a, listed });
    }
    let floor_ft2 = taking.may_number("floor_ft2", limits::FLOOR_FT2, "ft²");
    if let Some(floor) = floor_ft2.filter(|floor| *floor < FLOOR_LEAST_FT2) {
        taking.wrong(
            "floor_ft2",
            format!("{floor} ft² is no dwelling: write {FLOOR_LEAST_FT2} ft² or more, as in 1650. One square metre is 10.8 ft²."),
        );
    }
    let described = DwellingDescribed {
        unit: taking.name("unit").unwrap_or_default(),
        floor_ft2,
        adaptable_ft2: taking.may_number("adaptable_ft2", limits::FLOOR_FT2, "ft²"),
        adaptable_garage_ft2: taking.may_number("adaptable_garage_ft2", limits::FLOOR_FT2, "ft²"),
        small_appliance_circuits: taking.reader.whole("small_appliance_circuits", count).map(u32::from),
        laundry_circuits: taking.reader.whole("laundry_circuits", count).map(u32::from),
        managed,
    };
    let unit = described.unit.clone();
    replace_earlier(taking, |body| matches!(body, Body::Dwelling(known) if known.unit == unit));
    vec![described.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Dwelling(body) = body else { return Vec::new() };
    // Never empty, so that a dwelling of which nothing is known can be corrected too.
    let mut pairs = vec![pair("unit", &body.unit)];
    pairs.extend(body.floor_ft2.map(|value| pair("floor_ft2", value)));
    pairs.extend(body.adaptable_ft2.map(|value| pair("adaptable_ft2", value)));
    pairs.extend(body.adaptable_garage_ft2.map(|value| pair("adaptable_garage_ft2", value)));
    pairs.extend(body.small_appliance_circuits.map(|value| pair("small_appliance_circuits", value)));
    pairs.extend(body.laundry_circuits.map(|value| pair("laundry_circuits", value)));
    let managed = body.managed.iter().map(|one| {
        let limit = one.limit_a.map_or("?".to_owned(), |limit| limit.to_string());
        format!("{}; {limit}; {}", one.name, yes_no_word(one.listed))
    });
    pairs.extend(line_pair("managed", managed));
    pairs
}
