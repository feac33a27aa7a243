//! From the voltage across a metallic joint to the temperature of its hottest spot.

use crate::between::Between;
use crate::constants::{LORENZ, LORENZ_HIGH, LORENZ_LOW};
use crate::contact::drop::{JointDrop, LIMIT_RMS_V};
use crate::range::{OutOfRange, within};
use model::{Temperature, Voltage};
use std::f64::consts::SQRT_2;

const BODY_K: (f64, f64) = (230.0, 1400.0);
const BODY_WHOSE: &str = "solid metal of a panel";

fn hottest_k(t0_k: f64, v: f64, lorenz: f64) -> f64 {
    (t0_k * t0_k + v * v / (4.0 * lorenz)).sqrt()
}

/// Hottest temperature inside a metallic constriction at an instant.
///
/// ```text
/// T_max² = T0² + V²/(4L)
/// ```
///
/// | symbol | here      | meaning                                             | unit  |
/// |--------|-----------|-----------------------------------------------------|-------|
/// | T0     | `body`    | temperature of the joint's body, not of the room    | K     |
/// | V      | `instant` | voltage across the constriction alone at the instant | V    |
/// | L      | [`LORENZ`] | Lorenz number                                      | V²/K² |
/// | T_max  | returned  | hottest temperature                                 | K     |
///
/// - **Source:** Holm's relation as in a public finite-element example (same result for two shapes) and a public
///   constants file after Holm, 4th ed.
/// - **Valid:** both ends of the constriction at T0; metal on metal without film; below
///   √2·[`LIMIT_RMS_V`]. Not for very unlike pairs. L scatters by ±12 % between metals.
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn hottest_temperature(body: Temperature, instant: Voltage) -> Result<Temperature, OutOfRange> {
    let t0_k = within("body temperature", body.k(), "K", BODY_K, BODY_WHOSE)?;
    let whose = "peak of the highest steady voltage of a metallic joint";
    let v = within("joint voltage", instant.v(), "V", (0.0, SQRT_2 * LIMIT_RMS_V), whose)?;
    Ok(Temperature::from_k(hottest_k(t0_k, v, LORENZ)))
}

/// Voltage at which the hottest spot reaches a temperature.
///
/// ```text
/// V = 2·√[L (T² − T0²)]
/// ```
///
/// | symbol | here      | meaning                          | unit  |
/// |--------|-----------|----------------------------------|-------|
/// | T      | `hottest` | temperature of the hottest spot  | K     |
/// | T0     | `body`    | temperature of the joint's body  | K     |
/// | L      | [`LORENZ`] | Lorenz number                   | V²/K² |
/// | V      | returned  | voltage at that instant          | V     |
///
/// - **Source:** inverse of [`hottest_temperature`].
/// - **Valid:** as there, and T0 ≤ T.
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn voltage_for(body: Temperature, hottest: Temperature) -> Result<Voltage, OutOfRange> {
    voltage_for_lorenz(body, hottest, LORENZ)
}

pub(crate) fn voltage_for_lorenz(
    body: Temperature,
    hottest: Temperature,
    lorenz: f64,
) -> Result<Voltage, OutOfRange> {
    let t0_k = within("body temperature", body.k(), "K", BODY_K, BODY_WHOSE)?;
    let whose = "not below the body, not above the melting of iron";
    let t_k = within("hottest temperature", hottest.k(), "K", (t0_k, 1811.15), whose)?;
    Ok(Voltage::from_v(2.0 * (lorenz * (t_k * t_k - t0_k * t0_k)).sqrt()))
}

/// Temperature where part of the voltage has been dropped.
///
/// ```text
/// T(φ)² = T0² + φ (V − φ)/L
/// ```
///
/// | symbol | here      | meaning                                  | unit  |
/// |--------|-----------|------------------------------------------|-------|
/// | T0     | `body`    | temperature of the joint's body          | K     |
/// | V      | `instant` | voltage across the constriction          | V     |
/// | φ      | `along`   | potential from one end to the point      | V     |
/// | L      | [`LORENZ`] | Lorenz number                           | V²/K² |
///
/// - **Source:** as [`hottest_temperature`].
/// - **Valid:** as there, and 0 ≤ φ ≤ V.
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn temperature_along(
    body: Temperature,
    instant: Voltage,
    along: Voltage,
) -> Result<Temperature, OutOfRange> {
    hottest_temperature(body, instant)?;
    let phi =
        within("potential", along.v(), "V", (0.0, instant.v()), "between the ends of the constriction")?;
    let t0_k = body.k();
    Ok(Temperature::from_k((t0_k * t0_k + phi * (instant.v() - phi) / LORENZ).sqrt()))
}

/// Hottest spot of a joint under alternating current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HotSpot {
    /// From a spot that lags behind the mains (rms voltage) to one that follows it (peak voltage).
    pub spot: Between<Temperature>,
    /// The same, widened by the scatter of the Lorenz number between metals.
    pub with_scatter: Between<Temperature>,
    /// Only an upper bound: the drop still holds solid metal between the probes.
    pub is_upper_bound: bool,
}

/// Hottest spot of a joint from its steady voltage at 60 Hz, as an interval.
///
/// ```text
/// T_low² = T0² + V_rms²/(4L);   T_high² = T0² + (√2 V_rms)²/(4L)
/// ```
///
/// | symbol | here     | meaning                                          | unit  |
/// |--------|----------|--------------------------------------------------|-------|
/// | V_rms  | `drop`   | steady voltage across the joint                  | V     |
/// | T0     | `body`   | temperature of the joint's body, not of the room | K     |
/// | L      | [`LORENZ`] | Lorenz number                                  | V²/K² |
///
/// - **Source:** derived from [`hottest_temperature`]: spots up to about 0.1 mm follow the mains within
///   microseconds (a²/κ = 26 µs for 50 µm in aluminium), spots from 0.5 mm lag.
/// - **Valid:** as [`hottest_temperature`]; `drop` keeps films, glows, arcs and whole poles out. A result above
///   the metal's melting point means that the joint cannot hold this voltage steadily.
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn hot_spot(body: Temperature, drop: JointDrop) -> Result<HotSpot, OutOfRange> {
    let t0_k = within("body temperature", body.k(), "K", BODY_K, BODY_WHOSE)?;
    let (rms_v, peak_v) = (drop.rms().v(), SQRT_2 * drop.rms().v());
    let at = |v, lorenz| Temperature::from_k(hottest_k(t0_k, v, lorenz));
    Ok(HotSpot {
        spot: Between::new(at(rms_v, LORENZ), at(peak_v, LORENZ)),
        with_scatter: Between::new(at(rms_v, LORENZ_HIGH), at(peak_v, LORENZ_LOW)),
        is_upper_bound: !drop.is_bulk_subtracted(),
    })
}
