//! How a judgement must behave where voltages tell of the supply.

use super::{quick, told_as_unlike, twelve};
use crate::testjob::{self, add_state, bare, clamp, leg_voltage, observe};
use crate::{JudgeOptions, Judgement, judge};
use model::assessment::Cause;
use model::evidence::{Observed, VoltageReading};
use model::job::{Complaint, ComplaintKind, Job};
use model::panel::Feed;
use model::place::Place;
use model::{FactId, Leg, PanelId, Voltage};

/// Eight circuits, nothing clamped, the voltages of both legs and, where read, from leg to leg; and a complaint.
fn house(volts: [f64; 2], across: Option<f64>, kind: ComplaintKind) -> Job {
    let breakers = testjob::eight_spaces().installation.panels[0].breakers.clone();
    let mut job = bare(8, breakers);
    add_state(&mut job, "evening", 22.0);
    for (leg, volts) in [Leg::A, Leg::B].into_iter().zip(volts) {
        observe(&mut job, leg_voltage(leg, volts, "evening"));
    }
    let lug = |leg: Leg| Place::Lug(PanelId::new("main"), leg);
    if let Some(across) = across {
        observe(
            &mut job,
            Observed::Voltage(VoltageReading {
                from: lug(Leg::A),
                to: lug(Leg::B),
                value: Voltage::from_v(across),
                instrument: None,
                state: "evening".into(),
            }),
        );
    }
    job.complaints.push(Complaint {
        kind,
        words: String::new(),
        slot: None,
        at: job.load_states[0].at,
        fact: FactId::new("caller"),
    });
    job
}

fn failing(found: &Judgement, path: &str) -> f64 {
    found.supply.iter().find(|of| of.path == path).expect("every path is told of").failing
}

fn first_cause(found: &Judgement) -> (Cause, f64) {
    let first = &found.causes[0].causes[0];
    (first.cause, first.probability)
}

/// A resistance that throws the legs apart, as in section 6.1 of the physics notes: one leg falls, the other rises by as much, the sum
/// stays. It is found however far the legs are apart, and from whichever start.
#[test]
fn legs_that_are_thrown_apart_tell_of_the_neutral() {
    for ohm in [0.5, 1.0, 3.0] {
        let (step_a, source_v) = (12.0, 121.0);
        let mut job = twelve(&[], 1.0);
        add_state(&mut job, "heater on", 22.0);
        for number in 1..=8 {
            let amps = if number == 1 { 1.0 + step_a } else { 1.0 };
            observe(&mut job, clamp(number, amps, "heater on"));
        }
        for (state, shift_v) in [("evening", 0.0), ("heater on", step_a * ohm)] {
            observe(&mut job, testjob::leg_voltage(Leg::A, source_v - shift_v, state));
            observe(&mut job, testjob::leg_voltage(Leg::B, source_v + shift_v, state));
        }
        for seed in [1, 2, 3] {
            let found =
                judge(&job, &JudgeOptions { seed, ..JudgeOptions::default() }).expect("a panel is there");
            let neutral = found.supply.iter().find(|path| path.path == "neutral").expect("a neutral");
            assert!(0.95 < neutral.failing, "{ohm} Ω, seed {seed}: {}", neutral.failing);
            let mohm = neutral.resistance_mohm.median;
            assert!((mohm / (1e3 * ohm) - 1.0).abs() < 0.1, "{ohm} Ω, seed {seed}: {mohm} mΩ");
            assert!(found.sampling.r_hat < 1.2, "{ohm} Ω, seed {seed}: {}", found.sampling.r_hat);
        }
    }
}

/// One leg far off, the other as it should be: nothing in the house does that, so the reading is wrong.
#[test]
fn one_leg_that_stands_alone_is_a_wrong_reading() {
    let mut job = twelve(&[], 1.0);
    observe(&mut job, testjob::leg_voltage(Leg::A, 121.0, "evening"));
    observe(&mut job, testjob::leg_voltage(Leg::B, 145.0, "evening"));
    let found = quick(&job);
    assert!(found.supply.iter().all(|path| path.failing < 0.1), "{:?}", found.supply);
    assert!(told_as_unlike(&found, "145.0 V"), "{:?}", found.notes);
}

/// A divider: what is left on a leg that hardly holds is near nothing, whatever the resistance is. Source of the case: half the
/// house dead is one leg lost (common practice, no source).
#[test]
fn a_dead_leg_is_a_lost_one() {
    for (volts, across) in [(2.0, None), (0.0, None), (0.3, Some(120.4)), (15.0, Some(106.0))] {
        let found = quick(&house([volts, 120.5], across, ComplaintKind::HalfHouse));
        let (of_a, of_b) = (failing(&found, "leg A"), failing(&found, "leg B"));
        assert!(0.8 < of_a && of_b < 0.05, "{volts} V on leg A: {of_a}, {of_b} on leg B");
        let (cause, chance) = first_cause(&found);
        assert!(cause == Cause::LostLeg && 0.7 < chance, "{volts} V: {cause:?} {chance}");
    }
}

/// The same with the legs exchanged, whichever end of the meter is at the neutral.
#[test]
fn a_dead_leg_is_told_whichever_it_is() {
    let mut job = house([120.5, 2.0], None, ComplaintKind::HalfHouse);
    for observation in &mut job.observations {
        if let Observed::Voltage(reading) = &mut observation.what {
            std::mem::swap(&mut reading.from, &mut reading.to);
        }
    }
    let found = quick(&job);
    assert!(0.9 < failing(&found, "leg B") && failing(&found, "leg A") < 0.05, "{:?}", found.supply);
}

/// A 240 V load that is on holds the dead leg at the voltage of the other, in step with it: nothing from leg to leg.
#[test]
fn a_leg_that_is_fed_back_is_a_lost_one() {
    for (volts, across) in [([112.0, 120.5], 9.0), ([120.5, 119.0], 1.8)] {
        let found = quick(&house(volts, Some(across), ComplaintKind::HalfHouse));
        let lost = if volts[0] < volts[1] { "leg A" } else { "leg B" };
        assert!(0.95 < failing(&found, lost), "{volts:?}, {across} V: {:?}", found.supply);
        assert!(found.notes.iter().any(|note| note.text.contains("fed back")), "{:?}", found.notes);
    }
    let sound = quick(&house([120.0, 121.0], Some(241.0), ComplaintKind::HalfHouse));
    assert!(failing(&sound, "leg A") < 0.1 && !sound.notes.iter().any(|note| note.text.contains("fed back")));
}

/// Both legs high, or both low, are not the house's doing. Range: ANSI C84.1, service voltage, Range B (value from memory).
#[test]
fn both_legs_out_of_range_are_the_supply_before_the_panel() {
    for volts in [[128.5, 128.8], [107.0, 107.5]] {
        let found = quick(&house(volts, None, ComplaintKind::DimBright));
        let (cause, chance) = first_cause(&found);
        assert!(cause == Cause::UtilitySide && 0.7 < chance, "{volts:?}: {cause:?} {chance}");
        assert!(found.supply.iter().all(|path| path.failing < 0.1), "{volts:?}: {:?}", found.supply);
        let reasons = &found.causes[0].causes[0].reasons;
        assert!(reasons.iter().any(|reason| reason.contains("out of range")), "{reasons:?}");
    }
    for volts in [[120.0, 120.4], [126.0, 125.8], [112.0, 112.5], [109.0, 131.0]] {
        let found = quick(&house(volts, None, ComplaintKind::DimBright));
        let of_utility = found.causes[0].causes.iter().find(|of| of.cause == Cause::UtilitySide);
        assert!(of_utility.is_none_or(|of| of.probability < 0.25), "{volts:?}: {:?}", found.causes[0]);
    }
}

/// Both legs without voltage: the service is cut, or the main is open. Nothing has failed.
#[test]
fn a_panel_that_is_off_has_no_failing_leg() {
    let found = quick(&house([0.2, 0.3], Some(0.1), ComplaintKind::HalfHouse));
    assert!(found.supply.iter().all(|path| path.failing < 0.5), "{:?}", found.supply);
    assert!(found.notes.iter().any(|note| note.text.contains("the panel is off")), "{:?}", found.notes);
    // With the conductors before an open main read, too: those are alive, and sound.
    let mut job = house([0.2, 0.3], None, ComplaintKind::HalfHouse);
    for leg in [Leg::A, Leg::B] {
        observe(&mut job, leg_voltage(leg, 120.5, "evening"));
        if let Some(Observed::Voltage(reading)) = job.observations.last_mut().map(|last| &mut last.what) {
            reading.from = Place::Line(reading.from.panel().clone(), leg);
        }
    }
    let found = quick(&job);
    assert!(found.supply.iter().all(|path| path.failing < 0.3), "{:?}", found.supply);
    assert_eq!(found.notes.iter().filter(|note| note.text.contains("the panel is off")).count(), 2);
}

/// Legs of a sub-panel thrown apart, those of the service not: lights that dim and brighten are the feeder's.
#[test]
fn a_feeder_that_throws_its_legs_apart_explains_the_lights() {
    let mut job = house([120.0, 120.6], None, ComplaintKind::DimBright);
    let (mut sub, panel) = (job.installation.panels[0].clone(), PanelId::new("sub"));
    sub.id = panel.clone();
    sub.sections[0].feed = Feed::Breaker { slot: testjob::slot(1) };
    job.installation.panels.push(sub);
    for (leg, volts) in [Leg::A, Leg::B].into_iter().zip([110.0, 130.0]) {
        let (from, to) = (Place::Lug(panel.clone(), leg), Place::NeutralBar(panel.clone()));
        let value = Voltage::from_v(volts);
        observe(
            &mut job,
            Observed::Voltage(VoltageReading { from, to, value, instrument: None, state: "evening".into() }),
        );
    }
    let found = quick(&job);
    let (cause, chance) = first_cause(&found);
    assert!(cause == Cause::BeyondPanel && 0.7 < chance, "{cause:?} {chance}");
    let reasons = &found.causes[0].causes[0].reasons;
    assert!(reasons.iter().any(|reason| reason.contains("the feeder of sub")), "{reasons:?}");
}
