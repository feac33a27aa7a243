//! What of an earlier problem stands in the present one, and where.

use super::reading::{Seen, log_density};
use crate::problem::{Obs, Problem, Term};
use crate::sampler::Draw;

/// Where the readings and offsets of an earlier problem stand in the present one, whose other unknowns are the same.
pub(super) struct Change {
    /// Of each reading, which it was.
    reading: Vec<Option<usize>>,
    /// Of each offset, which it was.
    offset: Vec<Option<usize>>,
    /// Readings that are new, or weighed otherwise.
    pub(super) new: Vec<usize>,
    /// Earlier readings that are no more, or were weighed otherwise.
    gone: Vec<usize>,
}

impl Problem {
    /// What changed since an earlier problem; `None` where the unknowns did.
    pub(super) fn change_since(&self, before: &Problem) -> Option<Change> {
        let has_same_unknowns = self.job.installation == before.job.installation
            && self.priors == before.priors
            && self.res == before.res
            && self.states == before.states
            && self.history == before.history
            && self.carry == before.carry
            && self.factors == before.factors
            && self.loads.len() == before.loads.len()
            && self.loads.iter().zip(&before.loads).all(|(now, was)| now.law == was.law);
        if !has_same_unknowns {
            return None;
        }
        let reading: Vec<Option<usize>> = self
            .obs
            .iter()
            .map(|obs| before.obs.iter().position(|was| is_same_reading(self, obs, before, was)))
            .collect();
        let offset =
            self.offsets.iter().map(|offset| before.offsets.iter().position(|was| was == offset)).collect();
        let new = (0..self.obs.len()).filter(|&idx| reading[idx].is_none()).collect();
        let gone = (0..before.obs.len()).filter(|was| !reading.contains(&Some(*was))).collect();
        Some(Change { reading, offset, new, gone })
    }

    /// Takes over how the networks answered, and linearises them for what is new.
    pub(super) fn take_lines(&mut self, before: &Problem, change: &Change, ohm: &[f64], loads: &[f64]) {
        // What is new is linearised at the heats of the history, too.
        self.mix.clone_from(&before.mix);
        self.linearise_some(&change.new, ohm, loads);
        (self.mix, self.background) = (before.mix.clone(), before.background.clone());
        for (idx, was) in change.reading.iter().enumerate() {
            let Some(was) = *was else { continue };
            self.linear[idx] = before.linear[was].clone();
            // How much the cabinet's air moves a reading was told of the networks, too.
            for (now, was) in self.obs[idx].offsets.iter_mut().zip(&before.obs[was].offsets) {
                now.1 = was.1;
            }
        }
    }
}

impl Change {
    /// Offsets and predictions of a draw in the order of the present problem.
    pub(super) fn carry(&self, was: &Draw) -> Seen {
        let taken = |from: &[Option<usize>], values: &[f64]| -> Vec<f64> {
            from.iter().map(|at| at.map_or(f64::NAN, |at| values[at])).collect()
        };
        let (offsets, predicted) = (taken(&self.offset, &was.offsets), taken(&self.reading, &was.predicted));
        Seen { offsets, predicted, redrawn: None }
    }

    /// Is nothing gone?
    pub(super) fn has_only_come(&self) -> bool {
        self.gone.is_empty()
    }

    /// Logarithm of how likely the readings that are no more were at a draw.
    pub(super) fn of_gone(&self, before: &Problem, was: &Draw) -> f64 {
        self.gone.iter().map(|&idx| log_density(before, idx, was.predicted[idx])).sum()
    }
}

/// Does a reading say the same, whatever the place of things in lists?
fn is_same_reading(p: &Problem, now: &Obs, before: &Problem, was: &Obs) -> bool {
    let plain = |obs: &Obs| Obs { source: 0, offsets: Vec::new(), ..obs.clone() };
    let offsets_of_now = now.offsets.iter().map(|&(offset, _)| &p.offsets[offset]);
    let offsets_of_was = was.offsets.iter().map(|&(offset, _)| &before.offsets[offset]);
    now.fact == was.fact && offsets_of_now.eq(offsets_of_was) && plain(now) == plain(was)
}

/// The same of a sign.
pub(super) fn is_same_sign(now: &Term, was: &Term) -> bool {
    let plain = |term: &Term| Term { complaint: None, ..term.clone() };
    now.fact == was.fact && plain(now) == plain(was)
}
