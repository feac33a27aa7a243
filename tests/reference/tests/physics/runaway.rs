//! Runaway of a joint.

use model::{Current, Resistance, Voltage};
use physics::material::{Metal, material};
use physics::millivolt::path_resistance;
use physics::runaway::{critical_current, onset_growth, steady_rise_k};
use reference::{assert_printed, assert_within};

/// A21. Source: public note on connector degradation after Malucci & Ruffino: 32.2 mV at 9.2 A is 3.5 mΩ.
#[test]
fn val_runaway_of_a_tin_contact_is_3_5_mohm() {
    let r = path_resistance(Voltage::from_mv(32.2), Voltage::from_mv(0.1), Current::from_a(9.2), 0.02)
        .expect("in range");
    assert_printed("3.5", r.ohm * 1e3);
}

/// Source: derived from the heat balance: G = 0.20 W/K, 1 mΩ, aluminium: 223 A.
#[test]
fn verif_critical_current_is_far_above_residential_loads() {
    let alpha = material(Metal::Aluminium1350).alpha_20c.value;
    let i = critical_current(0.20, alpha, Resistance::from_mohm(1.0)).expect("in range").a();
    assert_printed("223", i);
}

/// Source: derived, 28 mV over the current: 0.7 mΩ at 40 A and 0.28 mΩ at 100 A lie inside the interval.
#[test]
fn verif_onset_growth_scales_with_the_current() {
    for (current, mohm) in [(40.0, 0.7), (100.0, 0.28)] {
        let growth = onset_growth(Current::from_a(current)).expect("in range");
        assert!(growth.holds(Resistance::from_mohm(mohm)), "{current}");
    }
}

/// Source: the heat balance itself: G θ = I² R0 (1 + α θ).
#[test]
fn verif_steady_rise_closes_the_heat_balance() {
    let (g, alpha, r0) = (0.12, 4e-3, Resistance::from_mohm(2.0));
    for i in [5.0, 20.0, 60.0, 110.0] {
        let theta = steady_rise_k(g, alpha, r0, Current::from_a(i)).expect("below critical");
        assert_within(1.0, g * theta / (i * i * r0.ohm() * (1.0 + alpha * theta)), 1e-12, "rounding");
    }
}
