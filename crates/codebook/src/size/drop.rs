//! Voltage drop along a run, against the advisory limits.

use super::ampacity::metal_word;
use super::result::{NoSize, Sized, within};
use crate::law::Law;
use crate::load::sheet_parts::{input, ruled, working};
use crate::rule;
use model::conductor::{Metal, WireSize};

/// What the conductors lie in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Raceway {
    /// Plastic or aluminium, or cable.
    Nonmagnetic,
    /// Steel.
    Steel,
}

/// A drop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drop {
    /// Volts.
    pub volts: f64,
    /// Percent of the voltage.
    pub percent: f64,
    /// Within the advisory limit of a branch circuit?
    pub within_branch: bool,
    /// Within the advisory limit of feeder and branch circuit together?
    pub within_total: bool,
}

pub(crate) fn impedance(
    law: &Law<'_>,
    size: WireSize,
    metal: Metal,
    raceway: Raceway,
) -> Result<(f64, f64), NoSize> {
    law.word(rule::CONDUCTOR_RESISTANCE)?;
    let row = law
        .tables()
        .conductors
        .iter()
        .find(|row| row.size == size)
        .ok_or_else(|| NoSize::NotInTable { table: "the table of conductors", what: size.to_string() })?;
    let resistance = if metal == Metal::Copper { row.r_cu } else { row.r_al };
    // Of the largest size the reactance was not read; the sizes below it hardly differ.
    let reactance = match raceway {
        Raceway::Nonmagnetic => row.x_pvc.unwrap_or(0.039),
        Raceway::Steel => row.x_steel.unwrap_or(0.048),
    };
    Ok((resistance, reactance))
}

/// The voltage drop of a two-wire run at 75 °C.
pub fn voltage_drop(
    law: &Law<'_>,
    (size, metal, raceway): (WireSize, Metal, Raceway),
    length_ft: f64,
    amps: f64,
    volts: f64,
    power_factor: f64,
) -> Result<Sized<Drop>, NoSize> {
    within("length", length_ft, "ft", (0.0, 5000.0))?;
    within("current", amps, "A", (0.0, 600.0))?;
    within("voltage", volts, "V", (100.0, 250.0))?;
    let pf = within("power factor", power_factor, "", (0.5, 1.0))?;
    let branch = law.number(rule::DROP_BRANCH)?;
    let total = law.number(rule::DROP_TOTAL)?;
    let tables = law.word(rule::CONDUCTOR_RESISTANCE)?;
    let (r, x) = impedance(law, size, metal, raceway)?;
    let drop = 2.0 * length_ft / 1000.0 * amps * (r * pf + x * (1.0 - pf * pf).sqrt());
    let percent = drop / volts * 100.0;
    let value = Drop {
        volts: drop,
        percent,
        within_branch: percent <= branch.value,
        within_total: percent <= total.value,
    };
    let told = working(
        "voltage drop",
        &format!("{size} {}", metal_word(metal)),
        "ΔV = 2·L·I·(R·pf + X·√(1 - pf²))/1000",
        vec![
            input("L", "length, one way", format!("{length_ft} ft"), "measured"),
            input("I", "current", format!("{amps:.1} A"), "load"),
            ruled("R", "resistance at 75 °C", format!("{r} Ω/kft"), &tables),
            ruled("X", "reactance", format!("{x} Ω/kft"), &tables),
            input("pf", "power factor", format!("{pf}"), "load"),
            ruled("", "advised, branch circuit", format!("{} %", branch.value), &branch),
            ruled("", "advised, feeder and branch circuit", format!("{} %", total.value), &total),
        ],
        format!("{drop:.2} V, {percent:.2} %"),
        "two-wire or balanced three-wire single-phase run; the limits are advice, not requirement",
        tables.cite(),
    );
    Ok(Sized::new(value, told))
}
