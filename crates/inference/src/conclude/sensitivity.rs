//! How much a probability hangs on the prior: the draws weighted anew as if every joint had other odds of burnt.

use super::Posterior;
use crate::problem::Law;
use crate::sampler::Draw;

/// Draws that are weighted.
const N_DRAWS: usize = 2_400;
/// Fewer effective draws than this say nothing.
const LEAST: f64 = 100.0;

impl Posterior<'_> {
    /// Probability of burnt of each joint asked for, were the prior odds of burnt of all joints `times` what they are; `None`
    /// where too few draws carry the weight.
    pub(crate) fn with_prior_odds(&self, joints: &[(usize, f64)], times: f64) -> Vec<Option<f64>> {
        let step = (self.even.len() / N_DRAWS).max(1);
        let draws: Vec<&Draw> = self.even.iter().step_by(step).copied().collect();
        let logs: Vec<f64> = draws.iter().map(|draw| self.log_weight(draw, times)).collect();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = logs.iter().map(|log| libm::exp(log - best)).collect();
        let total: f64 = weights.iter().sum();
        let effective = total * total / weights.iter().map(|weight| weight * weight).sum::<f64>();
        joints
            .iter()
            .map(|&(res, probability)| {
                let burnt = |weight: &dyn Fn(usize) -> f64| -> f64 {
                    let all: f64 = (0..draws.len()).map(weight).sum();
                    let of = (0..draws.len()).filter(|&at| 2 <= draws[at].condition[res]);
                    (of.map(weight).sum::<f64>() / all).clamp(1e-6, 1.0 - 1e-6)
                };
                // The draws give the ratio of the odds; the probability itself is known better than from so few of them.
                let (before, after) = (burnt(&|_| 1.0), burnt(&|at| weights[at]));
                let ratio = after / (1.0 - after) * (1.0 - before) / before;
                let odds = ratio * probability / (1.0 - probability);
                (LEAST <= effective && 1e-6 < before).then(|| odds / (1.0 + odds))
            })
            .collect()
    }

    /// Logarithm of the prior of a draw's conditions with other odds of burnt against that with the odds as they are.
    fn log_weight(&self, draw: &Draw, times: f64) -> f64 {
        let cluster = &self.p.priors.cluster;
        let level = &cluster.prevalence[draw.prevalence];
        // Each factor lies between 1 over `times` and `times`, so their product is far from the ends of the numbers.
        let ratio: f64 = (0..self.p.joints.len())
            .map(|res| {
                let Law::Conditioned { odds: [worn, burnt], .. } = self.p.res[res].law else { return 1.0 };
                let damaged = self.p.finger_of[res].is_some_and(|finger| draw.finger[finger]);
                let (more_worn, more_burnt) =
                    if damaged { (cluster.finger_worn, cluster.finger_burnt) } else { (1.0, 1.0) };
                let (w, b) = (worn * level.worn * more_worn, burnt * level.burnt * more_burnt);
                let is_burnt = 2 <= draw.condition[res];
                let own = if is_burnt { times } else { 1.0 };
                own * (1.0 + w + b) / (1.0 + w + times * b)
            })
            .product();
        libm::log(ratio)
    }
}
