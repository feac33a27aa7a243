//! Wires: metal, size, insulation, and where they enter.

use crate::quantity::Length;
use std::fmt;
use std::str::FromStr;

/// Metal of a conductor or bus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Metal {
    /// Copper.
    Copper,
    /// Aluminium or its bus alloys.
    Aluminium,
    /// Aluminium with a bonded copper skin.
    CopperCladAluminium,
}

/// Plating of bus and stabs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Plating {
    /// Bare metal.
    Bare,
    /// Tin.
    Tin,
    /// Silver.
    Silver,
}

/// American Wire Gauge number or kcmil size, as printed on the insulation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WireSize {
    /// Gauge number 18 … 1; thinner wire has the larger number.
    Awg(u8),
    /// 1/0 … 4/0, written here as 1 … 4.
    Aught(u8),
    /// Thousands of circular mils, from 250.
    Kcmil(u16),
}

impl WireSize {
    /// Cross-section in circular mils: from the gauge formula for AWG, rounded as NFPA 70 Chapter 9 Table 8
    /// prints it for the sizes used here.
    pub fn circular_mils(self) -> f64 {
        match self {
            WireSize::Kcmil(thousands) => f64::from(thousands) * 1000.0,
            WireSize::Aught(noughts) => match noughts {
                1 => 105_600.0,
                2 => 133_100.0,
                3 => 167_800.0,
                _ => 211_600.0,
            },
            WireSize::Awg(gauge) => match gauge {
                18 => 1_620.0,
                16 => 2_580.0,
                14 => 4_110.0,
                12 => 6_530.0,
                10 => 10_380.0,
                8 => 16_510.0,
                6 => 26_240.0,
                4 => 41_740.0,
                3 => 52_620.0,
                2 => 66_360.0,
                1 => 83_690.0,
                other => {
                    // The gauge itself (ASTM B258): diameter 5 mil at 36, growing by the 39th root of 92 a number.
                    let diameter_mil = 5.0 * libm::pow(92.0, f64::from(36 - i16::from(other)) / 39.0);
                    diameter_mil * diameter_mil
                }
            },
        }
    }
}

impl fmt::Display for WireSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            WireSize::Awg(gauge) => write!(f, "{gauge} AWG"),
            WireSize::Aught(noughts) => write!(f, "{noughts}/0 AWG"),
            WireSize::Kcmil(thousands) => write!(f, "{thousands} kcmil"),
        }
    }
}

/// The text is not a wire size that panels use.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a wire size: write 14, 12, 10, 8, 6, 4, 3, 2, 1, 1/0 … 4/0, or 250 … 1000 for kcmil")]
pub struct NotAWireSize(pub String);

impl FromStr for WireSize {
    type Err = NotAWireSize;

    fn from_str(text: &str) -> Result<Self, NotAWireSize> {
        let bare = text.trim().trim_start_matches('#').to_ascii_lowercase();
        let bare = bare.trim_end_matches("awg").trim_end_matches("kcmil").trim();
        if let Some(noughts) = bare.strip_suffix("/0") {
            return match noughts.parse::<u8>() {
                Ok(noughts @ 1..=4) => Ok(WireSize::Aught(noughts)),
                _ => Err(NotAWireSize(text.to_owned())),
            };
        }
        match bare.parse::<u16>() {
            Ok(gauge @ (18 | 16 | 14 | 12 | 10 | 8 | 6 | 4 | 3 | 2 | 1)) => Ok(WireSize::Awg(gauge as u8)),
            Ok(thousands @ 250..=1000) if thousands % 50 == 0 => Ok(WireSize::Kcmil(thousands)),
            _ => Err(NotAWireSize(text.to_owned())),
        }
    }
}

/// Side of the cabinet where a cable comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EntrySide {
    /// Through the top.
    Top,
    /// Through the bottom.
    Bottom,
    /// Through the left side.
    Left,
    /// Through the right side.
    Right,
    /// Through the back.
    Back,
}

/// A conductor at a terminal. What was not looked at is `None`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Conductor {
    /// Size.
    pub size: Option<WireSize>,
    /// Metal.
    pub metal: Option<Metal>,
    /// Insulation as marked or as it looks, for example `THHN`, `NM-B`, `cloth`.
    pub insulation: Option<String>,
    /// Length free inside the cabinet.
    pub free_length: Option<Length>,
    /// Side of the cabinet where it comes in.
    pub entry: Option<EntrySide>,
    /// How far below the top wall it comes in, where it comes through the back.
    pub entry_down: Option<Length>,
    /// Colour of its insulation; of several poles one a pole, by commas.
    pub colour: Option<String>,
}

impl Conductor {
    /// Colour of the conductor of a pole, counted from 0: its own where one is named for each, else the only one.
    pub fn colour_of(&self, pole_idx: usize) -> Option<&str> {
        let mut all = self.colour.as_deref()?.split(',').map(str::trim).filter(|colour| !colour.is_empty());
        let first = all.clone().next()?;
        if all.clone().count() == 1 { Some(first) } else { all.nth(pole_idx) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_read_back_as_written() {
        for (text, printed) in [
            ("14", "14 AWG"),
            ("#12", "12 AWG"),
            ("2/0", "2/0 AWG"),
            ("250", "250 kcmil"),
            ("4/0 AWG", "4/0 AWG"),
        ] {
            assert_eq!(text.parse::<WireSize>().map(|size| size.to_string()).as_deref(), Ok(printed));
        }
        for text in ["", "13", "5/0", "0/0", "255", "99999", "fat"] {
            assert!(text.parse::<WireSize>().is_err(), "{text}");
        }
    }

    /// Source: NFPA 70 (2011) Chapter 9 Table 8 against the gauge's own law; its areas are rounded to ten
    /// circular mils, and some of the larger ones stray a little further.
    #[test]
    fn verif_sizes_between_the_printed_ones_follow_the_gauge() {
        for gauge in (1..=17).rev() {
            let (thin, thick) =
                (WireSize::Awg(gauge + 1).circular_mils(), WireSize::Awg(gauge).circular_mils());
            let growth = libm::pow(92.0, 2.0 / 39.0);
            let want = thin * growth;
            assert!((thick - want).abs() <= 5.0 * (1.0 + growth) + 5e-4 * want, "{gauge}: {thick} {want}");
        }
    }
}
