//! Point-to-point fault current.

use model::conductor::{Metal, WireSize};
use model::{Current, Length, Voltage};
use physics::conductor::{Raceway, ac_per_kft};
use physics::fault_current::{
    CENTRE_TAP_FACTOR, Circuit, Run, at_transformer, c_value, far_end, full_load_current,
};
use reference::{assert_printed, assert_printed_within, assert_within};

/// A17. Source: electrical plan review text (point-to-point method): 300 kVA, 2 %·0.9 = 1.8 %, 120/208 V:
/// I_FL = 833 A, ×55.55 = 46 273 A; 20 ft of 2×500 kcmil copper in steel, C = 22 185: f = 0.174, M = 0.852.
#[test]
fn val_published_three_phase_example() {
    let volts = Voltage::from_v(208.0);
    let full = full_load_current(Circuit::ThreePhase, 300.0, volts).expect("in range");
    assert_printed("833", full.a());
    let near = at_transformer(full, 1.8).expect("in range");
    assert_printed_within(
        "46 273",
        near.a(),
        0.002 * 46_273.0,
        "the source multiplies 833 by 55.55, both rounded",
    );
    let run = Run {
        circuit: Circuit::ThreePhase,
        length: Length::from_ft(20.0),
        c_value: 22_185.0,
        n_parallel: 2,
        voltage: volts,
    };
    let far = far_end(Current::from_a(46_273.0), run).expect("in range");
    assert_printed("0.174", far.f);
    assert_printed("0.852", far.multiplier);
    assert_printed("39.4", far.current.a() / 1000.0);
}

/// Source: derived by the same method: 25 kVA, 240 V, 1.6 %, 80 ft of 4/0 aluminium in plastic, then 50 ft of 14 AWG
/// copper.
#[test]
fn verif_house_example() {
    let full = full_load_current(Circuit::SinglePhase, 25.0, Voltage::from_v(240.0)).expect("in range");
    assert_printed("104.2", full.a());
    let line_to_line = at_transformer(full, 1.6).expect("in range").a();
    assert_printed("6510", line_to_line);
    let line_to_neutral = CENTRE_TAP_FACTOR * line_to_line;
    assert_printed("9766", line_to_neutral);
    let c = c_value(
        ac_per_kft(WireSize::Aught(4), Metal::Aluminium, Raceway::NonMagnetic).expect("in the table"),
    );
    assert_printed("9253", c);
    let run = |volts: f64, length: f64, c_value: f64| Run {
        circuit: Circuit::SinglePhase,
        length: Length::from_ft(length),
        c_value,
        n_parallel: 1,
        voltage: Voltage::from_v(volts),
    };
    let far = far_end(Current::from_a(line_to_line), run(240.0, 80.0, c)).expect("in range");
    assert_printed("0.469", far.f);
    assert_printed("4432", far.current.a());
    let far = far_end(Current::from_a(line_to_neutral), run(120.0, 80.0, c)).expect("in range");
    assert_printed("1.407", far.f);
    assert_printed("4057", far.current.a());
    let c14 =
        c_value(ac_per_kft(WireSize::Awg(14), Metal::Copper, Raceway::NonMagnetic).expect("in the table"));
    let end = far_end(far.current, run(120.0, 50.0, c14)).expect("in range");
    assert_within(353.0, end.current.a(), 1.0, "hand computation with a rounded C");
}

/// Source: law: a run of no length changes nothing, a longer run never gives more.
#[test]
fn verif_longer_runs_give_less() {
    let mut last = f64::INFINITY;
    for feet in 0..200 {
        let run = Run {
            circuit: Circuit::SinglePhase,
            length: Length::from_ft(f64::from(feet)),
            c_value: 617.0,
            n_parallel: 1,
            voltage: Voltage::from_v(120.0),
        };
        let current = far_end(Current::from_a(5000.0), run).expect("in range").current.a();
        assert!(current < last);
        last = current;
    }
}
