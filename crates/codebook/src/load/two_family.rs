//! Two dwellings on one service: the standard calculation, or three identical units by the optional table if less.

use super::blocked::Blocked;
use super::compare::Method;
use super::demand::{general, know};
use super::dwelling::{Dwelling, Known};
use super::hvac::Hvac;
use super::neutral::neutral;
use super::print;
use super::readings::Readings;
use super::sheet::{Draft, Sheet, input, ruled, working};
use super::standard::{self, on_neutral};
use crate::law::Law;
use crate::rule;

/// The load of two dwellings on one service or feeder: the lesser of the two calculations the code allows.
pub fn two_family(law: &Law<'_>, units: [&Dwelling; 2], readings: &Readings) -> Result<Sheet, Blocked> {
    let [one, two] = units;
    let (first, second) = (know(law, one, readings)?, know(law, two, readings)?);
    let both = joined(&first, &second);
    let by_parts = standard::sheet(law, &both, readings, Draft::default(), Method::TwoFamily)?;
    let n = law.number(rule::TWO_FAMILY_UNITS)?;
    let percent = law.number(rule::TWO_FAMILY_PERCENT)?;
    // Without electric cooking, and heating or cooling, in each, the optional table is not for them.
    let fits = [&first, &second].iter().all(|unit| {
        unit.loads.iter().any(|load| load.kind.is_cooking())
            && unit.loads.iter().any(|load| load.kind.is_hvac())
    });
    if !fits || !both.groups.is_empty() {
        let mut sheet = by_parts;
        sheet.notes.push(model::Note {
            subject: "two dwellings".to_owned(),
            text:
                "the optional table is for units with electric cooking and with electric heating or cooling, \
                   without managed loads; the standard calculation is used"
                    .to_owned(),
            cite: Some(percent.cite()),
        });
        return Ok(sheet);
    }
    let mut draft = Draft::default();
    let mut largest: f64 = 0.0;
    for unit in [&first, &second] {
        let all = general(law, unit, &mut draft)?;
        let plates = print::sum(unit.loads.iter().filter(|load| !load.kind.is_hvac()).map(|load| load.va));
        let hvac = Hvac::of(unit, &Readings::default());
        let (heating, cooling) = (hvac.heating_all(), hvac.cooling_all());
        let larger = if heating < cooling { cooling } else { heating };
        let va = all.va() + plates + larger + hvac.blowers;
        largest = if largest < va { va } else { largest };
    }
    let va = n.value * largest * percent.value / 100.0;
    if by_parts.total_va <= va {
        let mut sheet = by_parts;
        sheet.notes.push(model::Note {
            subject: "two dwellings".to_owned(),
            text: format!("three identical units would come to {}, which is not less", print::va(va)),
            cite: Some(percent.cite()),
        });
        return Ok(sheet);
    }
    let told = working(
        "two dwellings as three identical units",
        "both dwellings",
        "S = n·S_unit·k",
        vec![
            ruled("n", "units", format!("{}", n.value), &n),
            input("S_unit", "connected load of the larger dwelling", print::va(largest), "nameplates"),
            ruled("k", "demand of three units", print::percent(percent.value), &percent),
            input("", "standard calculation of both", print::va(by_parts.total_va), "this sheet"),
        ],
        print::va(va),
        "allowed because the standard calculation comes to more",
        n.cite(),
    );
    draft.line("three identical units", 0.0, va, told);
    let neutral = neutral(law, both.system, on_neutral(law, &both, readings)?, readings)?;
    Ok(draft.finish(law, Method::TwoFamily, both.system, false, Some(neutral))?)
}

fn joined(one: &Known, two: &Known) -> Known {
    let mut both = one.clone();
    both.floor_ft2 += two.floor_ft2;
    both.small_appliance += two.small_appliance;
    both.laundry += two.laundry;
    both.loads.extend(two.loads.iter().cloned());
    both.loads.sort_by(|a, b| a.va.total_cmp(&b.va).reverse().then_with(|| a.name.cmp(&b.name)));
    both.groups.extend(two.groups.iter().cloned());
    both.n_units = one.n_units + two.n_units;
    both
}
