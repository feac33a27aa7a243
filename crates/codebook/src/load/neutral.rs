//! The neutral of the service or feeder.

use super::print;
use super::readings::{Readings, WyeReading};
use super::sheet::{input, ruled, whole_amps, working};
use crate::law::Law;
use crate::rule;
use crate::ruling::Refused;
use model::System;
use model::working::Working;

/// Loads on the neutral, VA after demand.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct OnNeutral {
    /// Lighting, small-appliance and laundry.
    pub(crate) general: f64,
    /// Demand of cooking appliances.
    pub(crate) cooking: f64,
    /// Demand of dryers.
    pub(crate) dryers: f64,
    /// Other loads from leg to neutral or with a neutral.
    pub(crate) other: f64,
    /// Addition for the largest motor on the neutral.
    pub(crate) motor: f64,
}

/// The neutral load.
#[derive(Debug, Clone, PartialEq)]
pub struct Neutral {
    /// Load, VA.
    pub va: f64,
    /// Current, A, not rounded.
    pub amps: f64,
    /// Whole amperes.
    pub load_a: f64,
    /// How it came about.
    pub working: Working,
}

pub(crate) fn neutral(
    law: &Law<'_>,
    system: System,
    on: OnNeutral,
    readings: &Readings,
) -> Result<Neutral, Refused> {
    let part = law.number(rule::NEUTRAL_COOKING_DRYER_PERCENT)?;
    let over = law.number(rule::NEUTRAL_OVER_PERCENT)?;
    let wye = law.word(rule::NEUTRAL_WYE)?;
    let drop = law.number(rule::ROUNDING)?;
    let reduced = system == System::SplitPhase || readings.wye == WyeReading::AnnexD5;
    let k = if reduced { part.value } else { 100.0 };
    let (cooking, dryers) = (on.cooking * k / 100.0, on.dryers * k / 100.0);
    let straight = on.general + on.other + on.motor;
    let va = straight + cooking + dryers;
    // Ranges and dryers stand between the legs, the rest from leg to neutral.
    let full = straight / (2.0 * system.leg_to_neutral_v()) + (cooking + dryers) / system.leg_to_leg_v();
    let limit = 200.0;
    let amps = if system == System::SplitPhase && limit < full {
        limit + (full - limit) * over.value / 100.0
    } else {
        full
    };
    let mut inputs = vec![
        input("S_g", "lighting and circuits after demand", print::va(on.general), "this sheet"),
        input("S_c", "cooking after demand", print::va(on.cooking), "this sheet"),
        input("S_d", "dryers after demand", print::va(on.dryers), "this sheet"),
        input(
            "S_o",
            "other loads with a neutral, at nameplate",
            print::va(on.other + on.motor),
            "this sheet",
        ),
    ];
    let cite = if reduced {
        inputs.push(ruled("k", "part of cooking and dryers", print::percent(k), &part));
        part.cite()
    } else {
        inputs.push(ruled("k", "two legs of a wye", "no reduction".to_owned(), &wye));
        wye.cite()
    };
    if amps < full {
        inputs.push(ruled("k_200", "part above 200 A", print::percent(over.value), &over));
    }
    let working = working(
        "neutral load",
        "neutral",
        "S_N = S_g + k·(S_c + S_d) + S_o",
        inputs,
        format!("{}, {}", print::va(va), print::amps(amps)),
        "120 V loads taken as shared evenly by the legs; not for mostly nonlinear loads",
        cite,
    );
    Ok(Neutral { va, amps, load_a: whole_amps(amps, drop.value), working })
}
