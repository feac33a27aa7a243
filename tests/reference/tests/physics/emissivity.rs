//! Infrared readings.

use model::Temperature;
use physics::Between;
use physics::emissivity::{InfraredError, apparent_temperature, surface_interval, surface_temperature};
use reference::assert_within;

fn c(value: f64) -> Temperature {
    Temperature::from_c(value)
}

/// Source: derived from the grey-body balance: 40 °C shown at ε = 0.22 with 25 °C reflected would be 80.8 °C. It is
/// refused; the inverse shows that the figure itself is right.
#[test]
fn verif_bare_metal_is_refused() {
    let refused = surface_temperature(c(40.0), c(25.0), 0.22);
    assert!(matches!(refused, Err(InfraredError::BareMetal { emissivity: 0.22 })));
    let shown = apparent_temperature(c(80.8), c(25.0), 0.22).expect("in range").c();
    assert_within(40.0, shown, 0.02, "80.8 has three digits");
}

/// Source: a black body shows its own temperature; the two directions are inverse.
#[test]
fn verif_infrared_there_and_back() {
    assert_within(55.0, surface_temperature(c(55.0), c(20.0), 1.0).expect("black").c(), 1e-9, "rounding");
    for e in [0.3, 0.6, 0.95] {
        let shown = apparent_temperature(c(70.0), c(22.0), e).expect("in range");
        assert_within(70.0, surface_temperature(shown, c(22.0), e).expect("in range").c(), 1e-9, "rounding");
    }
}

/// Source: monotonicity: between the corners no value lies outside the interval.
#[test]
fn verif_interval_holds_every_inner_value() {
    let interval = surface_interval(c(60.0), Between::new(c(18.0), c(35.0)), Between::new(0.85, 0.98))
        .expect("in range");
    for step_e in 0..=10 {
        for step_t in 0..=10 {
            let e = 0.85 + 0.013 * f64::from(step_e);
            let refl = c(18.0 + 1.7 * f64::from(step_t));
            assert!(interval.holds(surface_temperature(c(60.0), refl, e).expect("in range")));
        }
    }
}
