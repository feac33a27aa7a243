//! How ambient and local heat shift the current at which a thermal breaker opens.

use crate::between::Between;
use crate::range::{OutOfRange, within};
use model::{Cite, Current, Standing, Temperature};

/// Temperatures at which the bimetal opens, °C, over published derating tables: 97 to 132 for single tables, 90 to
/// 130 recommended as the interval.
pub const OPENING_C: Between<f64> = Between::new(90.0, 130.0);

/// Source of [`OPENING_C`].
pub fn cite() -> Cite {
    Cite::new(
        "fits to published derating tables of UL 489 breakers",
        "opening temperature 90 to 130 °C",
        Standing::Derived,
    )
}

/// Calibration ambient and opening temperature of a breaker.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibration {
    /// Ambient at which it carries its rating.
    pub ambient: Temperature,
    /// Temperature at which its bimetal opens.
    pub opening: Temperature,
}

impl Calibration {
    fn checked(&self) -> Result<(f64, f64), OutOfRange> {
        let t_cal = within("calibration ambient", self.ambient.c(), "°C", (10.0, 60.0), "breaker standards")?;
        let theta = within("opening temperature", self.opening.c(), "°C", (80.0, 150.0), "published tables")?;
        Ok((t_cal, theta))
    }

    /// Current that opens the breaker in the end, with its surroundings at a temperature.
    ///
    /// ```text
    /// I_trip(T) = I_n·√[(θ_t − T)/(θ_t − T_cal)]
    /// ```
    ///
    /// | symbol | here      | meaning                                              | unit |
    /// |--------|-----------|------------------------------------------------------|------|
    /// | I_n    | `rating`  | current it carries at calibration                    | A    |
    /// | T      | `local`   | air at the bimetal plus what a bad joint adds        | °C   |
    /// | T_cal  | `ambient` | calibration ambient                                  | °C   |
    /// | θ_t    | `opening` | temperature at which the bimetal opens               | °C   |
    ///
    /// - **Source:** equilibrium of a bimetal heated by I²R; the published row of a UL 489 miniature breaker of
    ///   10 A is this formula with θ_t = 100 °C within 0.2 %.
    /// - **Valid:** −40 °C ≤ T < θ_t, thermal-magnetic breakers. At θ_t it opens without any current: refused. A
    ///   hot stab on the far side of the case may not heat the bimetal, so no trip proves nothing.
    /// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
    pub fn trip_current(&self, rating: Current, local: Temperature) -> Result<Current, OutOfRange> {
        let (t_cal, theta) = self.checked()?;
        let i_n = within("rating", rating.a(), "A", (0.5, 400.0), "breakers")?;
        let whose = "the bimetal opens by itself at its upper end";
        let t = within("temperature at the bimetal", local.c(), "°C", (-40.0, theta), whose)?;
        Ok(Current::from_a(i_n * ((theta - t) / (theta - t_cal)).sqrt()))
    }

    /// Temperature at the bimetal that explains a trip at a current.
    ///
    /// ```text
    /// T = θ_t − (I/I_n)²·(θ_t − T_cal)
    /// ```
    ///
    /// | symbol | here      | meaning                         | unit |
    /// |--------|-----------|---------------------------------|------|
    /// | I      | `tripped` | steady current at which it opened | A  |
    /// | others | as in [`Calibration::trip_current`] |       |      |
    ///
    /// - **Source:** inverse of [`Calibration::trip_current`].
    /// - **Valid:** the current was steady for several time constants; 0 ≤ I ≤ 1.3·I_n.
    /// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
    pub fn local_temperature(&self, rating: Current, tripped: Current) -> Result<Temperature, OutOfRange> {
        let (t_cal, theta) = self.checked()?;
        let i_n = within("rating", rating.a(), "A", (0.5, 400.0), "breakers")?;
        let whose = "above, it is overload and not local heat";
        let i = within("trip current", tripped.a(), "A", (0.0, 1.3 * i_n), whose)?;
        let ratio = i / i_n;
        Ok(Temperature::from_c(theta - ratio * ratio * (theta - t_cal)))
    }
}

/// Interval of the trip current over the opening temperatures of published tables.
///
/// ```text
/// Calibration::trip_current at θ_t = 90 and 130 °C
/// ```
///
/// | symbol | here      | meaning                                       | unit |
/// |--------|-----------|-----------------------------------------------|------|
/// | I_n    | `rating`  | current it carries at calibration             | A    |
/// | T_cal  | `ambient` | calibration ambient, 40 °C for UL 489 devices marked so, else 25 °C | °C |
/// | T      | `local`   | air at the bimetal plus what a bad joint adds | °C   |
///
/// - **Source:** [`cite`].
/// - **Valid:** as [`Calibration::trip_current`]. The low end is zero from 90 °C on: some breakers then open
///   without load.
/// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
pub fn trip_current_interval(
    rating: Current,
    ambient: Temperature,
    local: Temperature,
) -> Result<Between<Current>, OutOfRange> {
    let at = |opening_c: f64| {
        let opening = Temperature::from_c(opening_c);
        Calibration { ambient, opening }.trip_current(rating, local)
    };
    let soft = if OPENING_C.low <= local.c() { Current::from_a(0.0) } else { at(OPENING_C.low)? };
    Ok(Between::spanning(soft, at(OPENING_C.high)?))
}

/// Interval of the temperature at the bimetal that explains a trip at a current.
///
/// ```text
/// Calibration::local_temperature at θ_t = 90 and 130 °C
/// ```
///
/// | symbol | here      | meaning                           | unit |
/// |--------|-----------|-----------------------------------|------|
/// | I      | `tripped` | steady current at which it opened | A    |
/// | I_n    | `rating`  | current it carries at calibration | A    |
/// | T_cal  | `ambient` | calibration ambient               | °C   |
///
/// - **Source:** [`cite`].
/// - **Valid:** as [`Calibration::local_temperature`]; a mis-calibrated or worn breaker explains the same trip.
/// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
pub fn local_temperature_interval(
    rating: Current,
    ambient: Temperature,
    tripped: Current,
) -> Result<Between<Temperature>, OutOfRange> {
    let at = |opening_c: f64| {
        let opening = Temperature::from_c(opening_c);
        Calibration { ambient, opening }.local_temperature(rating, tripped)
    };
    Ok(Between::spanning(at(OPENING_C.low)?, at(OPENING_C.high)?))
}
