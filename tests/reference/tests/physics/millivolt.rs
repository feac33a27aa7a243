//! Millivolt practice.

use model::{Current, Voltage};
use physics::millivolt::{bus_tap_difference, path_resistance};
use reference::{assert_printed, assert_within};

/// Source: derived: 325 mV against 250 mV at 12.5 A is 6.0 mΩ and 0.94 W.
#[test]
fn verif_bus_tap_example() {
    let mv = Voltage::from_mv;
    let found =
        bus_tap_difference(mv(325.0), mv(0.0), mv(250.0), mv(0.0), Current::from_a(12.5)).expect("in range");
    assert_printed("6.0", found.resistance.mohm());
    assert_printed("0.94", found.heat.w());
}

/// Source: law of error propagation: relative uncertainties add in squares.
#[test]
fn verif_uncertainty_of_a_path() {
    let r = path_resistance(Voltage::from_mv(30.0), Voltage::from_mv(0.9), Current::from_a(10.0), 0.04)
        .expect("in range");
    assert_printed("3.0", r.ohm * 1e3);
    assert_within(0.05, r.u_ohm / r.ohm, 1e-12, "3 % and 4 % give 5 %");
}
