//! Updates of conditions' clusters, and what signs say about a condition.

use super::state::Chain;
use crate::problem::{CLASSES, Law};

/// How a joint bears on a sign or complaint.
#[derive(Debug, Clone, Copy)]
pub(super) struct Showing {
    pub(super) term: usize,
    /// Chance that the joint does not show it, in each class.
    pub(super) still: [f64; CLASSES],
    /// Logarithm of that.
    pub(super) silence: [f64; CLASSES],
}

impl Showing {
    pub(super) fn new(term: usize, shows: [f64; CLASSES]) -> Self {
        let still = shows.map(|chance| 1.0 - chance);
        Showing { term, still, silence: still.map(libm::log) }
    }
}

impl Chain<'_> {
    /// Prior probability of each condition given the clusters.
    pub(super) fn condition_prior(&self, res: usize) -> [f64; CLASSES] {
        self.prior_given(
            res,
            self.prevalence,
            self.p.finger_of[res].is_some_and(|finger| self.finger[finger]),
        )
    }

    fn prior_given(&self, res: usize, prevalence: usize, damaged_finger: bool) -> [f64; CLASSES] {
        let Law::Conditioned { odds: [mut worn, mut burnt], mild, .. } = self.p.res[res].law else {
            return [1.0, 0.0, 0.0, 0.0];
        };
        let cluster = &self.p.priors.cluster;
        if res < self.p.joints.len() {
            worn *= cluster.prevalence[prevalence].worn;
            burnt *= cluster.prevalence[prevalence].burnt;
        }
        if damaged_finger {
            worn *= cluster.finger_worn;
            burnt *= cluster.finger_burnt;
        }
        let total = 1.0 + worn + burnt;
        [1.0 / total, worn / total, mild * burnt / total, (1.0 - mild) * burnt / total]
    }

    /// Likelihood of all signs and complaints that concern a joint, for each of its conditions.
    pub(super) fn sign_factors(&self, res: usize) -> [f64; CLASSES] {
        let mut factors = [1.0; CLASSES];
        for showing in &self.terms_of[res] {
            let content = &self.p.terms[showing.term];
            let others = self.others_still(showing.term, showing.silence[usize::from(self.condition[res])]);
            for (factor, still) in factors.iter_mut().zip(showing.still) {
                *factor *= content.chance(others * still);
            }
        }
        factors
    }

    /// Chance that neither another reason nor any joint but those whose silence, a logarithm, is handed in shows a sign.
    pub(super) fn others_still(&self, term: usize, silence: f64) -> f64 {
        (1.0 - self.p.terms[term].elsewhere) * libm::exp(self.quiet[term] - silence)
    }

    pub(super) fn set_condition(&mut self, res: usize, condition: usize) {
        let before = usize::from(self.condition[res]);
        if before == condition {
            return;
        }
        self.condition[res] = condition as u8;
        for showing in &self.terms_of[res] {
            self.quiet[showing.term] += showing.silence[condition] - showing.silence[before];
        }
    }

    pub(super) fn update_prevalence(&mut self) {
        let n = self.p.priors.cluster.prevalence.len();
        let logs: Vec<f64> = (0..n)
            .map(|prevalence| {
                let conditions: f64 = (0..self.p.joints.len())
                    .map(|res| {
                        let damaged = self.p.finger_of[res].is_some_and(|finger| self.finger[finger]);
                        libm::log(
                            self.prior_given(res, prevalence, damaged)[usize::from(self.condition[res])],
                        )
                    })
                    .sum();
                libm::log(self.p.priors.cluster.prevalence[prevalence].weight) + conditions
            })
            .collect();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = logs.iter().map(|log| libm::exp(log - best)).collect();
        self.prevalence = self.rng.pick(&weights);
    }

    pub(super) fn update_fingers(&mut self) {
        let chance = self.p.priors.cluster.finger_probability;
        let mut odds = vec![chance / (1.0 - chance); self.p.n_fingers];
        for res in 0..self.p.n_conditioned {
            if let Some(finger) = self.p.finger_of[res] {
                let condition = usize::from(self.condition[res]);
                odds[finger] *= self.prior_given(res, self.prevalence, true)[condition]
                    / self.prior_given(res, self.prevalence, false)[condition];
            }
        }
        for (finger, odds) in odds.into_iter().enumerate() {
            self.finger[finger] = self.rng.uniform() * (1.0 + odds) < odds;
        }
    }
}
