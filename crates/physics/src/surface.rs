//! Heat that a surface gives to still air and to its surroundings.

use crate::between::Between;
use crate::cited::Cited;
use crate::constants::STEFAN_BOLTZMANN;
use crate::range::{OutOfRange, within};
use model::{Cite, Length, Standing, Temperature};

/// Dwight's 0.0022 W/in² with the height in inches, in SI units: 0.0022·0.0254^(1/4)/0.0254².
pub const DWIGHT_CONVECTION: f64 = 1.361_330_8;

/// Dwight's 36.9 W/in² with temperatures in thousands of kelvins, in SI units; 0.9 % above Stefan–Boltzmann.
pub const DWIGHT_RADIATION: f64 = 5.719_511_4e-8;

const RISE_K: (f64, f64) = (0.0, 300.0);
const HEIGHT_M: (f64, f64) = (0.005, 0.6);

/// Heat given to still air by a vertical face, W/m².
///
/// ```text
/// W_c = 0.0022·θ^1.25/H^0.25  W/in², H in inches;  SI: 1.3613·θ^1.25/H^0.25  W/m², H in metres
/// ```
///
/// | symbol | here     | meaning               | unit |
/// |--------|----------|-----------------------|------|
/// | θ      | `rise_k` | rise over the air     | K    |
/// | H      | `height` | height of the face    | m    |
///
/// - **Source:** Dwight (1945), form behind the CDA busbar tables; constant from memory, checked by the
///   reprinted table.
/// - **Valid:** still air, laminar, 5 mm ≤ H ≤ 0.6 m, θ ≤ 300 K.
/// - **Checked:** `tests/reference/tests/physics/bar.rs`.
pub fn vertical_convection_w_m2(rise_k: f64, height: Length) -> Result<f64, OutOfRange> {
    let theta = within("rise", rise_k, "K", RISE_K, "Dwight's law")?;
    let h_m = within("height", height.m(), "m", HEIGHT_M, "laminar flow along a bar")?;
    Ok(DWIGHT_CONVECTION * libm::pow(theta, 1.25) / libm::pow(h_m, 0.25))
}

/// Heat given to still air by a horizontal face that looks up, W/m².
///
/// ```text
/// W_h = 5.92·θ^1.25/L^0.25, L in mm;  SI: 1.0527·θ^1.25/L^0.25, L in metres
/// ```
///
/// | symbol | here     | meaning             | unit |
/// |--------|----------|---------------------|------|
/// | θ      | `rise_k` | rise over the air   | K    |
/// | L      | `width`  | width of the face   | m    |
///
/// - **Source:** CDA Publication 22, from memory.
/// - **Valid:** as [`vertical_convection_w_m2`].
/// - **Checked:** no published number was found.
pub fn horizontal_up_convection_w_m2(rise_k: f64, width: Length) -> Result<f64, OutOfRange> {
    let theta = within("rise", rise_k, "K", RISE_K, "CDA Publication 22")?;
    let l_mm = within("width", width.mm(), "mm", (5.0, 600.0), "laminar flow over a bar")?;
    Ok(5.92 * libm::pow(theta, 1.25) / libm::pow(l_mm, 0.25))
}

/// Heat radiated by a surface to surroundings that enclose it, W/m².
///
/// ```text
/// W_r = σ·ε·(T⁴ − T0⁴)
/// ```
///
/// | symbol | here           | meaning                       | unit      |
/// |--------|----------------|-------------------------------|-----------|
/// | σ      | [`STEFAN_BOLTZMANN`] | Stefan–Boltzmann constant | W/(m²·K⁴) |
/// | ε      | `emissivity`   | emissivity                    | –         |
/// | T, T0  | `surface`, `surroundings` | temperatures       | K         |
///
/// - **Source:** Stefan–Boltzmann law.
/// - **Valid:** grey surface small against its surroundings.
/// - **Checked:** `tests/reference/tests/physics/bar.rs`.
pub fn radiation_w_m2(
    emissivity: f64,
    surface: Temperature,
    surroundings: Temperature,
) -> Result<f64, OutOfRange> {
    let e = within("emissivity", emissivity, "", (0.0, 1.0), "by definition")?;
    let t = within("surface", surface.k(), "K", (200.0, 2000.0), "solid parts of a panel")?;
    let t0 = within("surroundings", surroundings.k(), "K", (200.0, 1000.0), "rooms and cabinets")?;
    Ok(STEFAN_BOLTZMANN * e * (t * t * t * t - t0 * t0 * t0 * t0))
}

/// Kinds of small part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Finish {
    /// Painted or plastic.
    Matte,
    /// Bright metal.
    Bright,
}

/// Film coefficient of small parts indoors, convection and radiation together, W/(m²·K).
///
/// ```text
/// a table: 8–12 painted or plastic, 4–7 bright metal
/// ```
///
/// | symbol | here     | meaning | unit |
/// |--------|----------|---------|------|
/// | –      | `finish` | surface | –    |
///
/// - **Source:** from memory.
/// - **Valid:** a few kelvins to some tens of kelvins over the air, still air.
/// - **Checked:** no published check was found.
pub fn film_coefficient_w_m2k(finish: Finish) -> Cited<Between<f64>> {
    let value = match finish {
        Finish::Matte => Between::new(8.0, 12.0),
        Finish::Bright => Between::new(4.0, 7.0),
    };
    Cited::new(value, Cite::new("heat transfer tables", "small parts indoors", Standing::FromMemory))
}

/// Rise of a part from its rise at another heat, by the usual law of still air and radiation, K.
///
/// ```text
/// θ2 = θ1·(P2/P1)^0.8
/// ```
///
/// | symbol | here      | meaning       | unit |
/// |--------|-----------|---------------|------|
/// | θ1     | `rise_k`  | rise at P1    | K    |
/// | P1, P2 | `p1_w`, `p2_w` | heats    | W    |
///
/// - **Source:** common simplification of natural convection and radiation.
/// - **Valid:** within a factor of 10 in heat, rises up to 100 K.
/// - **Checked:** unit tests beside it.
pub fn rise_by_heat_k(rise_k: f64, p1_w: f64, p2_w: f64) -> Result<f64, OutOfRange> {
    let theta = within("rise", rise_k, "K", (0.0, 100.0), "still-air law")?;
    let p1 = within("first heat", p1_w, "W", (1e-3, 1e4), "panels")?;
    let p2 = within("second heat", p2_w, "W", (0.1 * p1, 10.0 * p1), "a tenth to ten times the first")?;
    Ok(theta * libm::pow(p2 / p1, 0.8))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn constants_are_dwights_in_si() {
        let per_in2 = 1.0 / (0.0254 * 0.0254);
        assert!((0.0022 * per_in2 * libm::pow(0.0254, 0.25) / DWIGHT_CONVECTION - 1.0).abs() < 1e-6);
        assert!((36.9e-12 * per_in2 / DWIGHT_RADIATION - 1.0).abs() < 1e-7);
    }

    #[test]
    fn dwight_agrees_with_the_si_form_of_cda_publication_22() {
        // 7.66 θ^1.25/L^0.25, L in mm, from memory: within 0.1 % of Dwight's.
        let ours = vertical_convection_w_m2(30.0, Length::from_mm(50.0)).unwrap();
        let cda = 7.66 * libm::pow(30.0, 1.25) / libm::pow(50.0, 0.25);
        assert!((ours / cda - 1.0).abs() < 1e-3);
    }

    #[test]
    fn ten_times_the_heat_is_not_ten_times_the_rise() {
        let rise = rise_by_heat_k(10.0, 1.0, 10.0).unwrap();
        assert!((rise - 63.0957).abs() < 1e-3);
        assert!(rise_by_heat_k(10.0, 1.0, 11.0).is_err());
    }
}
