//! Constants of nature and definitions used by more than one formula, each with its source.

/// Lorenz number of metals, V²/K².
///
/// - **Source:** printed as 2.44·10⁻⁸ in a public finite-element example of contact heating; Sommerfeld's
///   (π²/3)(k_B/e)² is 2.443·10⁻⁸, see the test below.
/// - **Valid:** good metals near and above room temperature; the metals of panels scatter by ±12 %, see
///   [`LORENZ_LOW`] and [`LORENZ_HIGH`].
pub const LORENZ: f64 = 2.44e-8;

/// Smallest k·ρ/T among the metals of panels at 300 K, V²/K²: aluminium. Derived from conductivities.
pub const LORENZ_LOW: f64 = 2.14e-8;

/// Largest k·ρ/T among the metals of panels at 300 K, V²/K²: iron. Derived from conductivities.
pub const LORENZ_HIGH: f64 = 2.66e-8;

/// Stefan–Boltzmann constant, W/(m²·K⁴), exact in the SI of 2019 to the digits given (CODATA 2018).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

/// Boltzmann constant, J/K, exact (SI 2019).
pub const BOLTZMANN: f64 = 1.380_649e-23;

/// Elementary charge, C, exact (SI 2019).
pub const ELEMENTARY_CHARGE: f64 = 1.602_176_634e-19;

/// One inch, m, exact (international yard and pound agreement, 1959).
pub const INCH_M: f64 = 0.0254;

/// One foot, m, exact (international yard and pound agreement, 1959).
pub const FOOT_M: f64 = 0.3048;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lorenz_number_is_sommerfelds_to_three_digits() {
        let ratio = BOLTZMANN / ELEMENTARY_CHARGE;
        let sommerfeld = std::f64::consts::PI * std::f64::consts::PI / 3.0 * ratio * ratio;
        assert!((sommerfeld - 2.443e-8).abs() < 0.0005e-8);
        assert!((LORENZ / sommerfeld - 1.0).abs() < 0.002);
    }
}
