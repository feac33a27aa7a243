//! Which load states belong to one visit, and which readings a later visit has overtaken.

use super::limits::Limits;
use super::readings::{Read, on_pole};
use model::evidence::Observed;
use model::job::Job;
use model::{Date, Note};
use std::collections::{BTreeMap, BTreeSet};

/// Visits in the order of time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Visits {
    /// Visit of each load state.
    of_state: BTreeMap<String, usize>,
    /// Day on which each began.
    days: Vec<Date>,
}

impl Visits {
    pub(super) fn of(job: &Job, limits: &Limits) -> Self {
        let mut states: Vec<_> = job.load_states.iter().collect();
        states.sort_by_key(|state| state.at);
        let mut visits = Visits { of_state: BTreeMap::new(), days: Vec::new() };
        let mut before = None;
        for state in states {
            let apart_h = |earlier| state.at.duration_since(earlier).as_secs_f64() / 3600.0;
            if before.is_none_or(|earlier| limits.visit.apart_h < apart_h(earlier)) {
                visits.days.push(state.at.date());
            }
            before = Some(state.at);
            visits.of_state.insert(state.name.clone(), visits.days.len() - 1);
        }
        visits
    }

    pub(super) fn of_state(&self, name: &str) -> Option<usize> {
        self.of_state.get(name).copied()
    }

    pub(super) fn day(&self, visit: usize) -> Date {
        self.days[visit]
    }

    /// The job without the temperatures, touches and drops of an earlier visit on poles and lugs that were read again, and a
    /// remark that says so.
    pub(super) fn without_overtaken(&self, job: &Job) -> (Job, Vec<Note>) {
        let mut kept = job.clone();
        if self.days.len() < 2 {
            return (kept, Vec::new());
        }
        let measured = |what: &Observed| {
            let (place, state) = on_pole(what)?;
            let is_drop = matches!(what, Observed::Drop(_));
            Some((place, is_drop, self.of_state(state)?))
        };
        // A drop tells more of a joint than its face does, so only a drop overtakes a drop.
        let mut last: BTreeMap<(String, bool), usize> = BTreeMap::new();
        for (place, is_drop, visit) in job.observations.iter().filter_map(|seen| measured(&seen.what)) {
            for overtakes in if is_drop { &[true, false][..] } else { &[false] } {
                let newest = last.entry((place.clone(), *overtakes)).or_insert(visit);
                *newest = visit.max(*newest);
            }
        }
        let mut overtaken = BTreeSet::new();
        kept.observations.retain(|seen| match measured(&seen.what) {
            Some((place, is_drop, visit)) if visit < last[&(place.clone(), is_drop)] => {
                overtaken.insert(visit);
                false
            }
            _ => true,
        });
        let n_dropped = job.observations.len() - kept.observations.len();
        let days: Vec<String> = overtaken.iter().map(|&visit| self.day(visit).to_string()).collect();
        let notes = if n_dropped == 0 {
            Vec::new()
        } else {
            vec![Note::new(
                "earlier visits",
                format!(
                    "{n_dropped} {} of {} at places that were read again later {} held against the new ones, and no longer \
                     weighed: a joint may have changed since",
                    if n_dropped == 1 { "reading" } else { "readings" },
                    days.join(", "),
                    if n_dropped == 1 { "is" } else { "are" },
                ),
            )]
        };
        (kept, notes)
    }

    /// What was done at the pole between two readings, in words.
    pub(super) fn worked_between(&self, job: &Job, first: &Read<'_>, last: &Read<'_>) -> Option<String> {
        let slot = first.slot()?;
        let between = |at: model::DateTime| first.at < at && at <= last.at;
        let work = job.work.iter().filter(|work| {
            between(work.at) && work.slots.iter().chain(&work.moved_to).any(|touched| touched == slot)
        });
        let done: Vec<String> = work.map(|work| format!("{}, {}", work.at.date(), work.words)).collect();
        let opened =
            job.openings.iter().any(|opening| between(opening.at) && opening.joint.slot() == Some(slot));
        match (done.is_empty(), opened) {
            (false, _) => Some(format!("Worked on in between ({}).", done.join("; "))),
            (true, true) => Some("Opened in between.".to_owned()),
            (true, false) => None,
        }
    }
}
