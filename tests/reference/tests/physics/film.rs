//! Heat given off by small surfaces to still air.

use physics::thermal::film_heat_w;
use reference::assert_within;

/// Source: Churchill and Chu's correlation of free convection at a vertical plate, computed by the library `ht` 1.2 with air
/// properties of CoolProp 8.0: 0.45 m front at 55 °C in 30 °C 4.36 W/(m²·K), 75 mm face at 80 °C in 45 °C 6.07 W/(m²·K). The
/// simplified law used here is stated to lie within 12 %.
#[test]
fn val_simplified_convection_against_churchill_and_chu() {
    for (height_m, surface_c, air_c, printed) in [(0.45, 55.0, 30.0, 4.36), (0.075, 80.0, 45.0, 6.07)] {
        let heat = film_heat_w(1.0, height_m, 0.0, surface_c + 273.15, air_c + 273.15);
        let found = heat / (surface_c - air_c);
        assert_within(printed, found, 0.12 * printed, "simplified law");
    }
}

/// Source: Stefan–Boltzmann law between two temperatures, by hand: 5.670374419e-8·0.9·(343.15⁴ − 293.15⁴) = 330.7 W/m².
#[test]
fn verif_radiation_alone() {
    let both = film_heat_w(1.0, 1e12, 0.9, 343.15, 293.15);
    // A surface 10¹² m high has hardly any convection by this law: 1.42·(50/10¹²)^¼·50 = 0.19 W/m².
    assert_within(330.7 + 0.19, both, 0.1, "sum by hand");
}
