//! Every condition, once where it holds and once where it does not.

use super::Condition;
use crate::Policy;
use crate::sample::{Sample, sound_panel, split_bus};
use crate::situation::Situation;
use model::advice::Urgency;
use model::assessment::{Cause, Interval};
use model::evidence::{
    ClampPlace, CurrentReading, DropReading, Observed, Sign, Surface, TemperatureMethod, TemperatureReading,
};
use model::id::{PanelId, Slot, Space};
use model::job::{Complaint, ComplaintKind};
use model::load::LoadState;
use model::place::Place;
use model::quantity::{Current, Temperature, Voltage};
use model::{FactId, Leg};
use serde::Deserialize;

#[derive(Deserialize)]
struct Written {
    when: Condition,
}

fn holds(sample: &Sample, written: &str) -> Option<String> {
    let written: Written =
        toml::from_str(&format!("when = {written}")).expect("the test's condition is right");
    written.when.check().map_err(|wrong| wrong.what).expect("the condition makes sense");
    let policy = Policy::standard();
    let findings = sample.findings();
    written.when.holds(&Situation::of(&sample.job, &findings, &policy))
}

fn interval(median: f64) -> Option<Interval> {
    Some(Interval { low: median / 2.0, median, high: median * 2.0 })
}

#[test]
fn probabilities_are_asked_of_the_joints_named_and_of_no_others() {
    let sample = split_bus().burnt("main:stab:2", 0.6).burnt("main:stab:5", 0.3);
    assert_eq!(
        holds(&sample, r#"{ burnt = { joints = ["section-stab"], at_least = 0.6 } }"#).as_deref(),
        Some(
            "the stab under breaker 2/4, which feeds the lower section, pole in space 2 is likely burnt (60 %)"
        )
    );
    assert!(holds(&sample, r#"{ burnt = { joints = ["stab"], at_least = 0.3 } }"#).is_some());
    assert_eq!(holds(&sample, r#"{ burnt = { joints = ["stab"], at_least = 0.31 } }"#), None);
    assert_eq!(holds(&sample, r#"{ burnt = { joints = ["lug", "terminal"], at_least = 0.3 } }"#), None);
    // 0.3 burnt and a fifth of the rest worn.
    assert!(holds(&sample, r#"{ worn-or-burnt = { joints = ["stab"], at_least = 0.43 } }"#).is_some());
    assert_eq!(holds(&sample, r#"{ worn-or-burnt = { joints = ["stab"], at_least = 0.45 } }"#), None);
}

#[test]
fn the_expected_number_counts_suspect_joints_only() {
    let sample = sound_panel().burnt("main:stab:1", 0.6).burnt("main:stab:2", 0.5).burnt("main:stab:3", 0.1);
    assert!(holds(&sample, r#"{ expected-burnt = { joints = ["stab"], at_least = 1.1 } }"#).is_some());
    assert_eq!(holds(&sample, r#"{ expected-burnt = { joints = ["stab"], at_least = 1.11 } }"#), None);
}

#[test]
fn heat_and_hot_spots_are_medians() {
    let mut sample = sound_panel();
    let stab = sample.joints.iter_mut().find(|finding| finding.joint.id.to_string() == "main:stab:4");
    let stab = stab.expect("the stab is there");
    stab.heat_now_w = interval(6.0);
    stab.heat_rated_w = Interval { low: 5.0, median: 9.0, high: 12.0 };
    stab.hot_spot_c = interval(160.0);
    assert!(holds(&sample, r#"{ heat-now = { joints = ["stab"], at_least_w = 6.0 } }"#).is_some());
    assert_eq!(holds(&sample, r#"{ heat-now = { joints = ["stab"], at_least_w = 6.1 } }"#), None);
    assert_eq!(holds(&sample, r#"{ heat-now = { joints = ["lug"], at_least_w = 6.0 } }"#), None);
    assert!(holds(&sample, r#"{ heat-rated = { joints = ["stab"], at_least_w = 9.0 } }"#).is_some());
    assert_eq!(
        holds(&sample, r#"{ hot-spot = { joints = ["stab"], at_least_c = 150.0 } }"#).as_deref(),
        Some("the hottest metal in the stab under breaker 4 (kitchen) near 160 °C")
    );
    assert_eq!(holds(&sample, r#"{ hot-spot = { joints = ["stab"], at_least_c = 161.0 } }"#), None);
}

#[test]
fn signs_complaints_and_causes() {
    let mut sample = sound_panel().sign(Sign::PittedStab).cause(Cause::Overload, 0.6);
    sample.job.complaints.push(Complaint {
        fact: FactId::new("c1"),
        kind: ComplaintKind::HalfHouse,
        slot: None,
        at: model::DateTime::constant(2025, 11, 20, 8, 0, 0, 0),
        words: String::new(),
    });
    assert!(holds(&sample, r#"{ sign = ["buzz", "pitted-stab"] }"#).is_some());
    assert_eq!(holds(&sample, r#"{ sign = ["buzz"] }"#), None);
    assert!(holds(&sample, r#"{ complaint = ["half-house"] }"#).is_some());
    assert_eq!(holds(&sample, r#"{ complaint = ["smell"] }"#), None);
    assert!(holds(&sample, r#"{ cause = { is = ["overload"], at_least = 0.6 } }"#).is_some());
    assert_eq!(holds(&sample, r#"{ cause = { is = ["overload"], at_least = 0.61 } }"#), None);
    assert_eq!(holds(&sample, r#"{ cause = { is = ["burnt-stab"], at_least = 0.1 } }"#), None);
}

#[test]
fn a_sign_that_was_looked_for_and_not_found_does_not_count() {
    let mut sample = sound_panel().sign(Sign::Buzz);
    if let Observed::Sign(reading) = &mut sample.job.observations[0].what {
        reading.present = false;
    }
    assert_eq!(holds(&sample, r#"{ sign = ["buzz"] }"#), None);
}

#[test]
fn supply_paths_and_leg_voltages() {
    let sample = sound_panel().failing("neutral", 0.7).failing("leg A", 0.2).leg_voltage(131.0);
    assert!(holds(&sample, r#"{ supply-failing = { path = ["neutral"], at_least = 0.7 } }"#).is_some());
    assert_eq!(holds(&sample, r#"{ supply-failing = { path = ["leg A", "leg B"], at_least = 0.3 } }"#), None);
    assert!(holds(&sample, "{ leg-voltage = { below_v = 105.0, above_v = 130.0 } }").is_some());
    assert_eq!(holds(&sample, "{ leg-voltage = { below_v = 105.0, above_v = 131.0 } }"), None);
}

/// What nothing feeds is off: both legs of a panel behind an open main, a circuit whose breaker opened.
#[test]
fn what_is_off_has_no_leg_voltage() {
    let limits = "{ leg-voltage = { below_v = 105.0, above_v = 130.0 } }";
    let off = |volts: [f64; 2]| {
        let mut sample = sound_panel().leg_voltage(volts[0]).leg_voltage(volts[1]);
        if let Observed::Voltage(reading) = &mut sample.job.observations[1].what {
            reading.from = Place::Lug(PanelId::new("main"), Leg::B);
        }
        sample
    };
    assert_eq!(holds(&off([0.2, 0.1]), limits), None);
    // One leg alone is a lost leg.
    assert!(holds(&off([0.2, 120.0]), limits).is_some() && holds(&off([120.0, 2.0]), limits).is_some());
    let at_load = |volts: f64| {
        let mut sample = sound_panel().leg_voltage(volts);
        if let Observed::Voltage(reading) = &mut sample.job.observations[0].what {
            reading.from = Place::Load(Slot::new(PanelId::new("main"), Space::whole(1)));
        }
        sample
    };
    assert_eq!(holds(&at_load(0.0), limits), None);
    assert!(holds(&at_load(98.0), limits).is_some());
}

#[test]
fn a_voltage_from_leg_to_leg_is_no_leg_voltage() {
    let mut sample = sound_panel().leg_voltage(242.0);
    if let Observed::Voltage(reading) = &mut sample.job.observations[0].what {
        reading.to = Place::Lug(PanelId::new("main"), Leg::B);
    }
    assert_eq!(holds(&sample, "{ leg-voltage = { below_v = 105.0, above_v = 130.0 } }"), None);
}

#[test]
fn legs_are_apart_in_one_panel_and_state_only() {
    let limit = "{ legs-apart = { at_least_v = 10.0 } }";
    let with = |volts: f64, panel: &str, state: &str| {
        let mut sample = sound_panel().leg_voltage(120.0).leg_voltage(volts);
        if let Observed::Voltage(reading) = &mut sample.job.observations[1].what {
            let panel = PanelId::new(panel);
            (reading.from, reading.to) = (Place::NeutralBar(panel.clone()), Place::Lug(panel, Leg::B));
            state.clone_into(&mut reading.state);
        }
        holds(&sample, limit)
    };
    assert!(with(131.0, "main", "evening").is_some_and(|words| words.contains("131.0 V on leg B")));
    assert_eq!(with(129.0, "main", "evening"), None);
    assert_eq!(with(131.0, "sub", "evening"), None);
    assert_eq!(with(131.0, "main", "morning"), None);
}

/// The 20 A circuit of the sound panel.
fn kitchen() -> Slot {
    Slot::new(PanelId::new("main"), Space::whole(4))
}

fn face_of_kitchen(face_c: f64) -> Observed {
    Observed::Temperature(TemperatureReading {
        place: Place::Face(kitchen()),
        value: Temperature::from_c(face_c),
        method: TemperatureMethod::Infrared,
        surface: Surface::Matte,
        emissivity: None,
        reflected: None,
        instrument: None,
        state: "evening".to_owned(),
    })
}

#[test]
fn a_hot_face_is_measured() {
    let sample = sound_panel().observed(face_of_kitchen(86.0));
    assert!(holds(&sample, "{ face-temperature = { at_least_c = 85.0 } }").is_some());
    assert_eq!(holds(&sample, "{ face-temperature = { at_least_c = 87.0 } }"), None);
}

fn metal_at(place: Place, value_c: f64, surface: Surface) -> Observed {
    Observed::Temperature(TemperatureReading {
        place,
        value: Temperature::from_c(value_c),
        method: TemperatureMethod::Infrared,
        surface,
        emissivity: None,
        reflected: None,
        instrument: None,
        state: "evening".to_owned(),
    })
}

fn lug_a() -> Place {
    Place::Lug(PanelId::new("main"), Leg::A)
}

#[test]
fn hot_metal_is_measured_where_it_is_read_last() {
    let limit = "{ metal-temperature = { at_least_c = 75.0 } }";
    let with = |value_c: f64, surface: Surface| sound_panel().observed(metal_at(lug_a(), value_c, surface));
    assert_eq!(
        holds(&with(82.0, Surface::Matte), limit).as_deref(),
        Some("the line lug of leg A measured at 82 °C in the state “evening”")
    );
    assert_eq!(holds(&with(82.0, Surface::Matte), "{ metal-temperature = { at_least_c = 83.0 } }"), None);
    // Read again, it is cooler; the neutral bar is not that lug.
    let bar = metal_at(Place::NeutralBar(PanelId::new("main")), 30.0, Surface::Matte);
    assert!(holds(&with(82.0, Surface::Matte).observed(bar), limit).is_some());
    let again = metal_at(lug_a(), 40.0, Surface::Matte);
    assert_eq!(holds(&with(82.0, Surface::Matte).observed(again), limit), None);
    // Infrared on bare metal tells nothing, and a face is not metal.
    assert_eq!(holds(&with(82.0, Surface::BareMetal), limit), None);
    assert_eq!(holds(&sound_panel().observed(face_of_kitchen(82.0)), limit), None);
}

/// 55 °C in a room of 21 °C at half the rating of the main: a sound lug is at most 12.5 K over the room.
#[test]
fn metal_is_too_warm_for_its_load() {
    let clamp = |place: ClampPlace, amps: f64| {
        let value = Current::from_a(amps);
        Observed::Current(CurrentReading { place, value, instrument: None, state: "evening".to_owned() })
    };
    let holds_with = |readings: Vec<Observed>, beyond_k: f64| {
        let sample = readings.into_iter().fold(sound_panel(), |sample, what| sample.observed(what));
        let limit = format!("{{ metal-heat = {{ rise_at_rating_k = 50.0, beyond_k = {beyond_k:.1} }} }}");
        holds(&in_the_evening(sample), &limit)
    };
    let warm = || metal_at(lug_a(), 55.0, Surface::Matte);
    let line = |amps: f64| clamp(ClampPlace::Line(PanelId::new("main"), Leg::A), amps);
    let told = holds_with(vec![warm(), line(50.0)], 20.0).expect("21.5 K beyond");
    assert!(
        told.contains("line lug of leg A at 55 °C with 50.0 A")
            && told.contains("22 K warmer than a sound one"),
        "{told}"
    );
    assert_eq!(holds_with(vec![warm(), line(50.0)], 22.0), None);
    assert_eq!(holds_with(vec![warm(), line(80.0)], 20.0), None);
    // What it carries is not on record: a single breaker of the leg is not all of it.
    assert_eq!(holds_with(vec![warm()], 20.0), None);
    assert_eq!(holds_with(vec![warm(), clamp(ClampPlace::Pole(kitchen()), 10.0)], 20.0), None);
    // What else was read there is as warm: so is the air of the cabinet.
    let beside = |value_c: f64| metal_at(Place::Lug(PanelId::new("main"), Leg::B), value_c, Surface::Matte);
    assert!(holds_with(vec![warm(), line(50.0), beside(22.0)], 20.0).is_some());
    assert_eq!(holds_with(vec![warm(), line(50.0), beside(36.0)], 20.0), None);
    // A load terminal goes by its own breaker, 20 A.
    let terminal = || metal_at(Place::Load(kitchen()), 55.0, Surface::Matte);
    assert!(holds_with(vec![terminal(), clamp(ClampPlace::Pole(kitchen()), 10.0)], 20.0).is_some());
    assert_eq!(holds_with(vec![terminal(), clamp(ClampPlace::Pole(kitchen()), 20.0)], 20.0), None);
}

/// 600 mV at 10 A on a 20 A pole: 262 mV could be a sound one, the rest is 3.4 W.
#[test]
fn a_drop_stands_for_heat() {
    let limit = |watts: f64| format!("{{ drop-heat = {{ sound_mv = 525.0, beyond_w = {watts:.1} }} }}");
    let main = || PanelId::new("main");
    let pole = |number: u16| Place::Load(Slot::new(main(), Space::whole(number)));
    let reading = |from: Place, to: Place, mv: f64, amps: Option<f64>| {
        Observed::Drop(DropReading {
            from,
            to,
            value: Voltage::from_v(1e-3 * mv),
            current: amps.map(Current::from_a),
            instrument: None,
            state: "evening".to_owned(),
        })
    };
    let with = |readings: Vec<Observed>| {
        readings.into_iter().fold(sound_panel(), |sample, what| sample.observed(what))
    };
    let bad = || reading(Place::Lug(main(), Leg::A), pole(4), 600.0, Some(10.0));
    let told = holds(&with(vec![bad()]), &limit(3.0)).expect("3.4 W");
    assert!(
        told.contains("600 mV over the pole of space 4 at 10.0 A") && told.contains("about 3 W more"),
        "{told}"
    );
    assert_eq!(holds(&with(vec![bad()]), &limit(3.5)), None);
    // The other way round it is the same; read again and found sound, it counts no more.
    let turned = reading(pole(4), Place::Lug(main(), Leg::A), 600.0, Some(10.0));
    assert!(holds(&with(vec![turned]), &limit(3.0)).is_some());
    let again = reading(Place::Lug(main(), Leg::A), pole(4), 82.0, Some(10.0));
    assert_eq!(holds(&with(vec![bad(), again]), &limit(3.0)), None);
    // Without a current it stands for nothing that could be said; nor does a drop of the neutral.
    let unclamped = reading(Place::Lug(main(), Leg::A), pole(4), 600.0, None);
    let neutral = reading(Place::NeutralLug(main()), Place::NeutralBar(main()), 600.0, Some(10.0));
    assert_eq!(holds(&with(vec![unclamped, neutral]), &limit(3.0)), None);
}

#[test]
fn a_reading_is_at_odds_with_all_others() {
    let mut sample = sound_panel().observed(face_of_kitchen(65.0));
    assert_eq!(holds(&sample, "{ unexplained = true }"), None);
    assert!(holds(&sample, "{ unexplained = false }").is_some());
    sample.unexplained.push(sample.job.observations[0].fact.clone());
    let told = holds(&sample, "{ unexplained = true }").expect("it is at odds");
    assert!(told.starts_with("65.0 °C at the face of breaker 4 (kitchen) fits nothing else"), "{told}");
    assert_eq!(holds(&sample, "{ unexplained = false }"), None);
    // With it on record nobody calls the panel sound.
    let verdict = sample.decide().verdict;
    assert_eq!(verdict.urgency, Urgency::ThisMonth);
    assert!(
        !verdict.summary.contains("Nothing was found wrong") && verdict.summary.contains(&told),
        "{}",
        verdict.summary
    );
    sample.unexplained.clear();
    assert!(sample.decide().verdict.summary.contains("Nothing was found wrong"));
}

/// With the state of the readings on record, in a room of 21 °C.
fn in_the_evening(mut sample: Sample) -> Sample {
    sample.job.load_states.push(LoadState {
        fact: FactId::new("evening"),
        name: "evening".to_owned(),
        at: jiff::civil::date(2026, 3, 4).at(18, 0, 0, 0),
        words: String::new(),
        held_min: None,
        room: Some(Temperature::from_c(21.0)),
        unloaded: Vec::new(),
    });
    sample
}

/// 75 °C with 10 A on a 20 A pole in a room of 21 °C: a sound one is at most 15 K over the room.
#[test]
fn a_face_is_too_warm_for_its_load() {
    let holds_at = |face_c: f64, amps: f64, beyond_k: f64| {
        let current = CurrentReading {
            place: ClampPlace::Pole(kitchen()),
            value: Current::from_a(amps),
            instrument: None,
            state: "evening".to_owned(),
        };
        let sample = sound_panel().observed(face_of_kitchen(face_c)).observed(Observed::Current(current));
        let sample = in_the_evening(sample);
        holds(&sample, &format!("{{ face-heat = {{ rise_at_rating_k = 60.0, beyond_k = {beyond_k:.1} }} }}"))
    };
    let told = holds_at(75.0, 10.0, 30.0).expect("39 K beyond");
    assert!(told.contains("space 4 at 75 °C with 10.0 A") && told.contains("39 K warmer"), "{told}");
    assert_eq!(holds_at(75.0, 10.0, 40.0), None);
    assert_eq!(holds_at(75.0, 20.0, 30.0), None);
}

#[test]
fn the_panel_itself() {
    let plain = sound_panel();
    let mut marked = split_bus();
    marked.job.installation.panels[0].moisture = Some(true);
    marked.job.installation.panels[0].breakers[2].other_make = Some(true);
    for (written, of_plain, of_marked) in [
        ("{ moisture = true }", false, true),
        ("{ moisture = false }", true, false),
        ("{ other-make = true }", false, true),
        ("{ other-make = false }", true, false),
        ("{ no-single-main = true }", false, true),
        ("{ no-single-main = false }", true, false),
        ("{ bus-metal = \"copper\" }", true, true),
        ("{ bus-metal = \"aluminium\" }", false, false),
        // Five of twelve spaces are taken in the plain panel, six in the split one.
        ("{ full-panel = { free_spaces_below = 8 } }", true, true),
        ("{ full-panel = { free_spaces_below = 7 } }", false, true),
        ("{ full-panel = { free_spaces_below = 6 } }", false, false),
    ] {
        assert_eq!(holds(&plain, written).is_some(), of_plain, "{written} of the plain panel");
        assert_eq!(holds(&marked, written).is_some(), of_marked, "{written} of the marked panel");
    }
}

#[test]
fn conditions_are_put_together() {
    let sample = sound_panel().sign(Sign::Moisture);
    assert!(holds(&sample, r#"{ any = [{ sign = ["buzz"] }, { moisture = true }] }"#).is_some());
    assert_eq!(holds(&sample, r#"{ any = [{ sign = ["buzz"] }, { sign = ["smell"] }] }"#), None);
    assert!(holds(&sample, r#"{ not = { sign = ["buzz"] } }"#).is_some());
    assert_eq!(holds(&sample, "{ not = { moisture = true } }"), None);
}
