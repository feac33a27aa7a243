//! Current that a bare flat bar carries at a given rise, and re-rating between rises.

use crate::range::{OutOfRange, within};
use crate::surface::{DWIGHT_RADIATION, vertical_convection_w_m2};
use model::{Current, Length, Temperature};

/// A bare flat bar on edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Longer side, standing upright.
    pub width: Length,
    /// Shorter side.
    pub thickness: Length,
    /// Resistivity at 20 °C, Ω·m.
    pub resistivity_20c: f64,
    /// Temperature coefficient at 20 °C, 1/K.
    pub alpha_20c: f64,
    /// Emissivity.
    pub emissivity: f64,
    /// Ratio of alternating-current to direct-current resistance; 1 for the thin bars of load centers.
    pub skin_ratio: f64,
}

/// Resistivity behind the CDA tables, Ω·m: 8.23 µΩ per foot for 1 in² (99 % IACS copper, 20 °C).
pub const CDA_RESISTIVITY: f64 = 8.23e-6 * 0.0254 * 0.0254 / 0.3048;

/// Temperature coefficient of 99 % IACS copper at 20 °C, 1/K: 0.99 of 3.93·10⁻³.
pub const CDA_ALPHA: f64 = 0.003_89;

impl Bar {
    /// A copper bar as in the CDA tables: C11000, ε = 0.4.
    pub const fn cda_copper(width: Length, thickness: Length, skin_ratio: f64) -> Self {
        Bar {
            width,
            thickness,
            resistivity_20c: CDA_RESISTIVITY,
            alpha_20c: CDA_ALPHA,
            emissivity: 0.4,
            skin_ratio,
        }
    }

    fn checked(&self) -> Result<(f64, f64), OutOfRange> {
        let w = within("width", self.width.m(), "m", (0.005, 0.3), "bars of panels")?;
        let t = within("thickness", self.thickness.m(), "m", (0.0005, w), "not thicker than wide")?;
        within("skin ratio", self.skin_ratio, "", (1.0, 2.0), "bars of panels")?;
        within("emissivity", self.emissivity, "", (0.0, 1.0), "by definition")?;
        within("resistivity", self.resistivity_20c, "Ω·m", (1e-8, 1e-6), "metals of panels")?;
        within("temperature coefficient", self.alpha_20c, "1/K", (0.0, 1e-2), "metals")?;
        Ok((w, t))
    }

    /// Resistance of a metre of the bar, Ω/m.
    ///
    /// ```text
    /// R = s·ρ20·[1 + α20 (T − 20 °C)]/(w t)
    /// ```
    ///
    /// | symbol | here   | meaning                   | unit |
    /// |--------|--------|---------------------------|------|
    /// | T      | `at`   | temperature of the bar    | °C   |
    /// | w, t   | `width`, `thickness` | sides       | m    |
    /// | s      | `skin_ratio` | skin effect         | –    |
    ///
    /// - **Source:** law of conductor resistance.
    /// - **Valid:** −50 to 300 °C.
    /// - **Checked:** `tests/reference/tests/physics/bar.rs`.
    pub fn resistance_ohm_m(&self, at: Temperature) -> Result<f64, OutOfRange> {
        let (w, t) = self.checked()?;
        let t_c = within("bar temperature", at.c(), "°C", (-50.0, 300.0), "linear law of resistance")?;
        Ok(self.skin_ratio * self.resistivity_20c * (1.0 + self.alpha_20c * (t_c - 20.0)) / (w * t))
    }

    /// Current that lifts the bar by a given rise over still air.
    ///
    /// ```text
    /// I = √[(W_c + W_r)·p/R_ac]
    /// ```
    ///
    /// | symbol | here      | meaning                                         | unit |
    /// |--------|-----------|-------------------------------------------------|------|
    /// | W_c    | [`vertical_convection_w_m2`] with H = w | convection        | W/m² |
    /// | W_r    | Dwight's radiation at ε | radiation                         | W/m² |
    /// | p      | 2(w + t)  | perimeter                                       | m    |
    /// | R_ac   | [`Bar::resistance_ohm_m`] at air + rise | resistance        | Ω/m  |
    ///
    /// - **Source:** Dwight (1945), method of the CDA busbar tables (C11000, 60 Hz).
    /// - **Valid:** a single bar on edge in free still air. Inside a cabinet the air is the cabinet's. Within
    ///   1.8 % of the reprinted CDA table for ten bars.
    /// - **Checked:** `tests/reference/tests/physics/bar.rs`.
    pub fn ampacity(&self, air: Temperature, rise_k: f64) -> Result<Current, OutOfRange> {
        let (w, t) = self.checked()?;
        within("air", air.c(), "°C", (-40.0, 90.0), "rooms and cabinets")?;
        let theta = within("rise", rise_k, "K", (0.0, 200.0), "Dwight's law")?;
        let t_k = air.k() + theta;
        let w_c = vertical_convection_w_m2(theta, self.width)?;
        let fourth = |t: f64| t * t * t * t;
        let w_r = DWIGHT_RADIATION * self.emissivity * (fourth(t_k) - fourth(air.k()));
        let perimeter = 2.0 * (w + t);
        let r_ac = self.resistance_ohm_m(Temperature::from_k(t_k))?;
        Ok(Current::from_a(((w_c + w_r) * perimeter / r_ac).sqrt()))
    }
}

/// Rise and bar temperature of a rating.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    /// Rise over the air, K.
    pub rise_k: f64,
    /// Air.
    pub air: Temperature,
}

/// Current at another rise or air temperature, from a known rating.
///
/// ```text
/// I2/I1 = (θ2/θ1)^0.61·√[(1 + α(T1 − 20))/(1 + α(T2 − 20))]
/// ```
///
/// | symbol | here      | meaning                      | unit |
/// |--------|-----------|------------------------------|------|
/// | θ1, θ2 | `from.rise_k`, `to.rise_k` | rises       | K    |
/// | T1, T2 | air plus rise | bar temperatures         | °C   |
/// | α      | `alpha_20c` | temperature coefficient at 20 °C | 1/K |
///
/// - **Source:** CDA re-rating law, from memory; reproduces the reprinted CDA table within 1.8 % for ten bars.
/// - **Valid:** rises between 10 and 100 K.
/// - **Checked:** `tests/reference/tests/physics/bar.rs`.
pub fn rerate(current: Current, alpha_20c: f64, from: Rating, to: Rating) -> Result<Current, OutOfRange> {
    let i1 = within("current", current.a(), "A", (0.0, 1e5), "bars")?;
    let alpha = within("temperature coefficient", alpha_20c, "1/K", (0.0, 1e-2), "metals")?;
    let theta1 = within("first rise", from.rise_k, "K", (10.0, 100.0), "CDA re-rating law")?;
    let theta2 = within("second rise", to.rise_k, "K", (10.0, 100.0), "CDA re-rating law")?;
    let (t1, t2) = (from.air.c() + theta1, to.air.c() + theta2);
    let metal = (1.0 + alpha * (t1 - 20.0)) / (1.0 + alpha * (t2 - 20.0));
    Ok(Current::from_a(i1 * libm::pow(theta2 / theta1, 0.61) * metal.sqrt()))
}

/// Current of a bare copper bar on edge at 50 K over 40 °C.
///
/// ```text
/// I = 7.73·A^0.5·p^0.39
/// ```
///
/// | symbol | here     | meaning                         | unit |
/// |--------|----------|---------------------------------|------|
/// | A      | w·t      | cross-section                   | mm²  |
/// | p      | 2(w + t) | perimeter                       | mm   |
///
/// - **Source:** fit from memory of CDA Publication 22; re-rated to 30 K over 35 °C it gives 14 values of
///   DIN 43671 (secondary excerpt) within −1.6 … +2.5 %.
/// - **Valid:** bare flat copper bars, 10 to 200 mm by 2 to 15 mm.
/// - **Checked:** `tests/reference/tests/physics/bar.rs`.
pub fn copper_bar_50k(width: Length, thickness: Length) -> Result<Current, OutOfRange> {
    let w = within("width", width.mm(), "mm", (10.0, 200.0), "range of the fit")?;
    let t = within("thickness", thickness.mm(), "mm", (2.0, 15.0), "range of the fit")?;
    let (area, perimeter) = (w * t, 2.0 * (w + t));
    Ok(Current::from_a(7.73 * area.sqrt() * libm::pow(perimeter, 0.39)))
}

/// Current of a bare copper bar at 30 K over 35 °C, the base of DIN 43671.
///
/// ```text
/// copper_bar_50k, re-rated from 50 K over 40 °C to 30 K over 35 °C with α = 3.93·10⁻³
/// ```
///
/// | symbol | here      | meaning | unit |
/// |--------|-----------|---------|------|
/// | w, t   | `width`, `thickness` | sides | mm |
///
/// - **Source:** [`copper_bar_50k`] and [`rerate`].
/// - **Valid:** as there.
/// - **Checked:** `tests/reference/tests/physics/bar.rs`.
pub fn din_43671(width: Length, thickness: Length) -> Result<Current, OutOfRange> {
    let base = Rating { rise_k: 50.0, air: Temperature::from_c(40.0) };
    let din = Rating { rise_k: 30.0, air: Temperature::from_c(35.0) };
    rerate(copper_bar_50k(width, thickness)?, 0.003_93, base, din)
}
