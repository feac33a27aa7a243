//! The optional method: one pool for the general load, and the largest of heating and cooling beside it.

use super::blocked::Blocked;
use super::compare::Method;
use super::demand::{self, General, general, know, note_unmanaged};
use super::dwelling::{Dwelling, Known, LoadKind};
use super::hvac::Hvac;
use super::neutral::neutral;
use super::print;
use super::readings::{BlowerReading, EvReading, Readings};
use super::sheet::{Draft, Sheet, input, ruled, working};
use super::standard::on_neutral;
use crate::law::Law;
use crate::rule::{self, RuleId};
use crate::ruling::Refused;
use model::working::Input;

/// The load of one dwelling by the optional method.
pub fn optional(law: &Law<'_>, dwelling: &Dwelling, readings: &Readings) -> Result<Sheet, Blocked> {
    let known = know(law, dwelling, readings)?;
    let mut draft = Draft::default();
    note_unmanaged(law, &dwelling.items, &mut draft)?;
    let least = law.number(rule::OPTIONAL_LEAST_AMPACITY)?;
    draft.note(
        "optional method",
        format!("for one dwelling on one three-wire supply with an ampacity of {} A or more", least.value),
        Some(least.cite()),
    );
    let all = general(law, &known, &mut draft)?;
    pool(law, &known, readings, &all, &mut draft, (rule::OPTIONAL_FIRST, rule::OPTIONAL_REST_PERCENT), 0.0)?;
    largest_of_heating_and_cooling(law, &known, readings, &mut draft)?;
    vehicles(law, &known, readings, &mut draft)?;
    demand::managed(law, &known, &mut draft)?;
    let neutral = neutral(law, known.system, on_neutral(law, &known, readings)?, readings)?;
    Ok(draft.finish(law, Method::Optional, known.system, false, Some(neutral))?)
}

/// The pool: lighting and circuits, and the nameplates of everything that is not heating, cooling or read outside.
pub(crate) fn pool(
    law: &Law<'_>,
    known: &Known,
    readings: &Readings,
    general: &General,
    draft: &mut Draft,
    (first_id, rest_id): (RuleId, RuleId),
    besides_va: f64,
) -> Result<(), Blocked> {
    let first = law.number(first_id)?;
    let rest = law.number(rest_id)?;
    let inside: Vec<_> = known
        .loads
        .iter()
        .filter(|load| match load.kind {
            LoadKind::Ev => readings.ev == EvReading::Plain,
            LoadKind::AirHandler => readings.blower == BlowerReading::Pool,
            kind => !kind.is_hvac(),
        })
        .collect();
    let plates = print::sum(inside.iter().map(|load| load.va));
    let all = general.va() + plates + besides_va;
    let tier = if all < first.value { all } else { first.value };
    let va = tier + (all - tier) * rest.value / 100.0;
    let names: Vec<String> = inside.iter().map(|load| load.told()).collect();
    let mut inputs: Vec<Input> = general.inputs.clone();
    inputs.push(input("S_n", "nameplates", names.join(", "), "nameplates"));
    if 0.0 < besides_va {
        inputs.push(input("S_h", "heating and cooling in the pool", print::va(besides_va), "this sheet"));
    }
    inputs.push(input("S", "all together", print::va(all), "A·q + circuits + nameplates"));
    inputs.push(ruled("S_1", "first tier at 100 %", print::va(first.value), &first));
    inputs.push(ruled("k", "the rest", print::percent(rest.value), &rest));
    let told = working(
        "general load",
        "dwelling",
        "S_1 + (S - S_1)·k",
        inputs,
        print::va(va),
        "full nameplates: no demand table of the standard method applies",
        first.cite(),
    );
    // Which part of a pool is on the neutral is not told; the neutral has its own calculation.
    draft.line("general load", 0.0, va, told);
    Ok(())
}

/// Heating and cooling: the largest of the selections after their percentages.
fn largest_of_heating_and_cooling(
    law: &Law<'_>,
    known: &Known,
    readings: &Readings,
    draft: &mut Draft,
) -> Result<(), Blocked> {
    let hvac = Hvac::of(known, readings);
    let many = law.number(rule::OPTIONAL_MANY_HEATERS)?;
    let heat_rule = if many.value <= f64::from(hvac.controls) {
        rule::OPTIONAL_MANY_HEATERS_PERCENT
    } else {
        rule::OPTIONAL_FEW_HEATERS_PERCENT
    };
    let part = |id: RuleId| -> Result<_, Refused> { law.number(id) };
    let cooling = part(rule::OPTIONAL_COOLING_PERCENT)?;
    let pump = part(rule::OPTIONAL_HEAT_PUMP_PERCENT)?;
    let supplement = part(rule::OPTIONAL_SUPPLEMENT_PERCENT)?;
    let heat = part(heat_rule)?;
    let storage = part(rule::OPTIONAL_STORAGE_PERCENT)?;
    let pumps = if 0.0 < hvac.supplement_with + hvac.supplement_apart { &supplement } else { &pump };
    let selections = [
        ("air conditioning", hvac.cooling_all() * cooling.value / 100.0, &cooling),
        ("heat pumps", hvac.heat_pumps(supplement.value / 100.0) * pump.value / 100.0, pumps),
        ("electric space heating", hvac.heat * heat.value / 100.0, &heat),
        ("thermal storage", hvac.storage * storage.value / 100.0, &storage),
    ];
    if selections.iter().any(|selection| 0.0 < selection.1) {
        let largest =
            selections.iter().fold(&selections[0], |best, one| if best.1 < one.1 { one } else { best });
        let inputs = selections
            .iter()
            .filter(|selection| 0.0 < selection.1)
            .map(|(name, va, ruling)| {
                ruled("", name, format!("{} at {} %", print::va(*va), ruling.value), ruling)
            })
            .collect();
        let told = working(
            "heating and cooling",
            "heating and cooling",
            "the largest selection, after its percentage",
            inputs,
            print::va(largest.1),
            "a central furnace is one control; a supplement counts at its percentage beside the compressor",
            largest.2.cite(),
        );
        draft.line(largest.0, 0.0, largest.1, told);
        let kinds = selections[1..].iter().filter(|selection| 0.0 < selection.1).count();
        if 1 < kinds {
            draft.note(
                "heating and cooling",
                "several kinds of heating are there and may run together; the code counts the largest selection only",
                Some(largest.2.cite()),
            );
        }
    }
    blowers(law, &hvac, draft)
}

pub(crate) fn blowers(law: &Law<'_>, hvac: &Hvac, draft: &mut Draft) -> Result<(), Blocked> {
    if 0.0 < hvac.blowers {
        let cite = law.number(rule::HEAT_PERCENT)?.cite();
        let inputs = vec![input("S_n", "nameplates", print::va(hvac.blowers), "nameplates")];
        let valid = "read as heating and cooling equipment: it runs with either";
        let told = working(
            "blowers",
            "heating and cooling",
            "S = Σ S_n",
            inputs,
            print::va(hvac.blowers),
            valid,
            cite,
        );
        draft.line("blowers", 0.0, hvac.blowers, told);
    }
    Ok(())
}

/// Vehicle supply equipment outside the pool, where it is read so.
pub(crate) fn vehicles(
    law: &Law<'_>,
    known: &Known,
    readings: &Readings,
    draft: &mut Draft,
) -> Result<(), Blocked> {
    if readings.ev == EvReading::Plain {
        return Ok(());
    }
    for load in known.loads.iter().filter(|load| load.kind == LoadKind::Ev) {
        let ev = demand::ev(law, load, readings)?;
        let va = ev.va * ev.percent / 100.0;
        let title = format!("vehicle supply: {}", load.name);
        let valid = "read as a continuous load outside the pool; the other reading is shown beside it";
        let told = working(&title, &load.name, ev.formula, ev.inputs, print::va(va), valid, ev.cite);
        draft.line(&title, 0.0, va, told);
    }
    Ok(())
}
