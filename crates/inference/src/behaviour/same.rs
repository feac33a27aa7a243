//! Changes of a record that must not matter: the same house told in another way gets the same judgement.

use crate::testjob::{add_state, bare, breaker, clamp, drop, face, leg_voltage, observe, sign, slot};
use crate::{JudgeOptions, judge};
use model::Leg;
use model::evidence::{Observed, Sign};
use model::job::Job;
use model::joint::JointId;

/// Errors of their difference that sampling may leave between two judgements of the same.
const ERRORS: f64 = 4.0;

/// Probabilities of burnt of the stabs 1 to 8, with their standard errors.
fn stabs(job: &Job) -> Vec<(f64, f64)> {
    let options = JudgeOptions { seed: 3, n_sweeps: 1_000, n_chains: 4, ..JudgeOptions::default() };
    let found = judge(job, &options).expect("a panel is there");
    let of = |number: u16| {
        let stab = JointId::Stab(slot(number));
        let found = found.joints.iter().find(|finding| finding.joint.id == stab).expect("a stab").probability;
        (found.burnt, found.burnt_standard_error)
    };
    (1..=8).map(of).collect()
}

/// A house of every kind of evidence, each space of it at `place`; space 5 is hot, 2 may be.
fn told(place: impl Fn(u16) -> u16) -> Vec<Observed> {
    let mut all = vec![drop(place(1), place(5), 150.0, "evening"), sign(Sign::Smell, place(5), true)];
    let faces = [24.0, 33.0, 25.0, 24.5, 44.0, 26.0, 25.0, 24.0];
    let amps = [0.0, 9.0, 3.0, 2.0, 14.0, 4.0, 6.0, 1.0];
    for number in 1..=8_u16 {
        let at = usize::from(number - 1);
        all.push(face(place(number), faces[at], "evening"));
        all.push(clamp(place(number), amps[at], "evening"));
    }
    all.extend([leg_voltage(Leg::A, 119.0, "evening"), leg_voltage(Leg::B, 120.6, "evening")]);
    all
}

fn house(told: Vec<Observed>) -> Job {
    let breakers = (1..=8).map(|number| breaker(&[number], 20.0, None)).collect();
    let mut job = bare(8, breakers);
    add_state(&mut job, "evening", 22.0);
    told.into_iter().for_each(|what| observe(&mut job, what));
    job
}

fn same(one: &[(f64, f64)], other: &[(f64, f64)], what: &str) {
    for (&(one, error), &(other, of_other)) in one.iter().zip(other) {
        let most = ERRORS * libm::hypot(error, of_other);
        assert!(
            most < 0.25 && (one - other).abs() < most,
            "{what}: {one:.3} and {other:.3}, at most {most:.3} apart"
        );
    }
}

#[test]
fn the_order_of_the_readings_does_not_matter() {
    let (mut back, there) = (told(|number| number), told(|number| number));
    back.reverse();
    let (there, back) = (stabs(&house(there)), stabs(&house(back)));
    assert!(0.3 < there[4].0, "the hot stab is told: {there:.3?}");
    same(&there, &back, "read in the other order");
}

/// The columns of a panel are alike: two spaces of a row have one finger and one leg.
#[test]
fn the_columns_may_be_exchanged() {
    let across = |number: u16| if number % 2 == 1 { number + 1 } else { number - 1 };
    let there = stabs(&house(told(|number| number)));
    let mirrored = stabs(&house(told(across)));
    let back: Vec<(f64, f64)> = (1..=8).map(|number| mirrored[usize::from(across(number) - 1)]).collect();
    same(&there, &back, "left and right exchanged");
}

/// The same drop with its ends the other way round, and the current beside it and not by a clamp.
#[test]
fn the_way_a_drop_is_told_does_not_matter() {
    let there = told(|number| number);
    let mut other = there.clone();
    for what in &mut other {
        if let Observed::Drop(reading) = what {
            core::mem::swap(&mut reading.from, &mut reading.to);
            reading.current = Some(model::Current::from_a(14.0));
        }
    }
    same(&stabs(&house(there)), &stabs(&house(other)), "the tap named last");
}
