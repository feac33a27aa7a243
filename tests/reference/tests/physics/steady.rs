//! Waiting for steady heat.

use physics::Between;
use physics::steady::{HOLD_MIN, final_from_three, final_rise_k, share_reached};
use reference::{assert_printed, assert_within};

/// Source: first-order body: three time constants reach 95 %.
#[test]
fn verif_an_hour_is_95_percent_of_a_breaker_body() {
    assert_printed("0.950", share_reached(HOLD_MIN * 60.0, 20.0 * 60.0).expect("in range"));
}

/// Source: the printed form θ_∞ = (θ2² − θ1θ3)/(2θ2 − θ1 − θ3), and an exact exponential.
#[test]
fn verif_three_readings_give_the_final_value_of_an_exponential() {
    for tau in [10.0, 20.0, 40.0] {
        let at = |t: f64| 22.0 + 30.0 * (1.0 - libm::exp(-t / tau));
        let readings = [at(5.0), at(5.0 + tau / 2.0), at(5.0 + tau)];
        let ours = final_from_three(readings).expect("settling");
        assert_within(52.0, ours, 1e-9, "exact for one time constant");
        let [a, b, c] = readings;
        assert_within((b * b - a * c) / (2.0 * b - a - c), ours, 1e-9, "printed form");
    }
    assert!(final_from_three([20.0, 25.0, 31.0]).is_err());
    assert!(final_from_three([20.0, 20.0, 20.0]).is_err());
    assert!(final_from_three([20.0, 25.0, 23.0]).is_err());
    assert!(final_from_three([20.0, 25.0, 29.5]).is_err(), "too early");
    assert!(final_from_three([50.0, 40.0, 35.0]).is_ok_and(|t| (t - 30.0).abs() < 1e-9), "cooling works too");
}

/// Source: one early reading of an exact exponential; too early is refused.
#[test]
fn verif_early_reading() {
    let tau = Between::new(900.0, 1500.0);
    let rise = final_rise_k(10.0, 1200.0, tau).expect("late enough");
    assert!(rise.holds(10.0 / (1.0 - libm::exp(-1.0))));
    assert!(final_rise_k(10.0, 600.0, tau).is_err());
}
