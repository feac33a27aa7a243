//! Where each circuit goes in the new panel, for schedule and pull list.

use model::breaker::{Breaker, Protection};
use model::id::{Slot, Space};
use model::job::Job;
use papers::PullLine;
use remedy::proving::{leg_of, system};

/// A circuit with its place in the new panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// Its slots in the old panel, pole by pole; empty for a new circuit.
    pub old: Vec<Slot>,
    /// Its spaces in the new panel, pole by pole; empty where none is chosen.
    pub new: Vec<Space>,
    /// Rating, A.
    pub rating_a: f64,
    /// What makes it open.
    pub protection: Protection,
    /// Which conductors must be spliced, pole by pole; `None` where that is not known.
    pub spliced: Vec<Option<bool>>,
    /// What it feeds.
    pub feeds: String,
}

fn old_breaker<'a>(job: &'a Job, slot: &Slot) -> Option<&'a Breaker> {
    job.installation.breaker_at(slot)
}

/// The circuits with their places: as installed where that is on record, the others without a place.
pub fn planned(job: &Job) -> Vec<Planned> {
    let mut all: Vec<Planned> = Vec::new();
    for one in job.install.breakers() {
        all.push(Planned {
            old: one.from.clone(),
            new: one.spaces.clone(),
            rating_a: one.rating.a(),
            protection: one.protection,
            spliced: one.spaces.iter().map(|_| Some(one.spliced)).collect(),
            feeds: remedy::proving::words_of(job, one),
        });
    }
    all.extend(unplaced(job, &all));
    all
}

/// Circuits of the old panels that have no place yet.
fn unplaced(job: &Job, placed: &[Planned]) -> Vec<Planned> {
    let mut left = Vec::new();
    for (panel, breaker) in job.installation.breakers() {
        let slots: Vec<Slot> =
            breaker.spaces.iter().map(|&space| Slot::new(panel.id.clone(), space)).collect();
        let is_placed = placed.iter().any(|one| one.old.iter().any(|slot| slots.contains(slot)));
        if is_placed || breaker.circuit.is_none() {
            continue;
        }
        left.push(Planned {
            spliced: slots.iter().map(|_| None).collect(),
            old: slots,
            new: Vec::new(),
            rating_a: breaker.rating.a(),
            protection: breaker.protection,
            feeds: breaker.feeds_label().to_owned(),
        });
    }
    left
}

/// Lines of the pull list, one a conductor that is hot, and remarks.
pub fn pull_lines(job: &Job) -> (Vec<PullLine>, Vec<String>) {
    let system = system(job);
    let mut lines: Vec<((Option<Slot>, usize), PullLine)> = Vec::new();
    let mut notes = Vec::new();
    let (mut unmeasured, mut unplaced) = (0, 0);
    for one in planned(job) {
        if one.old.is_empty() {
            continue;
        }
        for (pole, slot) in one.old.iter().enumerate() {
            let circuit = old_breaker(job, slot).and_then(|breaker| breaker.circuit.as_ref());
            let free = circuit.and_then(|circuit| circuit.conductor.free_length);
            let new = one.new.get(pole).copied();
            unmeasured += usize::from(free.is_none());
            unplaced += usize::from(new.is_none());
            let line = PullLine {
                old: slot.space.to_string(),
                number: String::new(),
                colour: String::new(),
                length: free.map(|free| format!("{:.0} in", free.inches())).unwrap_or_default(),
                new: new.map(|space| space.to_string()).unwrap_or_default(),
                leg: new.map(|space| leg_of(system, space).to_string()).unwrap_or_default(),
                splice: one.spliced.get(pole).copied().flatten(),
            };
            lines.push(((Some(slot.clone()), pole), line));
        }
    }
    lines.sort_by(|a, b| a.0.cmp(&b.0));
    if 0 < unmeasured {
        notes.push(format!("{unmeasured} conductors were not measured: measure before the power is cut."));
    }
    if 0 < unplaced {
        notes.push(format!("{unplaced} conductors have no space in the new panel yet."));
    }
    (lines.into_iter().map(|line| line.1).collect(), notes)
}
