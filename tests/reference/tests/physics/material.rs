//! Metals: Wiedemann–Franz as a check of resistivity against conductivity, and linearity.

use model::Temperature;
use physics::constants::{LORENZ_HIGH, LORENZ_LOW};
use physics::material::{Metal, material};
use reference::{assert_printed_within, assert_within};

/// Source: CRC Handbook, electrical resistivity of aluminium alloys (public page 12-10): 99 % Al with 1 % Cu is
/// 3.95e-8 Ω·m at 400 K and 2.74e-8 at 293 K, a ratio of 1.442. Aluminium 1350 is another alloy; the ratio of the
/// linear law is allowed 2 %.
#[test]
fn val_aluminium_resistance_ratio_400_k_to_293_k() {
    let aluminium = material(Metal::Aluminium1350);
    let at = |k: f64| aluminium.resistivity(Temperature::from_k(k)).expect("within the law");
    assert_printed_within("1.442", at(400.0) / at(293.0), 0.03, "another alloy of 1 % copper; 2 %");
}

/// Source: the Wiedemann–Franz law. k·ρ/T at 300 K of resistivity and conductivity from unlike sources must give
/// Lorenz numbers within the scatter that the program states, for the pure metals whose values are published.
#[test]
fn verif_conductivity_and_resistivity_give_the_stated_lorenz_scatter() {
    for metal in [Metal::Copper, Metal::Aluminium1350, Metal::Silver, Metal::Zinc, Metal::Nickel, Metal::Tin]
    {
        let values = material(metal);
        let rho = values.resistivity(Temperature::from_k(300.0)).expect("within the law");
        let lorenz = values.conductivity_w_mk.value * rho / 300.0;
        let (low, high) = (LORENZ_LOW * 0.99, LORENZ_HIGH * 1.01);
        assert!(low <= lorenz && lorenz <= high, "{metal:?}: {lorenz:e}");
    }
}

/// Source: IACS definition, 61 % of copper's conductivity: 1.7241e-8/0.61.
#[test]
fn verif_aluminium_1350_is_61_percent_iacs() {
    let ratio =
        material(Metal::Copper).resistivity_20c.value / material(Metal::Aluminium1350).resistivity_20c.value;
    assert_within(0.61, ratio, 0.0005, "resistivity given to four digits");
}
