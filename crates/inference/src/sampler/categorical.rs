//! What signs say about a condition.

use super::state::Chain;
use crate::problem::CLASSES;

/// How a joint bears on a sign or complaint.
#[derive(Debug, Clone, Copy)]
pub(super) struct Showing {
    pub(super) term: usize,
    /// Chance that the joint does not show it, in each class.
    pub(super) still: [f64; CLASSES],
}

impl Showing {
    pub(super) fn new(term: usize, shows: [f64; CLASSES]) -> Self {
        // Nothing shows a sign for sure; so the chance that none does can be divided by one joint's part.
        Showing { term, still: shows.map(|chance| (1.0 - chance).max(1e-3)) }
    }
}

impl Chain<'_> {
    /// Likelihood of all signs and complaints that concern a joint, for each of its conditions.
    pub(super) fn sign_factors(&self, res: usize) -> [f64; CLASSES] {
        let mut factors = [1.0; CLASSES];
        for showing in &self.terms_of[res] {
            let content = &self.p.terms[showing.term];
            let others = self.others_still(showing.term, showing.still[usize::from(self.condition[res])]);
            for (factor, still) in factors.iter_mut().zip(showing.still) {
                *factor *= content.chance(others * still);
            }
        }
        factors
    }

    /// Chance that neither another reason nor any joint but those whose own chance not to is handed in shows a sign.
    pub(super) fn others_still(&self, term: usize, still: f64) -> f64 {
        (1.0 - self.p.terms[term].elsewhere) * self.quiet[term] / still
    }
}
