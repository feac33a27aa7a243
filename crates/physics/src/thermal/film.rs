//! Heat given off by a small surface to air and to surfaces at the same temperature.

/// Stefan–Boltzmann constant, W/(m²·K⁴): exact value of the 2019 SI from exact h, k and c (CODATA 2018).
const STEFAN_BOLTZMANN_W_M2_K4: f64 = 5.670_374_419e-8;

/// Heat given off by a vertical surface to still air and surroundings, watts; negative where it takes heat in.
///
/// ```text
/// P = A · [ 1.42 (|θ|/H)^¼ · θ + ε σ (T⁴ − T_a⁴) ],   θ = T − T_a
/// ```
///
/// | symbol | here         | meaning                                   | unit |
/// |--------|--------------|-------------------------------------------|------|
/// | A      | `area_m2`    | area                                      | m²   |
/// | H      | `height_m`   | height of the surface                     | m    |
/// | ε      | `emissivity` | total emissivity                          | –    |
/// | T      | `surface_k`  | temperature of the surface                | K    |
/// | T_a    | `air_k`      | temperature of air and surroundings       | K    |
/// | P      | returned     | heat given off                            | W    |
///
/// - **Source:** simplified laminar free convection at a vertical plate in air, 1.42 (θ/H)^¼ W/(m²·K), as printed
///   in heat-transfer textbooks (value from memory); Stefan–Boltzmann law for the second part.
/// - **Valid:** H from 0.01 to 1 m, |θ| to 100 K, indoors without a draught; there within 12 % of the
///   correlations of Churchill and Chu (two points kept in the reference test).
/// - **Checked:** `tests/reference`, module `film`.
pub fn film_heat_w(area_m2: f64, height_m: f64, emissivity: f64, surface_k: f64, air_k: f64) -> f64 {
    let theta = surface_k - air_k;
    let convection = 1.42 * libm::sqrt(libm::sqrt(libm::fabs(theta) / height_m)) * theta;
    let (t2, a2) = (surface_k * surface_k, air_k * air_k);
    let radiation = emissivity * STEFAN_BOLTZMANN_W_M2_K4 * (t2 - a2) * (t2 + a2);
    area_m2 * (convection + radiation)
}

/// Slope of [`film_heat_w`] over the temperature difference at a fixed mean temperature, W/K: what Newton's method needs.
///
/// ```text
/// dP/dθ = A · [ 1.25 · 1.42 (|θ|/H)^¼ + ε σ (4 T_m³ + 3 T_m θ²) ],   T_m = (T + T_a)/2
/// ```
///
/// | symbol | here       | meaning            | unit |
/// |--------|------------|--------------------|------|
/// | dP/dθ  | returned   | slope              | W/K  |
/// | others | as in [`film_heat_w`] |         |      |
///
/// - **Source:** derivative of [`film_heat_w`] with both temperatures moving by halves.
/// - **Valid:** as [`film_heat_w`].
/// - **Checked:** unit test against a difference quotient.
pub fn film_conductance_w_k(area_m2: f64, height_m: f64, emissivity: f64, surface_k: f64, air_k: f64) -> f64 {
    let theta = libm::fabs(surface_k - air_k);
    let mean = 0.5 * (surface_k + air_k);
    let convection = 1.25 * 1.42 * libm::sqrt(libm::sqrt(theta / height_m));
    area_m2
        * (convection
            + emissivity * STEFAN_BOLTZMANN_W_M2_K4 * mean * (4.0 * mean * mean + 3.0 * theta * theta))
}

/// Slope of [`film_heat_w`] over the surface's temperature with the air held fixed, W/K.
///
/// ```text
/// dP/dT = A · [ 1.25 · 1.42 (|θ|/H)^¼ + 4 ε σ T³ ]
/// ```
///
/// | symbol | here       | meaning            | unit |
/// |--------|------------|--------------------|------|
/// | dP/dT  | returned   | slope              | W/K  |
/// | others | as in [`film_heat_w`] |         |      |
///
/// - **Source:** derivative of [`film_heat_w`].
/// - **Valid:** as [`film_heat_w`].
/// - **Checked:** unit test against a difference quotient.
pub fn film_slope_fixed_air_w_k(
    area_m2: f64,
    height_m: f64,
    emissivity: f64,
    surface_k: f64,
    air_k: f64,
) -> f64 {
    let theta = libm::fabs(surface_k - air_k);
    let convection = 1.25 * 1.42 * libm::sqrt(libm::sqrt(theta / height_m));
    let radiation = 4.0 * emissivity * STEFAN_BOLTZMANN_W_M2_K4 * surface_k * surface_k * surface_k;
    area_m2 * (convection + radiation)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slope_agrees_with_a_difference_quotient() {
        for theta in [2.0, 10.0, 40.0, 90.0] {
            let (air, step) = (300.0, 1e-4);
            // Both sides move, so that the mean temperature stays.
            let heat = |t: f64| film_heat_w(2e-3, 0.07, 0.92, air + 0.5 * t, air - 0.5 * t);
            let quotient = (heat(theta + step) - heat(theta - step)) / (2.0 * step);
            let slope = film_conductance_w_k(2e-3, 0.07, 0.92, air + 0.5 * theta, air - 0.5 * theta);
            assert!((quotient / slope - 1.0).abs() < 1e-6, "{theta}: {quotient} {slope}");
        }
    }

    #[test]
    fn slope_with_fixed_air_agrees_with_a_difference_quotient() {
        let heat = |t: f64| film_heat_w(2e-3, 0.07, 0.92, t, 300.0);
        let quotient = (heat(340.0 + 1e-4) - heat(340.0 - 1e-4)) / 2e-4;
        let slope = film_slope_fixed_air_w_k(2e-3, 0.07, 0.92, 340.0, 300.0);
        assert!((quotient / slope - 1.0).abs() < 1e-6, "{quotient} {slope}");
    }
}
