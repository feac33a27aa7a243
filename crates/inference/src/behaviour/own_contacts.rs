//! A pole that loses too much has a burnt stab or bad contacts of its own.

use super::{drop, observe, stab, twelve};
use crate::testjob::slot;
use crate::{JudgeOptions, Judgement, judge};
use model::FactId;

/// Twelve spaces at 12 A; with the tap in space 8 two poles of its leg lose 120 mV, space 4 this much.
fn judged(mv: f64) -> Judgement {
    let mut faces: Vec<(u16, f64)> = (1..=8).map(|number| (number, 36.0)).collect();
    faces[3].1 = 42.0;
    let mut job = twelve(&faces, 12.0);
    job.load_states[0].unloaded.push(slot(8));
    job.observations.retain(|observation| observation.fact != FactId::new("fact 7"));
    for (number, mv) in [(3, 121.0), (7, 119.0), (4, mv)] {
        observe(&mut job, drop(8, number, mv, "evening"));
    }
    let options = JudgeOptions { seed: 1, n_sweeps: 1_600, ..JudgeOptions::default() };
    judge(&job, &options).expect("a panel is there")
}

/// Twice the usual, at a face that is a little warm: mostly the stab, and the rest of it is the breaker itself, which is told.
#[test]
fn a_drop_is_not_all_the_stabs() {
    let found = judged(250.0);
    let notes: Vec<&str> = (found.notes.iter().map(|note| note.text.as_str()))
        .filter(|text| text.contains("own contacts are bad"))
        .collect();
    let found = stab(&found, 4);
    assert!((0.6..0.9).contains(&found.probability.burnt), "{:?}", found.probability);
    let reason = found.reasons.iter().find(|reason| reason.text.contains("own contacts"));
    assert!(reason.is_some_and(|reason| reason.weight_db < -1.0), "{:#?}", found.reasons);
    assert_eq!(notes.len(), 1, "{notes:?}");
}

/// A breaker that loses as its like is not named.
#[test]
fn a_breaker_like_the_others_is_not_named() {
    let found = judged(122.0);
    assert!(found.notes.iter().all(|note| !note.text.contains("own contacts")), "{:?}", found.notes);
    assert!(stab(&found, 4).reasons.iter().all(|reason| !reason.text.contains("own contacts")));
}
