//! Monotony, inverses and honest intervals of the closed forms.

use model::evidence::Feel;
use model::{Current, Resistance, Temperature, Voltage};
use physics::Between;
use physics::breaker::bimetal::{Bimetal, Opens};
use physics::breaker::local_heat::{Calibration, local_temperature_interval, trip_current_interval};
use physics::breaker::loss::pole_resistance_prior;
use physics::contact::drop::{JointDrop, LIMIT_RMS_V, Path};
use physics::contact::melting::melting_need;
use physics::contact::voltage_temperature::{hot_spot, hottest_temperature, voltage_for};
use physics::emissivity::{LEAST_EMISSIVITY, apparent_temperature, surface_temperature};
use physics::load_correction::corrected_rise;
use physics::material::Metal;
use physics::severity::{Basis, severity};
use physics::split_phase::{LoadStep, load_step, with_neutral};
use physics::steady::{final_from_three, final_rise_k, share_reached};
use physics::touch::{Touched, interval_for};
use proptest::prelude::*;

fn kelvin(k: f64) -> Temperature {
    Temperature::from_k(k)
}

proptest! {
    #[test]
    fn voltage_and_temperature_are_inverse(body in 250.0..500.0f64, v in 0.0..0.6f64) {
        let hot = hottest_temperature(kelvin(body), Voltage::from_v(v)).unwrap();
        prop_assume!(hot.k() < 1811.0);
        let back = voltage_for(kelvin(body), hot).unwrap().v();
        // Near the body's own temperature the square root loses digits: T² − T0² of two near numbers.
        prop_assert!((back - v).abs() < 1e-6);
        prop_assert!(body <= hot.k() + 1e-9);
    }

    #[test]
    fn a_joint_drop_is_metallic_or_refused(v in 0.0..5.0f64, body in 280.0..400.0f64) {
        let drop = JointDrop::between_probes(Path::OneJoint, Voltage::from_v(v));
        prop_assert_eq!(drop.is_ok(), v < LIMIT_RMS_V);
        if let Ok(drop) = drop {
            let spot = hot_spot(kelvin(body), drop).unwrap();
            prop_assert!(spot.spot.low <= spot.spot.high);
            prop_assert!(spot.with_scatter.low <= spot.spot.low && spot.spot.high <= spot.with_scatter.high);
        }
    }

    #[test]
    fn what_melts_is_hot_enough(current in 1.0..200.0f64, body in 290.0..360.0f64) {
        for metal in [Metal::Tin, Metal::Aluminium1350, Metal::Copper] {
            let need = melting_need(metal, kelvin(body), Current::from_a(current)).unwrap();
            prop_assert!(need.joint_rms.low < need.joint_rms.high);
            // A joint at the upper end of the need reaches the melting point even at the smallest Lorenz number.
            if let Ok(drop) = JointDrop::between_probes(Path::OneJoint, need.joint_rms.high) {
                let spot = hot_spot(kelvin(body), drop).unwrap();
                prop_assert!(need.melting.k() <= spot.with_scatter.high.k() + 1e-6);
            }
            if let Ok(drop) = JointDrop::between_probes(Path::OneJoint, Voltage::from_v(0.98 * need.joint_rms.low.v())) {
                let spot = hot_spot(kelvin(body), drop).unwrap();
                prop_assert!(spot.with_scatter.high < need.melting);
            }
        }
    }

    #[test]
    fn hotter_bimetal_opens_at_less_current(one in -40.0..85.0f64, step in 0.1..30.0f64, rating in 10.0..125.0f64) {
        let (rating, ambient) = (Current::from_a(rating), Temperature::from_c(40.0));
        let at = |c| trip_current_interval(rating, ambient, Temperature::from_c(c)).unwrap();
        let (cool, warm) = (at(one), at(one + step));
        prop_assert!(warm.low < cool.low && warm.high < cool.high);
        prop_assert!(cool.low <= cool.high && warm.low <= warm.high);
    }

    #[test]
    fn trip_current_and_local_temperature_are_inverse(c in -20.0..95.0f64, opening in 96.0..130.0f64) {
        let calibration = Calibration { ambient: Temperature::from_c(40.0), opening: Temperature::from_c(opening) };
        let rating = Current::from_a(20.0);
        let tripped = calibration.trip_current(rating, Temperature::from_c(c)).unwrap();
        prop_assume!(tripped.a() <= 26.0);
        let back = calibration.local_temperature(rating, tripped).unwrap();
        prop_assert!((back.c() - c).abs() < 1e-9);
        if 90.0 <= opening {
            let interval = local_temperature_interval(rating, Temperature::from_c(40.0), tripped).unwrap();
            prop_assert!(interval.low.c() - 1e-9 <= c && c <= interval.high.c() + 1e-9);
        }
    }

    #[test]
    fn more_current_never_opens_later(one in 1.0..5.0f64, step in 0.0..1.0f64, preload in 0.0..1.0f64) {
        let body = Bimetal::TYPICAL;
        let at = |ratio| body.time_s(ratio, preload).unwrap().unwrap_or(f64::INFINITY);
        prop_assert!(at(one + step) <= at(one));
        if let Opens::After { low_s, high_s } = Bimetal::interval(one, preload).unwrap() {
            prop_assert!(0.0 <= low_s && high_s.is_none_or(|high| low_s <= high));
        }
    }

    #[test]
    fn larger_rating_has_less_resistance(one in 1.0..300.0f64, step in 0.5..100.0f64) {
        let at = |a: f64| pole_resistance_prior(Current::from_a(a)).unwrap().median.ohm();
        prop_assert!(at(one + step) < at(one));
    }

    #[test]
    fn infrared_there_and_back(t in 250.0..800.0f64, refl in 260.0..330.0f64, e in 0.31..1.0f64) {
        let shown = apparent_temperature(kelvin(t), kelvin(refl), e).unwrap();
        let back = surface_temperature(shown, kelvin(refl), e).unwrap();
        prop_assert!((back.k() - t).abs() < 1e-8);
        prop_assert!(surface_temperature(shown, kelvin(refl), LEAST_EMISSIVITY - 0.01).is_err());
    }

    #[test]
    fn corrected_rise_brackets_its_centre(rise in 0.0..100.0f64, i1 in 1.0..50.0f64, ratio in 0.2..5.0f64) {
        let found = corrected_rise(rise, Current::from_a(i1), Current::from_a(ratio * i1)).unwrap();
        prop_assert!(found.rise_k.holds(found.centre_k));
    }

    #[test]
    fn a_larger_difference_is_never_milder(delta in 0.0..200.0f64, step in 0.0..50.0f64) {
        for basis in [Basis::Similar, Basis::Air] {
            let class = |k| severity(basis, k).unwrap().class;
            prop_assert!(class(delta) <= class(delta + step));
        }
    }

    #[test]
    fn load_step_finds_the_neutral(r_n in 0.01..2.0f64, z in 20.0..80.0f64, heater in 5.0..11.0f64) {
        // No leg resistance: the closed form of the shift gives the readings.
        let ohm = Resistance::from_ohm;
        let half = Voltage::from_v(120.0);
        let off = with_neutral(half, ohm(z), ohm(z), ohm(r_n)).unwrap();
        let on_ohm = 1.0 / (1.0 / z + 1.0 / heater);
        let on = with_neutral(half, ohm(on_ohm), ohm(z), ohm(r_n)).unwrap();
        let change_current_a = on.first.v() / on_ohm - off.first.v() / z;
        prop_assume!(10.0 <= change_current_a);
        let found = load_step(LoadStep {
            change_first_v: on.first.v() - off.first.v(),
            change_second_v: on.second.v() - off.second.v(),
            change_current_a,
            u_voltage_v: 0.1,
            u_current_rel: 0.02,
        }).unwrap();
        // The other leg's own load changes too, which the test leaves out: it finds R_n·z/(z + R_n).
        prop_assert!((found.neutral.ohm - r_n * z / (z + r_n)).abs() < 1e-9);
        prop_assert!(found.leg.ohm.abs() < 1e-9);
    }

    #[test]
    fn early_and_three_readings_find_the_end(end in 5.0..80.0f64, tau in 300.0..1800.0f64, wait in 1.0..3.0f64) {
        let at = |t: f64| end * share_reached(t, tau).unwrap();
        let t = wait * tau;
        let found = final_rise_k(at(t), t, Between::new(0.9 * tau, 1.1 * tau)).unwrap();
        prop_assert!(found.low - 1e-9 <= end && end <= found.high + 1e-9);
        let three = [at(0.3 * tau), at(0.3 * tau + t / 2.0), at(0.3 * tau + t)];
        prop_assert!((final_from_three(three).unwrap() - end).abs() < 1e-6);
    }
}

#[test]
fn a_stronger_feeling_is_never_a_cooler_face() {
    for touched in [Touched::Plastic, Touched::Metal] {
        let lows: Vec<f64> = [Feel::NotWarm, Feel::Warm, Feel::Hot, Feel::Pain, Feel::Withdrawn]
            .iter()
            .map(|&feel| interval_for(feel, touched).low.map_or(f64::NEG_INFINITY, Temperature::c))
            .collect();
        assert!(lows.windows(2).all(|pair| pair[0] < pair[1]), "{lows:?}");
    }
}
