//! What is asked for next: loads that were not running, terminals in question, readings to be taken again, and what is dangerous to ask.

use super::quick;
use crate::Judgement;
use crate::testjob::{add_state, bare, breaker, clamp, drop, face, leg_voltage, observe, sign, slot};
use model::advice::{CHECK_KINDS, CheckAdvice};
use model::breaker::LoadClass;
use model::evidence::Sign;
use model::job::{Complaint, ComplaintKind, Exposure, Job};
use model::place::Place;
use model::{DateTime, FactId, Leg};

const AT: DateTime = DateTime::constant(2026, 11, 20, 9, 0, 0, 0);

fn of_kind<'j>(found: &'j Judgement, kind: &str) -> Vec<&'j CheckAdvice> {
    found.next_checks.iter().filter(|check| check.kind == kind).collect()
}

fn complain(job: &mut Job, kind: ComplaintKind) {
    let (fact, words) = (FactId::new(format!("call {}", job.complaints.len())), String::new());
    job.complaints.push(Complaint { fact, kind, slot: None, at: AT, words });
}

/// Four circuits of 20 A at 8 A, read; a dryer and a water heater that carried nothing. All faces were read, with the cover on.
fn dryer_idle() -> Job {
    let mut breakers: Vec<_> = [5, 6, 7, 8].map(|number| breaker(&[number], 20.0, None)).into();
    breakers.push(breaker(&[1, 3], 30.0, Some(LoadClass::Dryer)));
    breakers.push(breaker(&[2, 4], 30.0, Some(LoadClass::WaterHeater)));
    let mut job = bare(12, breakers);
    job.exposure = Exposure::CoverOn;
    add_state(&mut job, "kettle on", 20.0);
    for number in 5..=8 {
        observe(&mut job, clamp(number, 8.0, "kettle on"));
    }
    job.load_states[0].unloaded = vec![slot(1), slot(2)];
    for number in 1..=8 {
        let warm = if number < 5 { 22.0 } else { 26.0 };
        observe(&mut job, face(number, warm, "kettle on"));
    }
    job
}

fn loads_asked(job: &Job) -> Vec<Place> {
    let found = quick(job);
    assert!(found.next_checks.iter().all(|check| CHECK_KINDS.contains(&check.kind.as_str())));
    of_kind(&found, "load-and-read").iter().flat_map(|check| check.places.clone()).collect()
}

/// All faces were read and all were cool: of the dryer that says nothing, for it did not run.
#[test]
fn a_load_that_never_ran_is_to_be_run_and_read() {
    let found = quick(&dryer_idle());
    let asked = of_kind(&found, "load-and-read");
    let dryer = asked.iter().find(|check| check.what.contains("the dryer")).expect("the dryer is to be run");
    assert_eq!(dryer.places, [1, 3].map(|number| Place::Face(slot(number))));
    assert!(dryer.what.contains("(space 1/3)") && dryer.what.contains("about 24 A"), "{}", dryer.what);
    assert!(dryer.exposure == Exposure::CoverOn && 0.1 < dryer.gain_bits, "{dryer:#?}");
    assert!(dryer.cautions.iter().any(|caution| caution.contains("Stop at smoke")));
    assert_eq!(dryer.expects.len(), 2);
    assert!(asked.iter().all(|check| {
        check.places.iter().all(|place| place.slot().is_some_and(|at| (1..=4).contains(&at.space.number)))
    }));
}

/// What is to stay off, what smells, and what was read while it ran is not loaded to be read; nor is anything before the legs are
/// read where an open neutral is possible.
#[test]
fn nothing_is_loaded_that_should_be_off() {
    let both = [1, 3, 2, 4].map(|number| Place::Face(slot(number)));
    let mut asked = loads_asked(&dryer_idle());
    asked.sort_by_key(|place| both.iter().position(|one| one == place));
    assert_eq!(asked, both);
    let water = &both[2..];

    let mut job = dryer_idle();
    observe(&mut job, sign(Sign::Buzz, 1, true));
    assert_eq!(loads_asked(&job), water);

    let mut job = dryer_idle();
    job.handles.push(model::isolation::HandleMove {
        fact: FactId::new("off"),
        at: AT,
        what: model::isolation::Disconnect::Breaker(slot(1)),
        to: model::isolation::MovedTo::Off,
    });
    assert_eq!(loads_asked(&job), water);

    let mut job = dryer_idle();
    add_state(&mut job, "dryer on", 20.0);
    job.load_states.swap(0, 1);
    observe(&mut job, clamp(1, 22.0, "dryer on"));
    observe(&mut job, face(1, 32.0, "dryer on"));
    assert_eq!(loads_asked(&job), water);

    let mut job = dryer_idle();
    complain(&mut job, ComplaintKind::DimBright);
    let found = quick(&job);
    assert_eq!(found.next_checks.first().map(|check| check.kind.as_str()), Some("leg-voltages"));
    assert!(of_kind(&found, "load-and-read").is_empty());
    for leg in [Leg::A, Leg::B] {
        observe(&mut job, leg_voltage(leg, 120.5, "kettle on"));
    }
    assert!(!loads_asked(&job).is_empty());
}

/// The first round of faces needs loads: not with a complaint that an open neutral would make, and not of what is suspect.
#[test]
fn the_first_look_loads_nothing_that_is_dangerous() {
    let panel = || bare(12, (1..=8).map(|number| breaker(&[number], 20.0, None)).collect());
    for kind in [ComplaintKind::DimBright, ComplaintKind::HalfHouse] {
        let mut job = panel();
        complain(&mut job, kind);
        let found = quick(&job);
        assert_eq!(found.next_checks.first().map(|check| check.kind.as_str()), Some("leg-voltages"));
        assert!(found.next_checks.iter().all(|check| !check.what.contains("heavy loads")));
    }
    let mut job = panel();
    observe(&mut job, sign(Sign::MeltedCase, 5, true));
    let found = quick(&job);
    let first = found.next_checks.first().expect("a first look");
    assert!(first.what.contains("leave off breaker 5 (suspect)"), "{}", first.what);
    assert!(first.joints.iter().all(|joint| joint.slot() != Some(&slot(5))));
}

/// Causes name the drop over the terminal alone; so do the checks.
#[test]
fn a_terminal_in_question_is_read_by_itself() {
    // Every face is read, so that no check of one goes before.
    let faces: Vec<(u16, f64)> =
        (1..=8).map(|number| (number, if number == 5 { 62.0 } else { 34.0 })).collect();
    let mut job = super::twelve(&faces, 10.0);
    observe(&mut job, sign(Sign::BakedInsulation, 5, true));
    let found = quick(&job);
    let across = [Place::Load(slot(5)), Place::Wire(slot(5))];
    let drop = of_kind(&found, "drop").into_iter().find(|check| check.places == across);
    assert!(drop.is_some_and(|check| 0.05 < check.gain_bits), "{:#?}", found.next_checks);
    assert_eq!(of_kind(&found, "terminal-temperature").len(), 1, "{:#?}", found.next_checks);
}

/// A note asks for it to be read again; so do the checks, though it is expected to tell little.
#[test]
fn a_reading_that_a_note_asks_for_again_is_among_the_checks() {
    let mut job = dryer_idle();
    for value_c in [26.0, 91.0] {
        observe(&mut job, face(6, value_c, "kettle on"));
    }
    let found = quick(&job);
    assert!(found.notes.iter().any(|note| note.text.contains("cannot both be right")));
    let shown = found.next_checks.iter().take(4);
    let again = shown.into_iter().find(|check| check.places == [Place::Face(slot(6))]);
    assert!(again.is_some_and(|check| check.what.contains("again")), "{:#?}", found.next_checks);
}

#[test]
fn faces_that_look_like_fahrenheit_are_told_of() {
    let notes = |faces: &[(u16, f64)]| {
        let found = quick(&super::twelve(faces, 4.0));
        found.notes.iter().filter(|note| note.text.contains("°F")).count()
    };
    let hot = [(1, 78.0), (2, 77.0), (3, 80.0), (4, 79.0)];
    assert_eq!(notes(&hot), 1);
    assert_eq!(notes(&hot[..3]), 0, "three are too few");
    assert_eq!(notes(&[(1, 78.0), (2, 77.0), (3, 80.0), (4, 79.0), (5, 31.0)]), 0, "one is not so");
}

#[test]
fn a_current_through_a_handle_that_is_off_is_told_of() {
    let mut job = super::twelve(&[], 4.0);
    job.installation.panels[0].breakers[4].handle = model::breaker::Handle::Off;
    let found = quick(&job);
    let told = found.notes.iter().filter(|note| note.text.contains("recorded as off"));
    assert_eq!(told.count(), 1);
}

/// A current that two clamps deny is not "not clamped", and a stab that is probably sound is no reason against its neighbour.
#[test]
fn reasons_say_what_is_so() {
    let mut job = super::twelve(&[(5, 48.0)], 10.0);
    observe(&mut job, clamp(5, 16.0, "evening"));
    observe(&mut job, sign(Sign::WillNotReset, 7, true));
    observe(&mut job, drop(8, 3, 90.0, "evening"));
    let found = quick(&job);
    let reasons: Vec<&str> =
        found.joints.iter().flat_map(|joint| &joint.reasons).map(|reason| reason.text.as_str()).collect();
    assert!(reasons.iter().any(|text| text.contains("(clamped, not believed)")), "{reasons:#?}");
    for finding in &found.joints {
        for reason in finding.reasons.iter().filter(|reason| reason.text.contains("where damage is likely")) {
            let named = |other: &&model::assessment::JointFinding| {
                reason.text.contains(&format!("with {},", other.joint.id))
            };
            let partner = found.joints.iter().find(named).expect("a joint is named");
            assert!(partner.probability.sound < 0.5, "{}: {}", finding.joint.id, reason.text);
        }
    }
}
