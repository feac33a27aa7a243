//! Is a proof whole, and does it still hold?

use super::Site;
use super::contradiction::Contradiction;
use crate::words::{listed, point_pair};
use model::isolation::{Proof, ProofDuty};
use model::{FactId, Voltage};

/// Above this a conductor is not dead, V. Value from memory: UL 1436 lets an absence-of-voltage tester say so below 3 V;
/// also the usual figure for one.
const DEAD_V: f64 = 3.0;
/// At least this a tester shows on a known live source of 120 V, V. Judgement: less is no live source, or no tester.
const LIVE_V: f64 = 100.0;

/// Does a tester that shows this show a live source?
fn is_live(shown: Voltage) -> bool {
    LIVE_V <= shown.v()
}

/// Is a conductor dead at which a tester shows this? What is no number is not.
pub(super) fn is_dead(shown: Voltage) -> bool {
    shown.v() <= DEAD_V
}

/// The proof that holds, or what is missing: of the last one where there are some.
pub(super) fn best(
    site: &Site<'_>,
    duty: &ProofDuty,
    found: &[Contradiction],
) -> Result<FactId, Vec<String>> {
    let mine = || site.course.proofs.iter().filter(|proof| proof.part == duty.part);
    let mut reasons = vec![format!("Not tested for absence of voltage {}.", duty.at)];
    for proof in mine() {
        let mut missing = faults(proof, duty);
        missing.extend(stale(site, proof, found));
        if missing.is_empty() {
            return Ok(proof.fact.clone());
        }
        reasons = missing;
    }
    Err(reasons)
}

/// What keeps a proof from being whole.
pub(super) fn faults(proof: &Proof, duty: &ProofDuty) -> Vec<String> {
    let mut faults = Vec::new();
    for (shown, when) in [(proof.live_before, "before"), (proof.live_after, "after")] {
        match shown {
            None => faults.push(format!("The tester was not tried on a live source {when} the test.")),
            Some(shown) if !is_live(shown) => faults.push(format!(
                "On the live source {when} the test the tester showed {} V; a working one shows {LIVE_V} V or more.",
                shown.v()
            )),
            Some(_) => {}
        }
    }
    let read = |pair| proof.readings.iter().filter(move |reading| reading.pair == pair);
    let unread: Vec<String> = duty
        .pairs
        .iter()
        .filter(|&&pair| read(pair).next().is_none())
        .map(|&pair| point_pair(pair))
        .collect();
    if !unread.is_empty() {
        faults.push(format!("Not tested: {}.", listed(&unread)));
    }
    for reading in proof.readings.iter().filter(|reading| !is_dead(reading.value)) {
        faults.push(format!(
            "{} V were found, {}; above {DEAD_V} V it is not dead.",
            reading.value.v(),
            point_pair(reading.pair)
        ));
    }
    faults
}

/// Why a proof, whole or not, no longer holds.
fn stale(site: &Site<'_>, proof: &Proof, found: &[Contradiction]) -> Vec<String> {
    let mut reasons = Vec::new();
    if site.at.is_some_and(|at| at.date() != proof.at.date()) {
        reasons.push(format!("Tested on {}: test again today.", proof.at.date()));
    }
    if let Some(again) = site.course.fed_again(proof.at) {
        reasons.push(format!("Tested, and then {}: test again.", again.words));
    }
    let is_hot = |other: &Proof| other.readings.iter().any(|reading| !is_dead(reading.value));
    let hot_later = site.course.proofs.iter().any(|other| proof.at <= other.at && is_hot(other));
    if hot_later || found.iter().any(|one| proof.at <= one.at) {
        reasons.push("Voltage was found somewhere after this test: test again.".to_owned());
    }
    if let Some(doubt) = site.course.doubts.iter().find(|doubt| proof.at <= doubt.at) {
        reasons.push(format!(
            "An entry made after this test could not be used and may speak against it ({}): look at it in the log, \
             correct it or take it back, then test again.",
            doubt.why
        ));
    }
    let live = site.course.live(&site.graph, &site.questions, Some(proof.at));
    if live.contains(&proof.part) {
        reasons.push("Tested before it was cut off, by the record: test again.".to_owned());
    }
    if site.course.sources.iter().any(|one| one.found && proof.at <= one.at) {
        reasons.push("Tested before another source was cut: test again.".to_owned());
    }
    reasons
}
