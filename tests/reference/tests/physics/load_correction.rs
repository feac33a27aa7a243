//! Rise at another load.

use model::Current;
use physics::load_correction::{corrected_rise, rise_at_k};
use reference::{assert_printed, assert_within};

/// Source: derived: 10 K at 40 A becomes 43 K (n = 1.6) to 63 K (n = 2.0) at 100 A.
#[test]
fn verif_10_k_at_40_a_carried_to_100_a() {
    let rise = corrected_rise(10.0, Current::from_a(40.0), Current::from_a(100.0)).expect("in range");
    assert_printed("43", rise.rise_k.low);
    assert_within(63.0, rise.rise_k.high, 0.5, "62.5 printed as 63");
    assert!(!rise.is_far, "40 % is the limit itself");
    assert!(corrected_rise(10.0, Current::from_a(39.0), Current::from_a(100.0)).expect("in range").is_far);
}

/// Source: CDA C11000 ampacity table: 1/16×½ in carries 103 A at 30 K and 157 A at 65 K. The rise carried from one
/// to the other with the exponents of the interval must hold the printed one.
#[test]
fn val_interval_holds_the_rise_of_the_cda_table() {
    for (i30, i65) in [(103.0, 157.0), (187.0, 285.0), (153.0, 235.0), (495.0, 760.0), (320.0, 490.0)] {
        let rise = corrected_rise(30.0, Current::from_a(i30), Current::from_a(i65)).expect("in range");
        assert!(rise.rise_k.holds(65.0), "{i30}: {rise:?}");
    }
}

/// Source: law itself: there and back gives the first rise.
#[test]
fn verif_load_there_and_back() {
    let (a, b) = (Current::from_a(12.0), Current::from_a(31.0));
    let there = rise_at_k(8.0, a, b, 1.8).expect("in range");
    assert_within(8.0, rise_at_k(there, b, a, 1.8).expect("in range"), 1e-12, "rounding");
}
