//! The gate opens by a whole record only, and closes by whatever speaks against it.

use super::{allowed, closed, gate, parts_of_joint};
use crate::house::{house, part_of, slot_of};
use crate::isolation::proofs::duty;
use crate::isolation::sources::questions;
use crate::sample::Sample;
use model::evidence::{Observation, Observed, VoltageReading};
use model::isolation::{
    Disconnect, HandleMove, MovedTo, PairReading, PartState, Proof, SourceLook, UtilityCut,
};
use model::job::{Exposure, Job};
use model::place::Place;
use model::{DateTime, FactId, JointId, PanelId, Voltage};
use proptest::prelude::*;

const SPLIT: &str = "upper lugs 1-3; lower main/1 4-6; 1,3 lower; 2,4 range; 7 kitchen; 8 hall";

fn at(minute: i8) -> DateTime {
    DateTime::constant(2025, 11, 20, 10, minute, 0, 0)
}

fn job() -> Job {
    let mut job = Sample::of(house(&[("main", SPLIT)]).panels).job;
    job.exposure = Exposure::ProvenDead;
    job
}

fn moved(job: &mut Job, minute: i8, space: &str, to: MovedTo) {
    let fact = FactId::new(format!("h{}-{minute}", job.handles.len()));
    job.handles.push(HandleMove { fact, at: at(minute), what: Disconnect::Breaker(slot_of(space)), to });
}

fn ruled_out(job: &mut Job, minute: i8) {
    for question in questions(&job.installation) {
        let fact = FactId::new(format!("s{}", job.sources.len()));
        let looked = "looked and asked".to_owned();
        let (source, found, is_cut) = (question.source, false, false);
        job.sources.push(SourceLook { fact, at: at(minute), source, found, is_cut, looked });
    }
}

fn utility(job: &mut Job, minute: i8, is_cut: bool) {
    let fact = FactId::new(format!("c{minute}"));
    job.cuts.push(UtilityCut { fact, at: at(minute), is_cut, words: "crew, meter pulled".to_owned() });
}

fn proof(job: &Job, minute: i8, part: &str, volts: f64) -> Proof {
    let part = part_of(part);
    let value = Voltage::from_v(volts);
    let pairs = duty(&job.installation, &part).pairs;
    Proof {
        fact: FactId::new(format!("p{}-{minute}", job.proofs.len())),
        at: at(minute),
        by: None,
        part,
        tester: "tester 1".to_owned(),
        live_before: Some(Voltage::from_v(121.0)),
        live_after: Some(Voltage::from_v(121.0)),
        readings: pairs.into_iter().map(|pair| PairReading { pair, value }).collect(),
    }
}

fn prove(job: &mut Job, minute: i8, part: &str, volts: f64) {
    let proof = proof(job, minute, part, volts);
    job.proofs.push(proof);
}

/// Switches a breaker off, rules out every source and proves a part dead.
pub(crate) fn isolated(job: &mut Job, space: &str, part: &str) {
    moved(job, 1, space, MovedTo::Off);
    ruled_out(job, 2);
    prove(job, 10, part, 0.2);
}

/// The lower bus switched off, everything ruled out, proven.
fn lower_dead() -> Job {
    let mut job = job();
    isolated(&mut job, "main/3", "main/lower");
    job
}

fn is_dead(job: &Job, part: &str) -> bool {
    gate(job, None).is_dead(&part_of(part))
}

fn missing(job: &Job, part: &str) -> String {
    match gate(job, None).part(&part_of(part)).map(|entry| entry.state.clone()) {
        Some(PartState::NotProven { missing }) => missing.join(" "),
        other => format!("{other:?}"),
    }
}

#[test]
fn a_written_exposure_proves_nothing() {
    let job = job();
    assert_eq!(allowed(&job, None), Exposure::CoverOff);
    assert!(gate(&job, None).parts.iter().all(|entry| !gate(&job, None).is_dead(&entry.part)));
    for joint in ["stab", "terminal"] {
        let slot = slot_of("main/7");
        let joint = if joint == "stab" { JointId::Stab(slot) } else { JointId::Terminal(slot) };
        assert!(!closed(&job, &joint, None).is_empty());
    }
}

#[test]
fn a_whole_record_opens_what_it_proves_and_nothing_else() {
    let job = lower_dead();
    assert!(is_dead(&job, "main/lower"), "{}", missing(&job, "main/lower"));
    assert_eq!(allowed(&job, None), Exposure::ProvenDead);
    for part in ["main/upper", "main", "main/1", "main/7", "main/8"] {
        assert!(!is_dead(&job, part), "{part}");
    }
    assert!(closed(&job, &JointId::Stab(slot_of("main/7")), None).is_empty());
    // The stab of the section main sits on the upper bus: live until the utility cuts.
    let reasons = closed(&job, &JointId::Stab(slot_of("main/1")), None).join(" ");
    assert!(reasons.contains("utility has not cut"), "{reasons}");
    assert!(!closed(&job, &JointId::Terminal(slot_of("main/7")), None).is_empty());
}

#[test]
fn lugs_and_the_upper_bus_are_dead_by_the_utility_alone() {
    let mut job = job();
    for space in ["main/1", "main/2"] {
        moved(&mut job, 1, space, MovedTo::Off);
    }
    ruled_out(&mut job, 2);
    for part in ["main", "main/upper"] {
        prove(&mut job, 10, part, 0.0);
    }
    assert!(!is_dead(&job, "main") && !is_dead(&job, "main/upper"));
    utility(&mut job, 5, true);
    assert!(is_dead(&job, "main") && is_dead(&job, "main/upper"), "{}", missing(&job, "main"));
    utility(&mut job, 20, false);
    assert!(!is_dead(&job, "main") && !is_dead(&job, "main/upper"));
}

#[test]
fn a_proof_is_whole_or_it_is_none() {
    let part = part_of("main/lower");
    type Spoil = fn(&mut Proof);
    let spoilt: [(&str, Spoil); 5] = [
        ("not tried on a live source before", |proof| proof.live_before = None),
        ("not tried on a live source after", |proof| proof.live_after = None),
        ("a working one shows", |proof| proof.live_after = Some(Voltage::from_v(99.9))),
        ("Not tested: neutral to ground", |proof| {
            proof.readings.pop();
        }),
        ("should be cut off by the record", |proof| proof.readings[0].value = Voltage::from_v(3.1)),
    ];
    for (says, spoil) in spoilt {
        let mut job = lower_dead();
        spoil(&mut job.proofs[0]);
        assert!(!gate(&job, None).is_dead(&part), "{says}");
        let said = missing(&job, "main/lower");
        assert!(said.contains(says), "{says}: {said}");
    }
    let mut limit = lower_dead();
    limit.proofs[0].readings[0].value = Voltage::from_v(3.0);
    assert!(gate(&limit, None).is_dead(&part), "the limit itself is still dead");
}

#[test]
fn a_contradiction_stops_everything_until_something_is_done_and_it_is_proven_again() {
    let mut job = lower_dead();
    prove(&mut job, 12, "main/8", 118.0);
    assert!(gate(&job, None).stop.is_some_and(|stop| stop.contains("118 V") && stop.contains("Hands off")));
    assert!(!is_dead(&job, "main/lower") && allowed(&job, None) == Exposure::CoverOff);
    // Reading again until it suits is not enough.
    prove(&mut job, 14, "main/8", 0.0);
    prove(&mut job, 14, "main/lower", 0.0);
    assert!(gate(&job, None).stop.is_some());
    moved(&mut job, 15, "main/8", MovedTo::Off);
    prove(&mut job, 16, "main/8", 0.0);
    assert!(gate(&job, None).stop.is_none());
    assert!(is_dead(&job, "main/8") && is_dead(&job, "main/lower"));
}

#[test]
fn a_proof_holds_for_its_day_and_not_before_it_was_made() {
    let job = lower_dead();
    let part = part_of("main/lower");
    assert!(gate(&job, Some(at(11))).is_dead(&part));
    assert!(!gate(&job, Some(at(9))).is_dead(&part));
    let tomorrow = DateTime::constant(2025, 11, 21, 8, 0, 0, 0);
    assert!(!gate(&job, Some(tomorrow)).is_dead(&part));
}

#[test]
fn switching_a_new_panel_on_takes_back_what_was_proven() {
    let mut job = job();
    utility(&mut job, 1, true);
    ruled_out(&mut job, 2);
    prove(&mut job, 10, "main", 0.2);
    assert!(is_dead(&job, "main"));
    job.install.energised.push(model::install::Energised {
        fact: FactId::new("on"),
        at: at(20),
        by: None,
        stage: model::install::Stage::Supply,
        spaces: Vec::new(),
        readings: Vec::new(),
        legs: Vec::new(),
        meter: None,
    });
    assert!(!is_dead(&job, "main") && missing(&job, "main").contains("switched on"));
    // A new proof without a new cut does not do, either: by the record it is fed.
    prove(&mut job, 30, "main", 0.2);
    assert!(!is_dead(&job, "main"));
}

#[test]
fn a_source_on_record_must_be_cut() {
    let mut job = lower_dead();
    job.installation.service.other_sources.push("generator inlet".to_owned());
    assert!(missing(&job, "main/lower").contains("Ruled out, and yet on record"));
    let looked = "inlet locked out".to_owned();
    let (fact, source) = (FactId::new("cut"), "A generator".to_owned());
    job.sources.push(SourceLook { fact, at: at(5), source, found: true, is_cut: true, looked });
    assert!(is_dead(&job, "main/lower"), "{}", missing(&job, "main/lower"));
}

#[test]
fn every_joint_needs_a_part() {
    let job = job();
    for joint in model::joint::joints(&job.installation) {
        let parts = parts_of_joint(&job.installation, &joint.id);
        assert!(!parts.is_empty(), "{}", joint.id);
        let gate = gate(&job, None);
        assert!(parts.iter().all(|part| gate.part(part).is_some()), "{}: {parts:?}", joint.id);
    }
}

const PARTS: [&str; 6] = ["main", "main/upper", "main/lower", "main/1", "main/7", "main/8"];
const SPACES: [&str; 5] = ["main/1", "main/3", "main/2", "main/7", "main/8"];

/// A course of entries that often opens some part, from numbers.
fn course(numbers: &[u32]) -> Job {
    let mut job = job();
    if numbers.first().is_some_and(|number| number % 8 != 0) {
        ruled_out(&mut job, 1);
    }
    for (idx, &number) in numbers.iter().enumerate() {
        let (minute, pick) = (2 + idx as i8, (number / 16) as usize);
        match number % 16 {
            0 => utility(&mut job, minute, false),
            1..=3 => utility(&mut job, minute, true),
            4 => moved(&mut job, minute, SPACES[pick % 5], MovedTo::On),
            5..=9 => moved(&mut job, minute, SPACES[pick % 5], MovedTo::Off),
            10 => prove(&mut job, minute, PARTS[pick % 6], 120.0),
            _ => prove(&mut job, minute, PARTS[pick % 6], 0.1),
        }
    }
    job
}

fn dead_parts(job: &Job) -> Vec<&'static str> {
    PARTS.into_iter().filter(|part| is_dead(job, part)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 192, ..ProptestConfig::default() })]

    /// Facts that speak for dead: taking one out never opens what is closed.
    #[test]
    fn verif_taking_out_a_fact_never_opens(numbers in prop::collection::vec(any::<u32>(), 1..24)) {
        let job = course(&numbers);
        let before = dead_parts(&job);
        let mut without = Vec::new();
        for idx in (0..job.handles.len()).filter(|&idx| job.handles[idx].to == MovedTo::Off) {
            let mut less = job.clone();
            less.handles.remove(idx);
            without.push(less);
        }
        for idx in (0..job.cuts.len()).filter(|&idx| job.cuts[idx].is_cut) {
            let mut less = job.clone();
            less.cuts.remove(idx);
            without.push(less);
        }
        for idx in 0..job.sources.len() {
            let mut less = job.clone();
            less.sources.remove(idx);
            without.push(less);
        }
        for idx in (0..job.proofs.len()).filter(|&idx| job.proofs[idx].readings[0].value.v() < 1.0) {
            let mut less = job.clone();
            less.proofs.remove(idx);
            without.push(less);
        }
        for less in without {
            // With less claimed cut, a reading may contradict nothing; then nothing is claimed there, either.
            for part in dead_parts(&less) {
                prop_assert!(before.contains(&part) || gate(&job, None).stop.is_some(), "{part}");
            }
        }
    }

    /// Whatever is open closes by any later fact that speaks against it, and by one proof taken out less is open.
    #[test]
    fn verif_what_speaks_against_it_closes(numbers in prop::collection::vec(any::<u32>(), 1..24)) {
        let job = course(&numbers);
        for part in dead_parts(&job) {
            let mut again = job.clone();
            moved(&mut again, 50, "main/2", MovedTo::On);
            prop_assert!(!is_dead(&again, part), "{part}: a handle on");
            let mut again = job.clone();
            utility(&mut again, 50, false);
            prop_assert!(!is_dead(&again, part), "{part}: given back");
            let mut again = job.clone();
            prove(&mut again, 50, part, 120.0);
            prop_assert!(!is_dead(&again, part) && gate(&again, None).stop.is_some(), "{part}: voltage");
            let mut again = job.clone();
            again.proofs.retain(|proof| proof.part != part_of(part));
            prop_assert!(!is_dead(&again, part), "{part}: no proof");
            let mut again = job.clone();
            again.sources.pop();
            prop_assert!(!is_dead(&again, part), "{part}: a source not looked for");
        }
    }

    /// A voltage read anywhere at a part that is open stops everything.
    #[test]
    fn verif_a_plain_reading_stops_it(numbers in prop::collection::vec(any::<u32>(), 1..24)) {
        let mut job = course(&numbers);
        let panel = PanelId::new("main");
        if is_dead(&job, "main/7") {
            let (from, to) = (Place::Load(slot_of("main/7")), Place::NeutralBar(panel));
            let reading =
                VoltageReading { from, to, value: Voltage::from_v(61.0), instrument: None, state: String::new() };
            let (fact, what) = (FactId::new("v"), Observed::Voltage(reading));
            job.observations.push(Observation { fact, at: at(50), by: None, what });
            prop_assert!(dead_parts(&job).is_empty() && gate(&job, None).stop.is_some());
        }
    }
}

#[test]
fn an_entry_that_was_set_aside_is_not_overlooked() {
    let doubt = |minute, kind| model::plan::Doubt {
        fact: FactId::new("aside"),
        at: at(minute),
        kind,
        why: "panel main has no space 99".to_owned(),
    };
    // A handle moved on that fits no breaker, after the test: nobody knows which it was.
    let mut job = lower_dead();
    assert!(is_dead(&job, "main/lower"));
    job.doubts.push(doubt(20, "handle"));
    assert!(!is_dead(&job, "main/lower"));
    assert!(missing(&job, "main/lower").contains("no space 99"), "{}", missing(&job, "main/lower"));
    assert_eq!(allowed(&job, None), model::job::Exposure::CoverOff.min(job.exposure));
    // Before the test it was tested away.
    let mut job = lower_dead();
    job.doubts.push(doubt(0, "handle"));
    assert!(is_dead(&job, "main/lower"));
    // A source that was found is there, whenever it was found.
    job.doubts.push(doubt(0, "source"));
    assert!(!is_dead(&job, "main/lower"));
    assert!(missing(&job, "main/lower").contains("another source was set aside"));
}
