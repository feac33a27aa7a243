//! Breakers: derating, time limits, bimetal, losses.

use model::{Current, Resistance, Standing, Temperature};
use physics::breaker::bimetal::{Bimetal, Opens};
use physics::breaker::local_heat::{Calibration, local_temperature_interval, trip_current_interval};
use physics::breaker::loss::{iec_max_loss, pole_heat, pole_resistance_prior, published_losses};
use physics::breaker::trip_limits::{Kind, Standard, time_limits};
use reference::{assert_printed, assert_printed_within, assert_within};

fn calibration(ambient_c: f64, opening_c: f64) -> Calibration {
    Calibration { ambient: Temperature::from_c(ambient_c), opening: Temperature::from_c(opening_c) }
}

fn trip_a(calibration: Calibration, rating: f64, at_c: f64) -> f64 {
    calibration.trip_current(Current::from_a(rating), Temperature::from_c(at_c)).expect("in range").a()
}

/// A10. Source: data sheet of a UL 489 miniature breaker, 10 A row: −35 → 13.89, 30 → 10.00, 40 → 9.24, 70 → 6.55 A;
/// θ_t = 100 °C; 0.3 %.
#[test]
fn val_derating_row_of_a_10_a_breaker() {
    let breaker = calibration(30.0, 100.0);
    assert_printed("13.89", trip_a(breaker, 10.0, -35.0));
    assert_printed("10.00", trip_a(breaker, 10.0, 30.0));
    assert_printed_within(
        "9.24",
        trip_a(breaker, 10.0, 40.0),
        0.003 * 9.24,
        "0.3 %: opening temperature fitted to three digits",
    );
    assert_printed("6.55", trip_a(breaker, 10.0, 70.0));
}

/// A11. Source: maker's page on thermal derating: a breaker calibrated at 40 °C carries 0.90 at 55 °C and 0.85 at
/// 60 °C of its rating, 18.0 and 17.0 A of 20 A; θ_t = 114.5 °C; 1 %.
#[test]
fn val_derating_of_a_40_c_breaker() {
    let breaker = calibration(40.0, 114.5);
    assert_printed_within(
        "18.0",
        trip_a(breaker, 20.0, 55.0),
        0.18,
        "1 %: the page prints factors of two digits",
    );
    assert_printed_within(
        "17.0",
        trip_a(breaker, 20.0, 60.0),
        0.17,
        "1 %: the page prints factors of two digits",
    );
}

/// Source: same page, two moulded-case frames: ×1.20, 1.10, 0.90 (20, 30, 50 °C) and ×1.21, 1.11, 0.93. The maker
/// used straight lines; 4 %.
#[test]
fn val_derating_of_moulded_case_frames() {
    for (opening, rows) in [
        (97.0, [(20.0, 1.20), (30.0, 1.10), (50.0, 0.90)]),
        (99.0, [(20.0, 1.21), (30.0, 1.11), (50.0, 0.93)]),
    ] {
        for (at_c, factor) in rows {
            let ours = trip_a(calibration(40.0, opening), 100.0, at_c) / 100.0;
            assert_within(1.0, ours / factor, 0.045, "straight lines of the maker, 4 %");
        }
    }
}

/// Source: derived: calibrated at 40 °C, θ_t = 100 °C, the stab lifts the bimetal by 30 K: 0.707, a 20 A breaker
/// trips near 14 A.
#[test]
fn verif_hot_stab_makes_a_20_a_breaker_trip_near_14_a() {
    assert_printed("14.1", trip_a(calibration(40.0, 100.0), 20.0, 70.0));
    let interval =
        trip_current_interval(Current::from_a(20.0), Temperature::from_c(40.0), Temperature::from_c(70.0))
            .expect("in range");
    assert!(interval.holds(Current::from_a(14.1)));
}

/// Source: the law is strictly falling with temperature, and its inverse gives the temperature back.
#[test]
fn verif_trip_current_falls_with_temperature_and_inverts() {
    let breaker = calibration(40.0, 110.0);
    let mut last = f64::INFINITY;
    for at_c in -40..=109 {
        let i = trip_a(breaker, 20.0, f64::from(at_c));
        assert!(i < last, "{at_c}");
        last = i;
        if i <= 26.0 {
            let back =
                breaker.local_temperature(Current::from_a(20.0), Current::from_a(i)).expect("in range");
            assert_within(f64::from(at_c), back.c(), 1e-9, "rounding");
        }
    }
    assert!(breaker.trip_current(Current::from_a(20.0), Temperature::from_c(110.5)).is_err());
    let explained =
        local_temperature_interval(Current::from_a(20.0), Temperature::from_c(40.0), Current::from_a(14.0))
            .expect("in range");
    assert!(40.0 < explained.low.c(), "a trip at 14 A of 20 A needs more than the calibration ambient");
}

/// A12. Source: maker's answer for a 15 A UL breaker: 35 000 µΩ a pole, 7.9 W a pole, 23.6 W for three poles.
#[test]
fn val_heat_of_a_15_a_pole() {
    let heat = pole_heat(Resistance::from_ohm(35_000e-6), Current::from_a(15.0)).w();
    assert_printed("7.9", heat);
    assert_printed("23.6", 3.0 * heat);
}

/// A20. Source: IEC 60898-1 test table, worked for 16 A: 18.08 A must hold, 23.2 A must trip within an hour.
#[test]
fn val_iec_60898_limits_of_16_a() {
    let limits = time_limits(Standard::Iec60898, Current::from_a(16.0)).expect("in range");
    let hold = limits.iter().find(|limit| limit.kind == Kind::Hold).expect("has a hold limit");
    let trip = limits.iter().find(|limit| limit.kind == Kind::Trip).expect("has a trip limit");
    assert_printed("18.08", hold.current.a());
    assert_printed("23.2", trip.current.a());
    assert_eq!((hold.time_s.value, trip.time_s.value), (3600.0, 3600.0));
    assert!(hold.time_s.is_verified() && trip.time_s.is_verified());
}

/// Source: UL 489 calibration as explained on a public page: 135 % within 1 h up to 50 A, 200 % within 2 min up to
/// 30 A. All other UL 489 times are from memory and must say so.
#[test]
fn val_ul_489_limits_and_their_standing() {
    let limits = time_limits(Standard::Ul489, Current::from_a(20.0)).expect("in range");
    let trips: Vec<(f64, f64)> = limits
        .iter()
        .filter(|limit| limit.kind == Kind::Trip)
        .map(|limit| (limit.multiple, limit.time_s.value))
        .collect();
    assert_eq!(trips, [(1.35, 3600.0), (2.0, 120.0)]);
    assert!(limits.iter().all(|limit| limit.time_s.is_verified()));
    let large = time_limits(Standard::Ul489, Current::from_a(60.0)).expect("in range");
    let from_memory = large.iter().filter(|limit| limit.time_s.cite.standing == Standing::FromMemory).count();
    assert_eq!(from_memory, 2);
}

/// Source: derived from a first-order body calibrated to 60 s at twice the rating with pickup 1.20: τ = 134 s,
/// 135 % 210 s, 300 % 23 s from cold.
#[test]
fn verif_bimetal_of_the_worked_calibration() {
    let body = Bimetal::calibrated(1.20, 2.0, 60.0).expect("in range");
    assert_printed("134", body.tau_s);
    assert_within(Bimetal::TYPICAL.tau_s, body.tau_s, 0.1, "constant of the program");
    let cold = |ratio| body.time_s(ratio, 0.0).expect("in range").expect("opens");
    assert_printed("210", cold(1.35));
    assert_printed("23", cold(3.0));
    assert_eq!(body.time_s(1.19, 0.0), Ok(None));
}

/// Source: adiabatic limit: for large currents the time goes to τ/m², so I²t is constant.
#[test]
fn verif_adiabatic_limit_of_the_bimetal() {
    let body = Bimetal { pickup: 0.5, tau_s: 100.0 };
    let m = 6.0 / 0.5;
    let t = body.time_s(6.0, 0.0).expect("in range").expect("opens");
    assert_within(1.0, t / (100.0 / (m * m)), 0.005, "second-order term 1/(2m²)");
}

/// Source: memory of heat: a preload shortens the time, a rest gives it back, and the interval holds both.
#[test]
fn verif_thermal_memory() {
    let body = Bimetal::TYPICAL;
    let t = |preload| body.time_s(2.0, preload).expect("in range").expect("opens");
    assert!(t(1.0) < t(0.5) && t(0.5) < t(0.0));
    let rested = body.preload_after_rest(1.0, 10.0 * body.tau_s).expect("in range");
    assert_within(1.0, t(rested) / t(0.0), 1e-3, "ten time constants");
    let Ok(Opens::After { low_s, high_s: Some(high_s) }) = Bimetal::interval(2.0, 0.0) else {
        panic!("twice the rating opens every breaker in working order")
    };
    assert!(low_s < 60.0 && 60.0 < high_s && 2.0 * low_s <= high_s * 1.0001);
    assert_eq!(Bimetal::interval(1.0, 0.0), Ok(Opens::Never));
}

/// Source: IEC 60898-1 maximum losses, from memory; derived voltages at rating: 10 A 300 mV, 16 A 219, 25 A 180,
/// 63 A 206, 125 A 160.
#[test]
fn val_iec_maximum_losses_from_memory() {
    for (rating, mv) in [(10.0, "300"), (16.0, "219"), (25.0, "180"), (63.0, "206"), (125.0, "160")] {
        let loss = iec_max_loss(Current::from_a(rating)).expect("in range");
        assert_eq!(loss.cite.standing, Standing::FromMemory);
        assert_printed(mv, loss.value.w() / rating * 1e3);
    }
    let mut last = 0.0;
    for rating in 1..=125 {
        let loss = iec_max_loss(Current::from_a(f64::from(rating))).expect("in range").value.w();
        assert!(last <= loss, "{rating}");
        last = loss;
    }
}

/// Source: three published figures (15 A UL 35 mΩ, 10 A DIN 1.25 W, 100 A DIN 14 W) must lie within two standard
/// deviations of the prior of a sound pole.
#[test]
fn val_prior_of_poles_holds_the_published_ones() {
    for (rating, loss) in published_losses() {
        let prior = pole_resistance_prior(rating).expect("in range");
        let ohm = loss.value.w() / (rating.a() * rating.a());
        let z = libm::log(ohm / prior.median.ohm()) / prior.frame_ln_sd;
        assert!(z.abs() < 2.0, "{} A: {z}", rating.a());
    }
}
