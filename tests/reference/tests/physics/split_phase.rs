//! Two legs around a neutral.

use model::{Resistance, Voltage};
use physics::split_phase::{LoadStep, load_step, open_neutral, with_neutral};
use reference::{assert_printed, assert_within};

const HALF: Voltage = Voltage::from_v(120.0);

fn ohm(value: f64) -> Resistance {
    Resistance::from_ohm(value)
}

/// A15. Source: worked example of a public course text: 100 W and 200 W at 120 V with the neutral open: 160 V and
/// 80 V, 1.111 A.
#[test]
fn val_open_neutral_of_100_w_and_200_w() {
    let (legs, current) =
        open_neutral(HALF, ohm(120.0 * 120.0 / 100.0), ohm(120.0 * 120.0 / 200.0)).expect("in range");
    assert_printed("160", legs.first.v());
    assert_printed("80", legs.second.v());
    assert_printed("1.111", current.a());
}

/// A16. Source: derived: Z1 = 10 Ω, Z2 = 40 Ω; R_n = 0.01, 0.1, 1 Ω and open.
#[test]
fn val_shift_of_the_neutral() {
    for (r_n, first, second) in
        [(0.01, "119.91", "120.09"), (0.1, "119.11", "120.89"), (1.0, "112.0", "128.0")]
    {
        let legs = with_neutral(HALF, ohm(10.0), ohm(40.0), ohm(r_n)).expect("in range");
        assert_printed(first, legs.first.v());
        assert_printed(second, legs.second.v());
    }
    let (open, _) = open_neutral(HALF, ohm(10.0), ohm(40.0)).expect("in range");
    assert_printed("48", open.first.v());
    assert_printed("192", open.second.v());
    let nearly = with_neutral(HALF, ohm(10.0), ohm(40.0), ohm(1e9)).expect("in range");
    assert_within(open.first.v(), nearly.first.v(), 1e-5, "limit of an open neutral");
}

/// Source: derived: R_L = 10 mΩ, 9.6 Ω heater added to 60/60 Ω, R_n = 0.2 Ω: ΔI 12.19 A, ΔV1 −2.552, ΔV2 +2.429 V
/// gives R_n = 0.199, R_L = 0.0100 Ω.
#[test]
fn verif_load_step_gives_the_resistances_back() {
    let result = load_step(LoadStep {
        change_first_v: -2.552,
        change_second_v: 2.429,
        change_current_a: 12.19,
        u_voltage_v: 0.2,
        u_current_rel: 0.02,
    })
    .expect("a large enough step");
    assert_printed("0.199", result.neutral.ohm);
    assert_within(0.0100, result.leg.ohm, 0.0002, "the voltages are given to a millivolt");
    assert!(result.neutral.exceeds(0.06, 2.0), "a healthy sum is 20 to 60 mΩ");
    assert!(!result.leg.exceeds(0.06, 2.0));
}

/// Source: requirement of the test: at least 10 A.
#[test]
fn verif_small_step_is_refused() {
    let step = LoadStep {
        change_first_v: -0.5,
        change_second_v: 0.4,
        change_current_a: 6.0,
        u_voltage_v: 0.2,
        u_current_rel: 0.02,
    };
    let error = load_step(step).expect_err("too small a step");
    assert!(error.to_string().contains("10 A and more"), "{error}");
}
