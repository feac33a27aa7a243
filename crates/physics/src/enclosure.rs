//! Rise of the air inside a closed cabinet.

use crate::between::Between;
use crate::cited::Cited;
use crate::range::{OutOfRange, within};
use model::panel::Mounting;
use model::{Cite, Length, Power, Standing};

/// Outer sizes of a cabinet and how it sits in the wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Box3 {
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
    /// Depth.
    pub depth: Length,
    /// How it sits in the wall.
    pub mounting: Mounting,
}

/// Source of the method.
pub fn cite() -> Cite {
    Cite::new("IEC TR 60890", "tables and curves for unventilated enclosures", Standing::FromMemory)
}

/// Effective cooling surface, m².
///
/// ```text
/// A_e = Σ A0·b
/// ```
///
/// | symbol | here     | meaning                                                        | unit |
/// |--------|----------|----------------------------------------------------------------|------|
/// | A0     | faces of `cabinet` | area of a face                                       | m²   |
/// | b      | in the code | top exposed 1.4, covered 0.7; front, side, rear exposed 0.9; side, rear covered 0.5; floor 0 | – |
///
/// - **Source:** IEC TR 60890 Table III, secondary excerpt.
/// - **Valid:** closed metal cabinet without ventilation. Surface: back on a wall. Flush: only the front exposed.
///   Flush in insulation: only the front counts (our reading, not the standard's).
/// - **Checked:** `tests/reference/tests/physics/enclosure.rs`.
pub fn effective_area_m2(cabinet: Box3) -> Result<f64, OutOfRange> {
    let w = within("cabinet width", cabinet.width.m(), "m", (0.05, 3.0), "cabinets")?;
    let h = within("cabinet height", cabinet.height.m(), "m", (0.05, 3.0), "cabinets")?;
    let d = within("cabinet depth", cabinet.depth.m(), "m", (0.02, 2.0), "cabinets")?;
    let (front, top, side) = (w * h, w * d, h * d);
    Ok(match cabinet.mounting {
        Mounting::Surface => 0.9 * front + 1.4 * top + 2.0 * 0.9 * side + 0.5 * front,
        Mounting::Flush => 0.9 * front + 0.7 * top + 2.0 * 0.5 * side + 0.5 * front,
        Mounting::FlushInsulated => 0.9 * front,
    })
}

/// Rise of the air inside a cabinet, half-way up and at the top, K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirRise {
    /// Half-way up.
    pub middle_k: f64,
    /// At the top.
    pub top_k: f64,
}

/// Rise of the air inside a closed cabinet of up to 1.25 m² effective surface.
///
/// ```text
/// Δt_0.5 = k·P^0.804,  k = 0.607·A_e^(−0.744);   Δt_1.0 = c(g)·Δt_0.5,  g = h/w
/// ```
///
/// | symbol | here    | meaning                                        | unit |
/// |--------|---------|------------------------------------------------|------|
/// | P      | `heat`  | heat given off inside                          | W    |
/// | A_e    | [`effective_area_m2`] | effective cooling surface        | m²   |
/// | k      | fit     | enclosure constant                             | –    |
/// | c      | table   | temperature distribution factor: 1.00, 1.097, 1.188, 1.231, 1.249 at g = 0, 0.5, 1, 1.5, 2 | – |
///
/// - **Source:** IEC TR 60890, constants from memory; the fit of k is ours and within 1.5 % of eight remembered
///   values. The result carries `Standing::FromMemory`.
/// - **Valid:** no ventilation openings, no partitions, 0.1 ≤ A_e ≤ 1.25 m², up to 500 W; g beyond 2 takes the
///   value at 2.
/// - **Checked:** `tests/reference/tests/physics/enclosure.rs`.
pub fn air_rise(cabinet: Box3, heat: Power) -> Result<Cited<AirRise>, OutOfRange> {
    let a_e = within(
        "effective surface",
        effective_area_m2(cabinet)?,
        "m²",
        (0.1, 1.25),
        "IEC TR 60890, small form",
    )?;
    let p = within("heat", heat.w(), "W", (0.0, 500.0), "small cabinets")?;
    let middle_k = enclosure_constant(a_e) * libm::pow(p, 0.804);
    let c = distribution_factor(cabinet.height.m() / cabinet.width.m());
    Ok(Cited::new(AirRise { middle_k, top_k: c * middle_k }, cite()))
}

fn enclosure_constant(a_e: f64) -> f64 {
    0.607 * libm::pow(a_e, -0.744)
}

fn distribution_factor(g: f64) -> f64 {
    const POINTS: [(f64, f64); 5] = [(0.0, 1.0), (0.5, 1.097), (1.0, 1.188), (1.5, 1.231), (2.0, 1.249)];
    let inside = POINTS.windows(2).find(|pair| pair[0].0 <= g && g <= pair[1].0);
    match inside {
        Some(pair) => pair[0].1 + (g - pair[0].0) / (pair[1].0 - pair[0].0) * (pair[1].1 - pair[0].1),
        None => POINTS[4].1,
    }
}

/// Heat given off inside, from a measured rise of the air half-way up, W: the same law turned round.
///
/// ```text
/// P = (Δt_0.5/k)^(1/0.804)
/// ```
///
/// | symbol | here       | meaning                       | unit |
/// |--------|------------|-------------------------------|------|
/// | Δt_0.5 | `middle_k` | rise of the air half-way up   | K    |
/// | k      | as [`air_rise`] |                          | –    |
///
/// - **Source:** as [`air_rise`].
/// - **Valid:** as there, rises up to 80 K; the interval covers ±20 % in the rise, a judgement.
/// - **Checked:** `tests/reference/tests/physics/enclosure.rs`.
pub fn heat_from_rise(cabinet: Box3, middle_k: f64) -> Result<Cited<Between<Power>>, OutOfRange> {
    let a_e = within(
        "effective surface",
        effective_area_m2(cabinet)?,
        "m²",
        (0.1, 1.25),
        "IEC TR 60890, small form",
    )?;
    let rise = within("rise", middle_k, "K", (0.0, 80.0), "cabinets in use")?;
    let at = |rise_k: f64| Power::from_w(libm::pow(rise_k / enclosure_constant(a_e), 1.0 / 0.804));
    Ok(Cited::new(Between::new(at(0.8 * rise), at(1.2 * rise)), cite()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fit_is_within_its_claim_of_the_remembered_values() {
        // k(A_e) of IEC TR 60890, from memory.
        let remembered = [
            (0.1, 3.371),
            (0.2, 2.022),
            (0.3, 1.5),
            (0.4, 1.213),
            (0.5, 1.029),
            (0.6, 0.9),
            (0.8, 0.723),
            (1.0, 0.607),
        ];
        for (a_e, k) in remembered {
            assert!((enclosure_constant(a_e) / k - 1.0).abs() < 0.016, "{a_e}");
        }
    }
}
