//! Fill of a cabinet with splices, and volume of a box for lengthened cables.

use super::result::{NoSize, Sized, within};
use crate::law::Law;
use crate::load::sheet_parts::{input, ruled, working};
use crate::rule;
use model::conductor::WireSize;
use model::{Cite, Standing};

/// Fill of a cabinet's wiring space at its fullest cross-section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CabinetFill {
    /// Conductors, percent.
    pub conductors_percent: f64,
    /// Conductors, splices and taps, percent.
    pub all_percent: f64,
    /// Both within their limits?
    pub fits: bool,
}

/// What is in a box. The counts are of the conductors of each size.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoxContents {
    /// Conductors that enter and end or are spliced, and their size.
    pub conductors: Vec<(WireSize, u32)>,
    /// Equipment grounding conductors in all, and their largest size.
    pub grounds: Option<(WireSize, u32)>,
    /// Internal clamps?
    pub clamps: bool,
    /// Device yokes, with the size of conductor at each.
    pub yokes: Vec<WireSize>,
}

/// Fill of the wiring space with splices. Areas in square inches at the same cross-section.
pub fn cabinet(
    law: &Law<'_>,
    space_in2: f64,
    conductors_in2: f64,
    splices_in2: f64,
) -> Result<Sized<CabinetFill>, NoSize> {
    let space = within("wiring space", space_in2, "in²", (0.5, 500.0))?;
    let wires = within("conductors", conductors_in2, "in²", (0.0, 500.0))?;
    let splices = within("splices", splices_in2, "in²", (0.0, 500.0))?;
    let first = law.number(rule::FILL_CONDUCTORS)?;
    let second = law.number(rule::FILL_SPLICES)?;
    let (conductors_percent, all_percent) = (wires / space * 100.0, (wires + splices) / space * 100.0);
    let value = CabinetFill {
        conductors_percent,
        all_percent,
        fits: conductors_percent <= first.value && all_percent <= second.value,
    };
    let told = working(
        "fill of the cabinet",
        "wiring space",
        "A_w/A ≤ k_1 and (A_w + A_s)/A ≤ k_2",
        vec![
            input("A", "wiring space", format!("{space} in²"), "measured"),
            input("A_w", "conductors", format!("{wires} in²"), "sizes"),
            input("A_s", "splices and taps", format!("{splices} in²"), "measured"),
            ruled("k_1", "conductors", format!("{} %", first.value), &first),
            ruled("k_2", "all", format!("{} %", second.value), &second),
        ],
        format!("{conductors_percent:.0} % and {all_percent:.0} %"),
        "any one cross-section; splices of service conductors have rules of their own from 2026",
        second.cite(),
    );
    Ok(Sized::new(value, told))
}

/// The volume that a box needs, cubic inches.
pub fn box_volume(law: &Law<'_>, contents: &BoxContents) -> Result<Sized<f64>, NoSize> {
    let ruling = law.word(rule::BOX_VOLUME)?;
    let each =
        |size: WireSize| {
            law.tables().boxes.iter().find(|row| row.size == size).map(|row| row.volume_in3).ok_or_else(
                || NoSize::NotInTable { table: "the table of box volumes", what: size.to_string() },
            )
        };
    let mut volume = 0.0;
    let mut inputs = vec![];
    let mut largest: f64 = 0.0;
    for (size, count) in &contents.conductors {
        let one = each(*size)?;
        largest = largest.max(one);
        volume += one * f64::from(*count);
        inputs.push(ruled("n", &format!("conductors of {size}"), format!("{count} at {one} in³"), &ruling));
    }
    for size in &contents.yokes {
        volume += 2.0 * each(*size)?;
    }
    if !contents.yokes.is_empty() {
        inputs.push(input("", "device yokes, twice each", contents.yokes.len().to_string(), "counted"));
    }
    if let Some((size, count)) = contents.grounds {
        let one = each(size)?;
        let extra = if ruling.value == "by-size-ground-quarter" {
            f64::from(count.saturating_sub(4)) / 4.0
        } else {
            0.0
        };
        let counted = if count == 0 { 0.0 } else { 1.0 + extra };
        volume += one * counted;
        inputs.push(ruled("", "equipment grounds", format!("{count}, counted as {counted}"), &ruling));
    }
    if contents.clamps {
        volume += largest;
        inputs.push(input("", "internal clamps", format!("{largest} in³"), "once, at the largest conductor"));
    }
    let told = working(
        "volume of a box",
        "box",
        "V = Σ n·v",
        inputs,
        format!("{volume:.2} in³"),
        "18 to 6 AWG",
        Cite { standing: Standing::FromMemory, ..ruling.cite() },
    );
    Ok(Sized::new(volume, told))
}
