//! Heat carried away by bars and wires.

use physics::fin::{fin_w_k, long_fin_w_k};
use reference::{assert_printed_within, assert_within};
use std::f64::consts::PI;

/// Source: derived list with h between 10 and 15 W/(m²·K): 4/0 aluminium 0.127, bus 1/8×1 in copper 0.136, 12 AWG
/// copper 0.015 W/K. The list does not say which perimeter it took for wires; here it is that of the insulation
/// (3.3 and 16.3 mm, common practice), and 12 AWG comes out up to 6 % lower at the upper h.
#[test]
fn verif_conductances_of_the_list() {
    let wire = |h, outer_mm: f64, k, mm2: f64| {
        long_fin_w_k(h, PI * outer_mm * 1e-3, k, mm2 * 1e-6).expect("in range")
    };
    assert_printed_within("0.015", wire(15.0, 3.3, 390.0, 3.31), 0.001, "perimeter of the list is not known");
    assert!(wire(10.0, 16.3, 235.0, 107.2) <= 0.127 && 0.127 <= wire(15.0, 16.3, 235.0, 107.2));
    let (w, t) = (0.0254, 0.003175);
    let bus = |h| long_fin_w_k(h, 2.0 * (w + t), 390.0, w * t).expect("in range");
    assert!(bus(10.0) <= 0.136 && 0.136 <= bus(15.0), "{} {}", bus(10.0), bus(15.0));
}

/// Source: limits of the fin: very long, it is the infinite fin; very short, its whole surface is at one
/// temperature, h·p·L.
#[test]
fn verif_limits_of_a_fin() {
    let (h, p, k, a) = (10.0, 0.05, 390.0, 8e-5);
    let long = fin_w_k(h, p, k, a, 10.0).expect("in range");
    assert_within(1.0, long / long_fin_w_k(h, p, k, a).expect("in range"), 1e-9, "tanh of a large number");
    let short = fin_w_k(h, p, k, a, 1e-3).expect("in range");
    assert_within(1.0, short / (h * p * 1e-3), 1e-5, "first order");
}
