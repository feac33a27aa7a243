//! The method for existing dwellings: has the present service room for more?

use super::blocked::Blocked;
use super::compare::Method;
use super::demand::{self, general, know, note_unmanaged};
use super::dwelling::{Dwelling, Status};
use super::hvac::Hvac;
use super::neutral::neutral;
use super::optional::{blowers, pool, vehicles};
use super::print;
use super::readings::{HvacReading, Readings};
use super::sheet::{Draft, Sheet, input, ruled, working};
use super::standard::on_neutral;
use crate::law::Law;
use crate::rule;

/// The load of an existing dwelling with what is to be added.
pub fn existing(law: &Law<'_>, dwelling: &Dwelling, readings: &Readings) -> Result<Sheet, Blocked> {
    let known = know(law, dwelling, readings)?;
    let mut draft = Draft::default();
    note_unmanaged(law, &dwelling.items, &mut draft)?;
    let all = general(law, &known, &mut draft)?;
    let hvac = Hvac::of(&known, readings);
    let adds = known.loads.iter().any(|load| load.kind.is_hvac() && load.status == Status::Added);
    let share = law.number(rule::EXISTING_HVAC_PERCENT)?;
    let (heating, cooling) = (hvac.heating_all(), hvac.cooling_all());
    let larger = if heating < cooling { cooling } else { heating };
    let in_pool = readings.hvac == HvacReading::InPool && !adds;
    let tiers = (rule::EXISTING_FIRST, rule::EXISTING_REST_PERCENT);
    pool(law, &known, readings, &all, &mut draft, tiers, if in_pool { larger + hvac.blowers } else { 0.0 })?;
    if !in_pool && 0.0 < larger {
        let told = working(
            "heating or cooling",
            "heating and cooling",
            "S = max(S_heat, S_cool)·k",
            vec![
                input("S_heat", "all that heats together", print::va(heating), "nameplates"),
                input("S_cool", "all that cools together", print::va(cooling), "nameplates"),
                ruled("k", "beside the pool", print::percent(share.value), &share),
            ],
            print::va(larger * share.value / 100.0),
            if adds {
                "heating or cooling is added or replaced by larger"
            } else {
                "none is added; where it goes then is disputed, and this is the careful reading"
            },
            share.cite(),
        );
        let title = if heating < cooling { "cooling" } else { "heating" };
        draft.line(title, 0.0, larger * share.value / 100.0, told);
    }
    if !in_pool {
        blowers(law, &hvac, &mut draft)?;
    }
    if 4 <= hvac.controls {
        draft.note(
            "heating and cooling",
            "for four or more separately controlled heaters the table has no row that was read; counted at 100 %",
            Some(share.cite()),
        );
    }
    vehicles(law, &known, readings, &mut draft)?;
    demand::managed(law, &known, &mut draft)?;
    let neutral = neutral(law, known.system, on_neutral(law, &known, readings)?, readings)?;
    Ok(draft.finish(law, Method::Existing, known.system, false, Some(neutral))?)
}
