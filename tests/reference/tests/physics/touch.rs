//! A hand on the breaker.

use model::evidence::{Feel, TouchReading};
use model::id::{Slot, Space};
use model::{PanelId, Temperature};
use physics::touch::{TouchError, Touched, face_interval, interval_for, surface_temperature};
use reference::{assert_printed, assert_within};

/// A22. Source: pain at 45.7 °C (Hardy 1953, in PMC8300848 table 4); phenolic b = 700, skin 1200, 33 °C.
#[test]
fn val_phenolic_face_at_the_pain_threshold() {
    let t = surface_temperature(Temperature::from_c(45.7), Temperature::from_c(33.0), 1200.0, 700.0);
    assert_printed("67.5", t.expect("in range").c());
}

/// Source: derived table of sensations on plastic: 34–54, 55–69 (61), 60–78 (67), over 69 (79) °C. The table prints
/// whole degrees.
#[test]
fn verif_table_of_sensations_on_plastic() {
    let ends = |feel| {
        let interval = interval_for(feel, Touched::Plastic);
        [interval.low, interval.centre, interval.high].map(|t| t.map(Temperature::c))
    };
    let near = |want: f64, got: Option<f64>| {
        assert_within(want, got.expect("bounded"), 1.0, "whole degrees, rounded outwards")
    };
    let hot = ends(Feel::Hot);
    near(55.0, hot[0]);
    near(61.0, hot[1]);
    near(69.0, hot[2]);
    let pain = ends(Feel::Pain);
    near(60.0, pain[0]);
    near(67.0, pain[1]);
    near(78.0, pain[2]);
    let withdrawn = ends(Feel::Withdrawn);
    near(69.0, withdrawn[0]);
    near(79.0, withdrawn[1]);
    assert_eq!(withdrawn[2], None);
    near(54.0, ends(Feel::Warm)[2]);
    near(34.0, ends(Feel::NotWarm)[2]);
}

/// Source: ECMA-287 as quoted on a public page: 10 s on metal 55 °C and on plastic 65 °C, 1 s 65 and 85 °C; metal
/// feels hotter than plastic at the same temperature by about as much.
#[test]
fn val_metal_feels_hotter_than_plastic() {
    for feel in [Feel::Hot, Feel::Pain, Feel::Withdrawn] {
        let plastic = interval_for(feel, Touched::Plastic);
        let metal = interval_for(feel, Touched::Metal);
        let gap = plastic.centre.expect("has one").c() - metal.centre.expect("has one").c();
        assert!((10.0..=30.0).contains(&gap), "{feel:?}: {gap}");
    }
}

/// Source: ECMA-287: plastic is limited to 85 °C for one second. A face in the middle of "withdrawn" is below it.
#[test]
fn val_withdrawal_is_below_the_one_second_limit() {
    assert!(interval_for(Feel::Withdrawn, Touched::Plastic).centre.expect("has one").c() < 85.0);
}

/// Source: common practice: gloves, callus, cold or wet hands void the mapping.
#[test]
fn verif_void_touch_is_refused() {
    let slot = Slot::new(PanelId::new("main"), Space::whole(5));
    let mut reading = TouchReading { slot, feel: Feel::Hot, void: true, state: "evening".into() };
    assert_eq!(face_interval(&reading), Err(TouchError::Void));
    reading.void = false;
    assert!(face_interval(&reading).is_ok());
}
