//! How many parts the shop's own jobs really used, by what the list of materials says.

use super::{Past, weights};
use crate::work::{Basis, parts};
use model::advice::ChoiceKind;
use std::collections::BTreeMap;

/// A part on the shop's own jobs of one option.
#[derive(Debug, Clone, PartialEq)]
pub struct PartCount {
    /// The part, as in the price book.
    pub part: String,
    /// Jobs that say how many of it they used.
    pub n: usize,
    /// Used, in all of them.
    pub used: u32,
    /// Planned by the data file, in all of them.
    pub planned: u32,
    /// Are they enough to be used?
    pub counts: bool,
    /// Number of a job by that of the data file; of a part that the data file does not plan, the number itself.
    pub factor: f64,
}

impl PartCount {
    /// Does the data file plan it?
    pub fn is_planned(&self) -> bool {
        0 < self.planned
    }

    /// How many a job takes for which the data file says so many.
    pub fn quantity(&self, listed: u32) -> u32 {
        let of = if self.is_planned() { f64::from(listed) * self.factor } else { self.factor };
        if self.counts { of.round().clamp(0.0, 10_000.0) as u32 } else { listed }
    }
}

impl Past {
    /// The counts of parts for an option: of each part that any of its jobs recorded. What the design counts exactly, the
    /// panel, its breakers and its plates, is no matter of experience and left out.
    pub fn parts(&self, option: ChoiceKind) -> Vec<PartCount> {
        let (weights, exact) = (weights(), exact());
        let jobs: Vec<&BTreeMap<String, (u32, u32)>> = self
            .jobs
            .iter()
            .filter(|job| job.option == option.word() && !job.parts.is_empty())
            .map(|job| &job.parts)
            .collect();
        let mut all: BTreeMap<&String, (usize, u32, u32)> = BTreeMap::new();
        for (part, (used, planned)) in jobs.iter().flat_map(|parts| parts.iter()) {
            let sum = all.entry(part).or_default();
            *sum = (sum.0 + 1, sum.1.saturating_add(*used), sum.2.saturating_add(*planned));
        }
        let of = |(part, (n, used, planned)): (&String, (usize, u32, u32))| {
            let is_planned = 0 < planned;
            // Of a part beside the plan every job counts that recorded its parts: it used none where it says nothing.
            let n_all = if is_planned { n } else { jobs.len() };
            let factor = if is_planned {
                let usual = f64::from(planned) / n as f64;
                (weights.weight_jobs * usual + f64::from(used))
                    / (weights.weight_jobs * usual + f64::from(planned))
            } else {
                f64::from(used) / (weights.weight_jobs + n_all as f64)
            };
            PartCount {
                part: part.clone(),
                n: n_all,
                used,
                planned,
                counts: weights.least_jobs <= n_all,
                factor,
            }
        };
        let is_counted = |part: &str| {
            !part.starts_with("breaker-")
                && !part.starts_with("panel-")
                && !exact.iter().any(|one| one == part)
        };
        all.into_iter().filter(|(part, _)| is_counted(part)).map(of).collect()
    }
}

/// Parts that the geometry of the panel counts.
fn exact() -> Vec<String> {
    parts().into_iter().filter(|part| part.per == Basis::FreeSpace).map(|part| part.id).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::experience::PastJob;

    fn past(used: &[u32], planned: u32, part: &str) -> Past {
        let job = |(idx, used): (usize, &u32)| PastJob {
            job: idx.to_string(),
            option: "replace-panel".to_owned(),
            parts: [(part.to_owned(), (*used, planned))].into(),
            ..PastJob::default()
        };
        Past { jobs: used.iter().enumerate().map(job).collect() }
    }

    fn of(past: &Past) -> Option<PartCount> {
        past.parts(ChoiceKind::ReplacePanel).into_iter().next()
    }

    #[test]
    fn a_planned_part_moves_towards_what_was_used() {
        let count = of(&past(&[30, 30, 30, 30], 20, "cable-connector")).expect("counted");
        // By hand: (4 × 20 + 120) / (4 × 20 + 80) = 1.25; of 16 listed 20.
        assert!((count.factor - 1.25).abs() < 1e-12 && count.quantity(16) == 20, "{count:?}");
    }

    #[test]
    fn few_jobs_change_nothing_and_another_option_does_not_count() {
        let two = past(&[30, 30], 20, "cable-connector");
        let count = of(&two).expect("counted");
        assert_eq!((count.counts, count.quantity(16)), (false, 16));
        assert_eq!(two.parts(ChoiceKind::ReplaceService), []);
    }

    #[test]
    fn a_part_beside_the_plan_comes_in_once_it_is_usual() {
        let count = of(&past(&[2, 2, 2, 2, 2, 2], 0, "gutter")).expect("counted");
        // By hand: 12 / (4 + 6) = 1.2.
        assert!((count.factor - 1.2).abs() < 1e-12 && count.quantity(0) == 1, "{count:?}");
        let mut once = past(&[1, 0, 0, 0, 0, 0], 0, "gutter");
        once.jobs[1..].iter_mut().for_each(|job| job.parts = [("rod".to_owned(), (2, 2))].into());
        let gutter = once.parts(ChoiceKind::ReplacePanel).into_iter().find(|one| one.part == "gutter");
        assert_eq!(gutter.map(|one| (one.n, one.quantity(0))), Some((6, 0)));
    }

    #[test]
    fn what_the_panel_counts_itself_is_left_out() {
        for part in ["breaker-1p-plain", "panel-42", "filler-plate"] {
            assert_eq!(of(&past(&[9, 9, 9, 9], 3, part)), None, "{part}");
        }
    }
}
