//! What several methods share: the dwelling made known, its floor area, its circuits, managed groups.

use super::blocked::{BadInput, Blocked, Question};
use super::dwelling::{Dwelling, Group, Item, Known, Load, Status, Wires, load};
use super::print;
use super::readings::{GarageReading, Readings};
use super::sheet::{Draft, input, ruled, working};
use crate::law::Law;
use crate::rule;
use model::System;
use std::collections::BTreeMap;

/// Everything the methods need, or all questions and mistakes at once.
pub(crate) fn know(law: &Law<'_>, dwelling: &Dwelling, readings: &Readings) -> Result<Known, Blocked> {
    let (mut questions, mut bad) = (vec![], vec![]);
    if dwelling.system == System::ThreePhaseWye {
        bad.push(BadInput::System { system: dwelling.system.label().to_owned() });
    }
    let floor_ft2 = area(law, dwelling, readings, &mut questions, &mut bad)?;
    let small_appliance = circuits(
        dwelling.small_appliance_circuits,
        "small-appliance circuits",
        "How many 20 A circuits serve the counters of kitchen, pantry and dining?",
        &mut questions,
        &mut bad,
    );
    let laundry = circuits(
        dwelling.laundry_circuits,
        "laundry circuits",
        "How many laundry circuits are there? 0 if the dwelling has no laundry of its own.",
        &mut questions,
        &mut bad,
    );
    let mut loads = vec![];
    let mut groups: BTreeMap<String, Vec<Load>> = BTreeMap::new();
    let managed_rule = law.maybe_word(rule::MANAGED_LOAD)?;
    for item in dwelling.items.iter().filter(|item| item.status != Status::Removed) {
        let known = load(item, law, &mut questions, &mut bad);
        let group = item.managed.as_ref().filter(|_| managed_rule.is_some());
        if let Some(group) = group
            && !dwelling.managed.iter().any(|managed| managed.name == *group)
        {
            bad.push(BadInput::Group { subject: item.name.clone(), group: group.clone() });
        }
        match (known, group) {
            (Some(known), Some(group)) => groups.entry(group.clone()).or_default().push(known),
            (Some(known), None) => loads.push(known),
            (None, _) => {}
        }
    }
    let mut managed = vec![];
    for group in dwelling.managed.iter().filter(|_| managed_rule.is_some()) {
        if group.listed.is_none() {
            questions.push(Question::new(
                &group.name,
                "Is the energy management system listed for this use?",
                "only then may its set point stand for the loads",
            ));
        }
        match group.limit_a {
            None => questions.push(Question::new(
                &group.name,
                "What is its largest set point, in amperes?",
                "the set point stands for the loads",
            )),
            Some(limit_a) => {
                range(&group.name, limit_a, "A", (1.0, 400.0), &mut bad);
                let members = groups.remove(&group.name).unwrap_or_default();
                if group.listed == Some(true) {
                    managed.push(Group { name: group.name.clone(), limit_a, members });
                } else {
                    loads.extend(members);
                }
            }
        }
    }
    // The order of entry must not show in any sum or choice.
    loads.sort_by(|a, b| a.va.total_cmp(&b.va).reverse().then_with(|| a.name.cmp(&b.name)));
    if !bad.is_empty() {
        return Err(Blocked::Input(bad));
    }
    match (floor_ft2, small_appliance, laundry) {
        (Some(floor_ft2), Some(small_appliance), Some(laundry)) if questions.is_empty() => Ok(Known {
            system: dwelling.system,
            floor_ft2,
            small_appliance,
            laundry,
            loads,
            groups: managed,
            n_units: 1,
        }),
        _ => Err(Blocked::Ask(questions)),
    }
}

fn range(subject: &str, value: f64, unit: &'static str, (least, most): (f64, f64), bad: &mut Vec<BadInput>) {
    if !(least..=most).contains(&value) {
        bad.push(BadInput::Range { subject: subject.to_owned(), value, unit, least, most });
    }
}

fn area(
    law: &Law<'_>,
    dwelling: &Dwelling,
    readings: &Readings,
    questions: &mut Vec<Question>,
    bad: &mut Vec<BadInput>,
) -> Result<Option<f64>, Blocked> {
    let garage = law.word(rule::AREA_GARAGE)?.value == "counted-if-adaptable"
        && readings.garage == GarageReading::Counted;
    let parts = [
        (
            dwelling.floor_ft2,
            "floor area",
            "What is the floor area by the outside dimensions, without open porches?",
            true,
        ),
        (
            dwelling.adaptable_ft2,
            "unfinished space",
            "How much unfinished space could become habitable? 0 if none.",
            true,
        ),
        (
            dwelling.adaptable_garage_ft2,
            "garage",
            "How much garage could become habitable? 0 if none.",
            garage,
        ),
    ];
    let mut sum = Some(0.0);
    for (value, subject, ask, counts) in parts {
        if !counts {
            continue;
        }
        match value {
            Some(value) => {
                range(subject, value, "ft²", (0.0, 50_000.0), bad);
                sum = sum.map(|sum| sum + value);
            }
            None => {
                questions.push(Question::new(subject, ask, "the lighting load is counted by the floor area"));
                sum = None;
            }
        }
    }
    Ok(sum)
}

fn circuits(
    count: Option<u32>,
    subject: &str,
    ask: &str,
    questions: &mut Vec<Question>,
    bad: &mut Vec<BadInput>,
) -> Option<u32> {
    match count {
        Some(count) => range(subject, f64::from(count), "circuits", (0.0, 40.0), bad),
        None => questions.push(Question::new(subject, ask, "each counts with a fixed load")),
    }
    count
}

/// Lighting and the circuits before any demand factor.
pub(crate) struct General {
    pub(crate) lighting_va: f64,
    pub(crate) small_va: f64,
    pub(crate) laundry_va: f64,
    pub(crate) inputs: Vec<model::working::Input>,
}

impl General {
    pub(crate) fn va(&self) -> f64 {
        self.lighting_va + self.small_va + self.laundry_va
    }
}

/// Lighting by area, small-appliance and laundry circuits.
pub(crate) fn general(law: &Law<'_>, known: &Known, draft: &mut Draft) -> Result<General, Blocked> {
    let unit = law.number(rule::LIGHTING_UNIT_LOAD)?;
    let small = law.number(rule::SMALL_APPLIANCE_LOAD)?;
    let small_least = law.number(rule::SMALL_APPLIANCE_LEAST)?;
    let laundry = law.number(rule::LAUNDRY_LOAD)?;
    let least = small_least.value * f64::from(known.n_units);
    let mut n_small = f64::from(known.small_appliance);
    if n_small < least {
        draft.note(
            "small-appliance circuits",
            format!("{n_small} are there; the code asks for at least {least}, and that number is counted"),
            Some(small_least.cite()),
        );
        n_small = least;
    }
    if known.laundry == 0 {
        let laundry_least = law.number(rule::LAUNDRY_LEAST)?;
        draft.note(
            "laundry circuits",
            "none is counted; that holds only where the dwelling has no laundry of its own",
            Some(laundry_least.cite()),
        );
    }
    let inputs = vec![
        input(
            "A",
            "floor area that counts",
            format!("{} ft²", print::thousands(known.floor_ft2)),
            "measured",
        ),
        ruled("q", "load of lighting and receptacles", format!("{} VA/ft²", unit.value), &unit),
        ruled("n_s", "small-appliance circuits", format!("{n_small} at {}", print::va(small.value)), &small),
        ruled(
            "n_l",
            "laundry circuits",
            format!("{} at {}", known.laundry, print::va(laundry.value)),
            &laundry,
        ),
    ];
    Ok(General {
        lighting_va: known.floor_ft2 * unit.value,
        small_va: n_small * small.value,
        laundry_va: f64::from(known.laundry) * laundry.value,
        inputs,
    })
}

/// Managed groups, each at its limit as a continuous load; a line each. Returns what of it is on the neutral.
pub(crate) fn managed(law: &Law<'_>, known: &Known, draft: &mut Draft) -> Result<f64, Blocked> {
    let mut neutral_va = 0.0;
    for group in &known.groups {
        let percent = law.number(rule::MANAGED_PERCENT)?;
        let volts = known.system.leg_to_leg_v();
        let va = group.limit_a * volts * percent.value / 100.0;
        let names: Vec<&str> = group.members.iter().map(|load| load.name.as_str()).collect();
        let on_neutral = print::sum(
            group.members.iter().filter(|load| load.wires != Wires::LineToLine).map(|load| load.va),
        );
        neutral_va += if on_neutral < va { on_neutral } else { va };
        draft.line(
            &format!("managed loads: {}", group.name),
            0.0,
            va,
            working(
                "managed loads",
                &group.name,
                "S = I_limit · V · k",
                vec![
                    input(
                        "I_limit",
                        "largest set point",
                        format!("{} A", group.limit_a),
                        "the system's setting",
                    ),
                    input("V", "voltage between the legs", format!("{volts:.0} V"), known.system.label()),
                    ruled("k", "continuous", print::percent(percent.value), &percent),
                    input("", "in place of", names.join(", "), "this dwelling"),
                ],
                print::va(va),
                "a listed energy management system whose setting users cannot raise",
                percent.cite(),
            ),
        );
    }
    Ok(neutral_va)
}

/// What the edition does not know: managed loads before it has a rule for them.
pub(crate) fn note_unmanaged(law: &Law<'_>, items: &[Item], draft: &mut Draft) -> Result<(), Blocked> {
    let ruling = law.ask(rule::MANAGED_LOAD)?;
    if ruling.value.is_none() && items.iter().any(|item| item.managed.is_some()) {
        draft.note(
            "managed loads",
            "this edition has no line for energy management in the load calculation: the loads are counted in full; \
             whether the system may reduce them is for the inspector",
            Some(ruling.cite()),
        );
    }
    Ok(())
}

/// Vehicle supply equipment: load of one unit under the edition, with its continuous factor where it is read so.
pub(crate) struct Ev {
    pub(crate) va: f64,
    pub(crate) percent: f64,
    pub(crate) formula: &'static str,
    pub(crate) inputs: Vec<model::working::Input>,
    pub(crate) cite: model::Cite,
}

pub(crate) fn ev(law: &Law<'_>, load: &Load, readings: &Readings) -> Result<Ev, Blocked> {
    let how = law.word(rule::EV_LOAD)?;
    let mut inputs = vec![input("S_n", "nameplate", print::va(load.va), &load.label)];
    let mut formula = "S = S_n·k";
    let va = match law.maybe_number(rule::EV_LEAST)? {
        Some(least) if how.value == "larger-of-7200" => {
            inputs.push(ruled("S_min", "at least", print::va(least.value), &least));
            formula = "S = max(S_n, S_min)·k";
            if load.va < least.value { least.value } else { load.va }
        }
        _ => load.va,
    };
    let percent = match readings.ev {
        super::readings::EvReading::Plain => 100.0,
        super::readings::EvReading::Continuous => {
            let continuous = law.number(rule::EV_CONTINUOUS_PERCENT)?;
            inputs.push(ruled("k", "continuous load", print::percent(continuous.value), &continuous));
            continuous.value
        }
    };
    Ok(Ev { va, percent, formula, inputs, cite: how.cite() })
}
