//! Bars: published ampacity tables.

use model::{Current, Length, Temperature};
use physics::bar::{Bar, CDA_ALPHA, Rating, copper_bar_50k, din_43671, rerate};
use reference::{assert_printed, assert_printed_within, assert_within};

const AIR: Temperature = Temperature::from_c(40.0);

fn cda(thickness_in: f64, width_in: f64, skin: f64, rise_k: f64) -> f64 {
    let bar = Bar::cda_copper(Length::from_in(width_in), Length::from_in(thickness_in), skin);
    bar.ampacity(AIR, rise_k).expect("in range").a()
}

/// A6. Source: CDA C11000 table (ε 0.4, 40 °C air, 60 Hz) as reprinted: 1/16×½ in carries 103, 136, 157 A at 30,
/// 50, 65 K. Re-rating from 103 A; 1 % because the base has three digits.
#[test]
fn val_rerating_of_the_smallest_bar() {
    let base = Rating { rise_k: 30.0, air: AIR };
    let at = |rise_k| {
        rerate(Current::from_a(103.0), CDA_ALPHA, base, Rating { rise_k, air: AIR }).expect("in range").a()
    };
    assert_printed("136", at(50.0));
    assert_printed_within("157", at(65.0), 1.57, "base of three digits, 1 %");
}

/// Source: same table, Dwight's method itself. At 50 K it gives 136.5 A: 0.4 % above the print, which does not say
/// its temperature coefficient.
#[test]
fn val_dwight_reproduces_the_smallest_bar() {
    assert_printed("103", cda(1.0 / 16.0, 0.5, 1.0, 30.0));
    assert_printed_within(
        "136",
        cda(1.0 / 16.0, 0.5, 1.0, 50.0),
        0.6,
        "the table does not print its coefficient",
    );
    assert_printed("157", cda(1.0 / 16.0, 0.5, 1.0, 65.0));
}

/// Source: same table, ten bars of load-center size. Dwight's method is claimed within 1.8 % of it; the table is
/// rounded to 5 A from 150 A on.
#[test]
fn val_dwight_reproduces_ten_bars() {
    let printed = [
        (1.0 / 16.0, 0.5, [103.0, 136.0, 157.0]),
        (1.0 / 16.0, 1.0, [187.0, 250.0, 285.0]),
        (1.0 / 16.0, 2.0, [345.0, 460.0, 530.0]),
        (1.0 / 8.0, 0.5, [153.0, 205.0, 235.0]),
        (1.0 / 8.0, 1.5, [385.0, 510.0, 590.0]),
        (1.0 / 8.0, 2.0, [495.0, 660.0, 760.0]),
        (0.25, 0.5, [240.0, 315.0, 360.0]),
        (0.25, 0.75, [320.0, 425.0, 490.0]),
    ];
    for (thickness, width, currents) in printed {
        for (rise_k, want) in [30.0, 50.0, 65.0].into_iter().zip(currents) {
            let ours = cda(thickness, width, 1.0, rise_k);
            assert_within(
                1.0,
                ours / want,
                0.025,
                "table rounded to 5 A; skin effect of thick bars left out",
            );
        }
    }
}

/// A7. Source: same table, ¼×4 in with a skin ratio of 1.12: 1250, 1700, 1950 A; 2.5 %.
#[test]
fn val_dwight_reproduces_the_large_bar() {
    for (rise_k, want) in [(30.0, 1250.0), (50.0, 1700.0), (65.0, 1950.0)] {
        let ours = cda(0.25, 4.0, 1.12, rise_k);
        assert_within(1.0, ours / want, 0.025, "list of checks: 2.5 %, skin ratio of two digits");
    }
}

/// Source: same table: 8.23 µΩ per foot and square inch at 20 °C, so 65.8 µΩ/ft for 1/8×1 in.
#[test]
fn val_resistance_of_a_bar() {
    let bar = Bar::cda_copper(Length::from_in(1.0), Length::from_in(0.125), 1.0);
    assert_printed("65.8", bar.resistance_ohm_m(Temperature::from_c(20.0)).expect("in range") * 0.3048 * 1e6);
}

/// A8. Source: DIN 43671 (secondary excerpt, not opened): 5×40 mm bare copper carries 482 A at 30 K over 35 °C.
#[test]
fn val_din_43671_5_by_40() {
    let ours = din_43671(Length::from_mm(40.0), Length::from_mm(5.0)).expect("in range").a();
    assert_printed("482", ours);
}

/// A9. Source: DIN 43671 (secondary excerpt): 10×60 mm 985 A; 3 %.
#[test]
fn val_din_43671_10_by_60() {
    let ours = din_43671(Length::from_mm(60.0), Length::from_mm(10.0)).expect("in range").a();
    assert_printed_within("985", ours, 0.03 * 985.0, "the fit is within 3 % of the standard's table");
}

/// Source: DIN 43671 (secondary excerpt), seven bars; the fit is claimed within −1.6 … +2.5 %.
#[test]
fn val_din_43671_seven_bars() {
    for (thickness, width, want) in [
        (5.0, 20.0, 274.0),
        (5.0, 30.0, 379.0),
        (5.0, 40.0, 482.0),
        (5.0, 60.0, 688.0),
        (10.0, 30.0, 573.0),
        (10.0, 60.0, 985.0),
        (10.0, 80.0, 1240.0),
    ] {
        let ours = din_43671(Length::from_mm(width), Length::from_mm(thickness)).expect("in range").a();
        assert_within(1.0, ours / want, 0.026, "claim of the fit");
    }
}

/// Source: derived: aluminium carries √(1.724/2.83) = 0.78 of copper's current in the same bar.
#[test]
fn verif_aluminium_carries_0_78_of_copper() {
    let copper = Bar::cda_copper(Length::from_in(1.0), Length::from_in(0.125), 1.0);
    let aluminium = Bar { resistivity_20c: 2.826e-8, alpha_20c: 4.03e-3, ..copper };
    let ratio = aluminium.ampacity(AIR, 50.0).expect("in range").a()
        / copper.ampacity(AIR, 50.0).expect("in range").a();
    assert_printed("0.78", ratio);
}

/// Source: two independent methods. The fit of CDA Publication 22 (50 K over 40 °C) does not say its emissivity; it
/// must lie between Dwight's balance for polished (0.04) and for blackened (0.9) copper.
#[test]
fn verif_fit_lies_between_polished_and_blackened_bars() {
    for (w, t) in [(20.0, 3.0), (25.0, 3.0), (40.0, 5.0), (60.0, 10.0)] {
        let (width, thickness) = (Length::from_mm(w), Length::from_mm(t));
        let dwight = |emissivity| {
            let bar = Bar { emissivity, ..Bar::cda_copper(width, thickness, 1.0) };
            bar.ampacity(AIR, 50.0).expect("in range").a()
        };
        let fit = copper_bar_50k(width, thickness).expect("in range").a();
        assert!(dwight(0.04) <= fit && fit <= dwight(0.9), "{w}×{t}: {} {fit} {}", dwight(0.04), dwight(0.9));
    }
}
