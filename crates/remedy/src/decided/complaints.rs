//! Complaints that joints explain, that are left open, and that point before the panel.

use super::{choice, urgency};
use crate::sample::{Sample, sound_panel};
use model::advice::{ChoiceKind, Standing, Urgency};
use model::assessment::Cause;
use model::evidence::{Observed, Sign};
use model::id::{PanelId, Slot, Space};
use model::job::ComplaintKind;
use model::place::Place;
use model::{DateTime, Leg};

const STABS: [(Cause, f64); 3] =
    [(Cause::BurntStab, 0.4), (Cause::LooseTerminal, 0.33), (Cause::BeyondPanel, 0.27)];
const HARMLESS: [(Cause, f64); 3] =
    [(Cause::BurntStab, 0.3), (Cause::Overload, 0.4), (Cause::BeyondPanel, 0.3)];
const OPEN: [(Cause, f64); 3] =
    [(Cause::BurntStab, 0.3), (Cause::NotExplained, 0.4), (Cause::BeyondPanel, 0.3)];

#[test]
fn a_smell_that_joints_explain_presses_though_none_stands_out() {
    let decision = sound_panel().complaint(ComplaintKind::Smell, &STABS).decide();
    assert_eq!(decision.verdict.urgency, Urgency::Within72Hours);
    let summary = &decision.verdict.summary;
    assert!(!summary.contains("Nothing") && summary.contains("explained with 73 %"), "{summary}");
    let leave = choice(&decision, ChoiceKind::LeaveAndWatch).consequences;
    assert!(!leave.contains("Most likely nothing"), "{leave}");
    assert_eq!(urgency(&sound_panel().complaint(ComplaintKind::Heat, &STABS)), Urgency::Within72Hours);
}

#[test]
fn a_smell_is_let_go_only_where_something_harmless_explains_it() {
    let with = |causes: &[(Cause, f64)]| sound_panel().complaint(ComplaintKind::Smell, causes);
    assert_eq!(urgency(&with(&OPEN)), Urgency::ThisMonth);
    assert_eq!(urgency(&with(&HARMLESS)), Urgency::NoAction);
    // Smelt by the electrician himself it is sooner, with a complaint of it or without.
    assert_eq!(urgency(&with(&OPEN).sign(Sign::Smell)), Urgency::Within72Hours);
    assert_eq!(urgency(&with(&HARMLESS).sign(Sign::Smell)), Urgency::NoAction);
    assert_eq!(urgency(&sound_panel().sign(Sign::Smell)), Urgency::Within72Hours);
    // Of two complaints the one that is left open counts.
    let two = with(&HARMLESS).complaint(ComplaintKind::Heat, &OPEN);
    assert_eq!(urgency(&two), Urgency::ThisMonth);
}

#[test]
fn a_flicker_that_joints_explain_is_looked_at_this_month() {
    for kind in [ComplaintKind::Flicker, ComplaintKind::Noise, ComplaintKind::Trips] {
        assert_eq!(urgency(&sound_panel().complaint(kind, &STABS)), Urgency::ThisMonth, "{kind:?}");
        assert_eq!(urgency(&sound_panel().complaint(kind, &OPEN)), Urgency::NoAction, "{kind:?}");
    }
}

/// Joints that were opened and found sound explain no smell; it is then left open.
#[test]
fn what_proves_sound_explains_nothing() {
    let mut sample = sound_panel().complaint(ComplaintKind::Smell, &STABS).burnt("main:stab:4", 0.15);
    let stab = sample.joints.iter().find(|one| one.joint.id.to_string() == "main:stab:4");
    let stab = stab.expect("the stab is there").joint.id.clone();
    for cause in sample.causes[0].causes.iter_mut().filter(|cause| cause.cause != Cause::BeyondPanel) {
        cause.joints = vec![stab.clone()];
    }
    let verdict = sample.decide().verdict;
    let text = verdict.would_change.join("\n");
    assert_eq!(verdict.urgency, Urgency::Within72Hours);
    assert!(text.contains("If the stab under breaker 4 (kitchen) proves sound: this month."), "{text}");
}

/// Voltages of leg A and leg B to neutral, read in one state of a day of November 2025.
fn legs(sample: Sample, volts: [f64; 2], day: i8) -> Sample {
    let mut sample = sample.leg_voltage(volts[0]).leg_voltage(volts[1]);
    let at = DateTime::constant(2025, 11, day, 15, 0, 0, 0);
    for (read, leg) in sample.job.observations.iter_mut().rev().zip([Leg::B, Leg::A]) {
        read.at = at;
        if let Observed::Voltage(reading) = &mut read.what {
            reading.from = Place::Lug(PanelId::new("main"), leg);
        }
    }
    sample
}

#[test]
fn a_neutral_complained_of_is_now_until_both_legs_were_read() {
    let complained = || sound_panel().complaint(ComplaintKind::DimBright, &OPEN);
    let decision = complained().decide();
    assert_eq!(decision.verdict.urgency, Urgency::Now);
    assert!(decision.verdict.cautions.iter().any(|caution| caution.contains("unplug electronics now")));
    let utility = choice(&decision, ChoiceKind::CallUtility);
    assert_eq!(utility.standing, Standing::Open);
    assert!(utility.consequences.contains("partial loss of neutral"), "{}", utility.consequences);
    // One leg is not both, and what was read before the complaint is not since.
    assert_eq!(urgency(&complained().leg_voltage(120.0)), Urgency::Now);
    assert_eq!(urgency(&legs(complained(), [120.0, 121.0], 19)), Urgency::Now);
    // Read within limits it may come and go; read apart it is what was measured.
    let read = legs(complained(), [120.0, 121.0], 20).decide();
    assert_eq!(read.verdict.urgency, Urgency::ThisMonth);
    assert_eq!(choice(&read, ChoiceKind::CallUtility).standing, Standing::Open);
    assert_eq!(urgency(&legs(complained(), [112.0, 128.0], 20)), Urgency::Within72Hours);
}

#[test]
fn half_a_house_waits_for_both_legs_and_the_utility_is_told() {
    let complained = |causes: &[(Cause, f64)]| sound_panel().complaint(ComplaintKind::HalfHouse, causes);
    let decision = complained(&OPEN).decide();
    assert_eq!(decision.verdict.urgency, Urgency::Within72Hours);
    let utility = choice(&decision, ChoiceKind::CallUtility);
    assert!(utility.standing == Standing::Open && utility.consequences.contains("half of the house"));
    assert_eq!(urgency(&legs(complained(&OPEN), [120.0, 121.0], 20)), Urgency::ThisMonth);
    assert_eq!(urgency(&legs(complained(&HARMLESS), [120.0, 121.0], 20)), Urgency::NoAction);
}

/// A leg read at a receptacle of it counts, since nothing need be opened for that; a voltage to earth is none to neutral.
#[test]
fn legs_are_read_at_receptacles_too() {
    let mut sample = legs(sound_panel().complaint(ComplaintKind::DimBright, &OPEN), [120.0, 121.0], 20);
    let receptacle = |number| Place::Receptacle(Slot::new(PanelId::new("main"), Space::whole(number)));
    for (read, number) in sample.job.observations.iter_mut().zip([1, 4]) {
        if let Observed::Voltage(reading) = &mut read.what {
            reading.from = receptacle(number);
        }
    }
    assert_eq!(urgency(&sample), Urgency::ThisMonth);
    if let Observed::Voltage(reading) = &mut sample.job.observations[0].what {
        reading.to = Place::Earth(PanelId::new("main"));
    }
    assert_eq!(urgency(&sample), Urgency::Now);
}

/// A reason against the utility is true: no voltage speaks where none was read.
#[test]
fn the_utility_is_refused_for_what_is_so() {
    let refused =
        |sample: Sample| choice(&sample.decide(), ChoiceKind::CallUtility).reasons_against.join(" ");
    assert!(refused(sound_panel()).starts_with("No complaint points before the panel"));
    assert!(refused(sound_panel().leg_voltage(120.0)).starts_with("Neither the voltages nor a complaint"));
    let decision = sound_panel().leg_voltage(131.0).decide();
    assert_eq!(choice(&decision, ChoiceKind::CallUtility).standing, Standing::Open);
}
