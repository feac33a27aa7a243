//! What the code book asks: each described once, and values that can be.

use super::quantity::number;
use super::{Finding, Site, Spot};
use crate::fact::{ApplianceDescribed, Body, CodeAdopted, Fact};
use crate::limits::{self, Plausible};
use model::dwelling::UseKind;
use std::collections::BTreeMap;

/// The editions of the national electrical code that the code book holds.
const EDITIONS: [u16; 7] = [2008, 2011, 2014, 2017, 2020, 2023, 2026];

/// Name and key of the one thing that a fact describes.
pub(crate) fn thing(body: &Body) -> Option<(String, String)> {
    let named =
        |what: &str, name: &str| if name.is_empty() { what.to_owned() } else { format!("{what} \"{name}\"") };
    Some(match body {
        Body::Adoption(_) => ("the adopted code".to_owned(), "adoption".to_owned()),
        Body::Dwelling(body) => (named("the dwelling", &body.unit), format!("dwelling {}", body.unit)),
        Body::Appliance(body) => {
            (named("the appliance", &body.name), format!("appliance {}\n{}", body.unit, body.name))
        }
        Body::Demand(_) => ("the measured demand".to_owned(), "demand".to_owned()),
        Body::Site(_) => ("the site".to_owned(), "site".to_owned()),
        _ => return None,
    })
}

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    let mut known: BTreeMap<String, &Fact> = BTreeMap::new();
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
        let Some((what, key)) = thing(&fact.body) else { continue };
        let first = *known.entry(key).or_insert(fact);
        if first.body != fact.body {
            findings.push(super::site::twice(fact, first, &what, "let one of"));
        }
        match &fact.body {
            Body::Adoption(body) => adoption(fact, body, findings),
            Body::Appliance(body) => appliance(fact, body, findings),
            _ => {}
        }
        for (value, range, unit, field) in values(&fact.body) {
            let Some(value) = value else { continue };
            let hint = format!("from {} to {} {unit}", range.0, range.1);
            let spot = Spot::field(fact.id(), (field, 0));
            number(value, range, unit, &format!("`{field}`"), spot, hint.trim_end(), findings);
        }
    }
}

type Value = (Option<f64>, Plausible, &'static str, &'static str);

fn values(body: &Body) -> Vec<Value> {
    match body {
        Body::Dwelling(body) => {
            let mut all: Vec<Value> = vec![
                (body.floor_ft2, limits::FLOOR_FT2, "ft²", "floor_ft2"),
                (body.adaptable_ft2, limits::FLOOR_FT2, "ft²", "adaptable_ft2"),
                (body.adaptable_garage_ft2, limits::FLOOR_FT2, "ft²", "adaptable_garage_ft2"),
            ];
            all.extend(body.managed.iter().map(|one| (one.limit_a, limits::BUS_RATING_A, "A", "managed")));
            all
        }
        Body::Demand(body) => vec![
            (Some(body.least_kw), limits::DEMAND_KW, "kW", "least_kw"),
            // Not below the lower end.
            (Some(body.most_kw), (body.least_kw.max(0.0), limits::DEMAND_KW.1), "kW", "most_kw"),
            (body.power_factor, limits::POWER_FACTOR, "", "power_factor"),
        ],
        Body::Site(body) => vec![
            (body.service_a, limits::BUS_RATING_A, "A", "service_a"),
            (body.extension_ft, limits::EXTENSION_FT, "ft", "extension_ft"),
            (body.highest_handle_in, limits::HEIGHT_IN, "in", "highest_handle_in"),
            (body.space_depth_in, limits::HEIGHT_IN, "in", "space_depth_in"),
            (body.space_width_in, limits::HEIGHT_IN, "in", "space_width_in"),
            (body.space_height_in, limits::HEIGHT_IN, "in", "space_height_in"),
            (body.fault_a, limits::FAULT_A, "A", "fault_a"),
            (body.interrupting_a, limits::FAULT_A, "A", "interrupting_a"),
            (body.rod_spacing_ft, limits::EXTENSION_FT, "ft", "rod_spacing_ft"),
        ],
        Body::Adoption(body) => {
            let numbers = body.amendments.iter().map(|one| match one.to {
                crate::fact::AmendedAs::Number(number) => Some(number),
                _ => None,
            });
            numbers.map(|number| (number, limits::AMENDED, "", "amendments")).collect()
        }
        _ => Vec::new(),
    }
}

fn adoption(fact: &Fact, body: &CodeAdopted, findings: &mut Vec<Finding>) {
    let editions = body.editions.iter().enumerate().map(|(idx, one)| ("editions", idx, one.edition));
    let amended = body.amendments.iter().enumerate().map(|(idx, one)| ("amendments", idx, one.edition));
    for (field, idx, edition) in editions.chain(amended) {
        if !EDITIONS.contains(&edition) {
            findings.push(Finding::error(
                "unknown-word",
                Spot::field(fact.id(), (field, idx)),
                format!("{edition} is the year of no edition of the code"),
                "write 2008, 2011, 2014, 2017, 2020, 2023 or 2026",
            ));
        }
    }
    if body.editions.is_empty() {
        findings.push(Finding::error(
            "empty-text",
            Spot::whole(fact.id()),
            "the adoption names no edition",
            "add `[[adoption.edition]]` with `edition`, `from` and `document`",
        ));
    }
    for (idx, pair) in body.editions.windows(2).enumerate() {
        if pair[1].from <= pair[0].from || pair[1].edition <= pair[0].edition {
            findings.push(Finding::error(
                "key-does-not-fit",
                Spot::field(fact.id(), ("editions", idx + 1)),
                format!("edition {} does not follow edition {} in time", pair[1].edition, pair[0].edition),
                "name the editions in the order in which they came into force",
            ));
        }
    }
}

/// Keys that only some uses have.
fn appliance(fact: &Fact, body: &ApplianceDescribed, findings: &mut Vec<Finding>) {
    let what = body.what.0;
    for (given, fits, field, whose) in [
        (body.controls.is_some(), what == UseKind::Heat, "controls", "heat"),
        (body.supplement.is_some(), what == UseKind::HeatPump, "supplement", "heat-pump"),
        (body.together.is_some(), what == UseKind::HeatPump, "together", "heat-pump"),
    ] {
        if given && !fits {
            findings.push(Finding::error(
                "key-does-not-fit",
                Spot::field(fact.id(), (field, 0)),
                format!("`{field}` does not fit this appliance"),
                format!("only `what = \"{whose}\"` has it: leave it out"),
            ));
        }
    }
}
