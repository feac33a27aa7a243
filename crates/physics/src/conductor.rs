//! Resistance of conductors from the table of the electrical code, with temperature.

use crate::constants::FOOT_M;
use crate::range::{OutOfRange, within};
use crate::table;
use model::conductor::{Metal, WireSize};
use model::{Cite, Length, Resistance, Standing, Temperature};

/// Solid wire or a strand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stranding {
    /// One solid wire; usual in branch circuits up to 10 AWG.
    Solid,
    /// Stranded; usual from 8 AWG.
    Stranded,
}

/// Wall of the raceway or cable, for the reactance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Raceway {
    /// Plastic, aluminium or none.
    NonMagnetic,
    /// Steel.
    Steel,
}

/// Why no resistance is given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ConductorError {
    /// The table has no value for the size and metal.
    #[error("no table value for {size} {metal} (NFPA 70 Chapter 9, sizes and metals read by us)")]
    NotInTable {
        /// Size as printed.
        size: String,
        /// Metal in words.
        metal: &'static str,
    },
    /// Outside the range of the law.
    #[error(transparent)]
    Range(#[from] OutOfRange),
}

#[derive(Debug, serde::Deserialize)]
struct Row {
    size: String,
    r_cu_dc: f64,
    r_al_dc: f64,
    r_cu_solid_dc: Option<f64>,
    x_pvc: Option<f64>,
    x_steel: Option<f64>,
    r_cu_ac_pvc: Option<f64>,
    r_al_ac_pvc: Option<f64>,
}

fn all_rows() -> Vec<Row> {
    table::rows(include_str!("../data/conductors.csv"))
}

fn metal_word(metal: Metal) -> &'static str {
    match metal {
        Metal::Copper => "copper",
        Metal::Aluminium => "aluminium",
        Metal::CopperCladAluminium => "copper-clad aluminium",
    }
}

fn missing(size: WireSize, metal: Metal) -> ConductorError {
    ConductorError::NotInTable { size: size.to_string(), metal: metal_word(metal) }
}

fn row(size: WireSize, metal: Metal) -> Result<Row, ConductorError> {
    all_rows()
        .into_iter()
        .find(|row| row.size.parse::<WireSize>() == Ok(size))
        .ok_or_else(|| missing(size, metal))
}

/// Source of the direct-current table.
pub fn dc_cite() -> Cite {
    Cite::new("NFPA 70 (2011), as printed on a public page", "Chapter 9, Table 8", Standing::Published)
}

/// Source of the temperature coefficients at 75 °C.
pub fn temperature_cite() -> Cite {
    Cite::new("NFPA 70", "Chapter 9, Table 8, note on temperature", Standing::FromMemory)
}

/// Temperature coefficient of resistance at 75 °C, 1/K; from memory, see [`temperature_cite`].
const fn alpha_75c(metal: Metal) -> Option<f64> {
    match metal {
        Metal::Copper => Some(0.003_23),
        Metal::Aluminium => Some(0.003_30),
        Metal::CopperCladAluminium => None,
    }
}

/// Direct-current resistance of a length of conductor.
///
/// ```text
/// R = r75·L·[1 + α75 (T − 75 °C)]
/// ```
///
/// | symbol | here        | meaning                                   | unit   |
/// |--------|-------------|-------------------------------------------|--------|
/// | r75    | table, by `size`, `metal`, `stranding` | resistance at 75 °C | Ω/kft |
/// | L      | `length`    | length, one way                           | m      |
/// | T      | `at`        | temperature of the conductor              | °C     |
/// | α75    | in the code | temperature coefficient at 75 °C          | 1/K    |
///
/// - **Source:** NFPA 70 (2011) Chapter 9 Table 8 as printed on a public page; α from memory of its note.
/// - **Valid:** −40 to 250 °C; sizes and metals of `data/conductors.csv`. Copper-clad aluminium is not in the
///   table and is refused. At 60 Hz the skin effect adds under 3 % up to 4/0 (Table 9).
/// - **Checked:** `tests/reference/tests/physics/conductor.rs`.
pub fn dc_resistance(
    size: WireSize,
    metal: Metal,
    stranding: Stranding,
    length: Length,
    at: Temperature,
) -> Result<Resistance, ConductorError> {
    let length_m = within("length", length.m(), "m", (0.0, 10_000.0), "a run of conductor in or to a house")?;
    let t_c = within("conductor temperature", at.c(), "°C", (-40.0, 250.0), "linear law of resistance")?;
    let row = row(size, metal)?;
    let alpha = alpha_75c(metal).ok_or_else(|| missing(size, metal))?;
    let ohm_per_kft = match (metal, stranding) {
        (Metal::Copper, Stranding::Solid) => row.r_cu_solid_dc.ok_or_else(|| missing(size, metal))?,
        (Metal::Copper, Stranding::Stranded) => row.r_cu_dc,
        _ => row.r_al_dc,
    };
    let kft = length_m / (1000.0 * FOOT_M);
    Ok(Resistance::from_ohm(ohm_per_kft * kft * (1.0 + alpha * (t_c - 75.0))))
}

/// Resistance and reactance of a conductor in a raceway at 60 Hz and 75 °C, Ω per 1000 ft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AcPerKft {
    /// Resistance.
    pub r_ohm: f64,
    /// Reactance.
    pub x_ohm: f64,
}

/// Alternating-current resistance and reactance to neutral.
///
/// ```text
/// a table: r and x by size, metal and raceway; r of steel raceways is taken from the plastic column
/// ```
///
/// | symbol | here    | meaning                | unit  |
/// |--------|---------|------------------------|-------|
/// | r      | `r_ohm` | resistance at 75 °C    | Ω/kft |
/// | x      | `x_ohm` | reactance at 60 Hz     | Ω/kft |
///
/// - **Source:** NFPA 70 Chapter 9 Table 9, as printed on a public page.
/// - **Valid:** 600 V cables, three single conductors in a raceway, 75 °C; the sizes that were read.
/// - **Checked:** `tests/reference/tests/physics/conductor.rs`.
pub fn ac_per_kft(size: WireSize, metal: Metal, raceway: Raceway) -> Result<AcPerKft, ConductorError> {
    let row = row(size, metal)?;
    let r = match metal {
        Metal::Copper => row.r_cu_ac_pvc,
        Metal::Aluminium => row.r_al_ac_pvc,
        Metal::CopperCladAluminium => None,
    };
    let x = match raceway {
        Raceway::NonMagnetic => row.x_pvc,
        Raceway::Steel => row.x_steel,
    };
    match (r, x) {
        (Some(r_ohm), Some(x_ohm)) => Ok(AcPerKft { r_ohm, x_ohm }),
        _ => Err(missing(size, metal)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_is_whole_and_thicker_wire_has_less_resistance() {
        let rows = all_rows();
        for pair in rows.windows(2) {
            assert!(
                pair[1].r_cu_dc < pair[0].r_cu_dc && pair[1].r_al_dc < pair[0].r_al_dc,
                "{}",
                pair[1].size
            );
        }
        for row in &rows {
            assert!(row.size.parse::<WireSize>().is_ok(), "{}", row.size);
            assert!(row.r_cu_dc < row.r_al_dc, "{}", row.size);
        }
    }

    #[test]
    fn what_the_table_lacks_is_refused() {
        let one = Length::from_ft(1.0);
        let warm = Temperature::from_c(75.0);
        let clad = Metal::CopperCladAluminium;
        let error = dc_resistance(WireSize::Awg(12), clad, Stranding::Solid, one, warm).unwrap_err();
        assert!(error.to_string().contains("12 AWG copper-clad aluminium"), "{error}");
        let big = WireSize::Kcmil(1000);
        assert!(dc_resistance(big, Metal::Copper, Stranding::Stranded, one, warm).is_err());
        let short = Length::from_ft(-1.0);
        assert!(dc_resistance(WireSize::Awg(12), Metal::Copper, Stranding::Solid, short, warm).is_err());
    }
}
