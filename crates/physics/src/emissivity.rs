//! From the temperature an infrared instrument shows to that of the surface, and the refusal on bare metal.

use crate::between::Between;
use crate::cited::Cited;
use crate::range::{OutOfRange, within};
use crate::table::{self, Word};
use model::Temperature;

/// Emissivity below which no number is given.
pub const LEAST_EMISSIVITY: f64 = 0.3;

/// Why an infrared reading gives no temperature.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum InfraredError {
    /// Shiny metal.
    #[error(
        "emissivity {emissivity} is below {LEAST_EMISSIVITY}: bare metal mirrors its surroundings and the \
         reading is unusable"
    )]
    BareMetal {
        /// Emissivity given.
        emissivity: f64,
    },
    /// The reading cannot be: less radiation than is reflected.
    #[error("{apparent_c} °C with {reflected_c} °C reflected would need a surface below absolute zero")]
    Impossible {
        /// Reading, °C.
        apparent_c: f64,
        /// Reflected temperature, °C.
        reflected_c: f64,
    },
    /// Outside a range.
    #[error(transparent)]
    Range(#[from] OutOfRange),
}

impl InfraredError {
    /// What to do next.
    pub const fn hint(&self) -> &'static str {
        match self {
            InfraredError::BareMetal { .. } => "read the insulation within 25 mm of the metal instead",
            InfraredError::Impossible { .. } => "check the emissivity and the reflected temperature",
            InfraredError::Range(_) => "check the reading and its unit",
        }
    }
}

/// Temperature of a surface from what a broadband instrument set to emissivity 1 shows.
///
/// ```text
/// T⁴ = [T_app⁴ − (1 − ε) T_refl⁴]/ε
/// ```
///
/// | symbol | here         | meaning                                  | unit |
/// |--------|--------------|------------------------------------------|------|
/// | T_app  | `apparent`   | reading with the instrument at ε = 1     | K    |
/// | T_refl | `reflected`  | temperature of what the surface mirrors  | K    |
/// | ε      | `emissivity` | emissivity of the surface                | –    |
/// | T      | returned     | temperature of the surface               | K    |
///
/// - **Source:** grey-body balance, common to camera manuals.
/// - **Valid:** opaque grey surface, broadband instrument, short dry path; ε ≥ 0.3. Below, the answer hangs on
///   the last hundredth of ε (40 °C shown at ε = 0.22 would be 81 °C) and is refused.
/// - **Checked:** `tests/reference/tests/physics/emissivity.rs`.
pub fn surface_temperature(
    apparent: Temperature,
    reflected: Temperature,
    emissivity: f64,
) -> Result<Temperature, InfraredError> {
    let t_app = within("reading", apparent.c(), "°C", (-40.0, 1200.0), "hand instruments")? + 273.15;
    let t_refl =
        within("reflected temperature", reflected.c(), "°C", (-60.0, 500.0), "surroundings")? + 273.15;
    let e = within("emissivity", emissivity, "", (f64::MIN_POSITIVE, 1.0), "by definition")?;
    if e < LEAST_EMISSIVITY {
        return Err(InfraredError::BareMetal { emissivity });
    }
    let fourth = |t: f64| t * t * t * t;
    let emitted = (fourth(t_app) - (1.0 - e) * fourth(t_refl)) / e;
    if emitted <= 0.0 {
        return Err(InfraredError::Impossible { apparent_c: apparent.c(), reflected_c: reflected.c() });
    }
    Ok(Temperature::from_k(emitted.sqrt().sqrt()))
}

/// What an instrument set to one emissivity would have shown set to ε = 1.
///
/// ```text
/// T_app⁴ = ε_set·T_shown⁴ + (1 − ε_set)·T_refl,set⁴
/// ```
///
/// | symbol      | here        | meaning                                       | unit |
/// |-------------|-------------|-----------------------------------------------|------|
/// | T_shown     | `shown`     | reading                                       | K    |
/// | ε_set       | `set`       | emissivity set on the instrument              | –    |
/// | T_refl,set  | `reflected` | reflected temperature set on the instrument   | K    |
///
/// - **Source:** inverse of [`surface_temperature`].
/// - **Valid:** as there.
/// - **Checked:** `tests/reference/tests/physics/emissivity.rs`.
pub fn apparent_temperature(
    shown: Temperature,
    reflected: Temperature,
    set: f64,
) -> Result<Temperature, OutOfRange> {
    let t = within("reading", shown.c(), "°C", (-40.0, 1200.0), "hand instruments")? + 273.15;
    let t_refl =
        within("reflected temperature", reflected.c(), "°C", (-60.0, 500.0), "surroundings")? + 273.15;
    let e = within("emissivity set", set, "", (0.1, 1.0), "hand instruments")?;
    let fourth = |t: f64| t * t * t * t;
    Ok(Temperature::from_k((e * fourth(t) + (1.0 - e) * fourth(t_refl)).sqrt().sqrt()))
}

/// Interval of the surface's temperature from intervals of emissivity and reflected temperature.
///
/// ```text
/// extremes of T over ε_low … ε_high and T_refl,low … T_refl,high
/// ```
///
/// | symbol | here         | meaning                                  | unit |
/// |--------|--------------|------------------------------------------|------|
/// | T_app  | `apparent`   | reading with the instrument at ε = 1     | K    |
/// | T_refl | `reflected`  | temperature of what the surface mirrors  | K    |
/// | ε      | `emissivity` | emissivity of the surface                | –    |
///
/// - **Source:** [`surface_temperature`] at the corners; it is monotonic in both.
/// - **Valid:** as there.
/// - **Checked:** `tests/reference/tests/physics/emissivity.rs`.
pub fn surface_interval(
    apparent: Temperature,
    reflected: Between<Temperature>,
    emissivity: Between<f64>,
) -> Result<Between<Temperature>, InfraredError> {
    let first = surface_temperature(apparent, reflected.low, emissivity.low)?;
    let mut interval = Between::new(first, first);
    for t_refl in [reflected.low, reflected.high] {
        for e in [emissivity.low, emissivity.high] {
            let t = surface_temperature(apparent, t_refl, e)?;
            interval.low = if t < interval.low { t } else { interval.low };
            interval.high = if interval.high < t { t } else { interval.high };
        }
    }
    Ok(interval)
}

#[derive(Debug, serde::Deserialize)]
struct Row {
    surface: String,
    low: f64,
    high: f64,
    standing: Word,
    source: String,
}

/// Emissivities by surface, each with its source.
///
/// ```text
/// a table: data/emissivity.csv
/// ```
///
/// | symbol | here     | meaning            | unit |
/// |--------|----------|--------------------|------|
/// | ε      | returned | (surface, interval) | –   |
///
/// - **Source:** a column of the table.
/// - **Valid:** long-wave or total, near room temperature.
/// - **Checked:** unit test beside it.
pub fn emissivities() -> Vec<(String, Cited<Between<f64>>)> {
    table::rows::<Row>(include_str!("../data/emissivity.csv"))
        .into_iter()
        .map(|row| (row.surface, Cited::new(Between::new(row.low, row.high), row.standing.cite(&row.source))))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_is_whole() {
        for (surface, entry) in emissivities() {
            let Between { low, high } = entry.value;
            assert!(0.0 < low && low <= high && high <= 1.0, "{surface}");
        }
    }
}
