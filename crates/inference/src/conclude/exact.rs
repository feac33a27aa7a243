//! Correction of the linearised answers by the full nonlinear networks.
//!
//! The draws follow the straight lines; each counts as much more or less as its readings are likelier by the full networks
//! (importance weights). These are solved at a sample of the draws. At all draws their answers are told by what was fitted to
//! the sample (see [`super::bend`]), so the weights of all draws serve; and the sample, weighed by the networks themselves
//! against how the fit weighs it, puts right what the fit leaves.

use super::bend::{Bend, Setting};
use crate::problem::{ExactNetworks, Problem};
use crate::run::{Run, in_stretches};
use crate::sampler::Draw;
use physics::thermal::Solution;

/// Draws looked at with the full networks: one in eight, but at least and at most so many; the least of weighed ones.
const EXACT_PART: usize = 8;
const N_EXACT: [usize; 2] = [60, 120];

/// Draws that count less than this part of the mean by what is told are left out.
const LEAST_TOLD: f64 = 1e-3;

/// The weights of the draws by the full networks.
pub(crate) struct Exact {
    /// Index of each draw looked at with the full networks.
    pub(crate) picked: Vec<usize>,
    /// Weight of each of these, summing to 1.
    pub(crate) weight: Vec<f64>,
    /// Weight that the fit gives them, summing to 1.
    by_fit: Vec<f64>,
    /// Weight of every draw by the fit, summing to 1.
    all: Vec<f64>,
    /// Temperature of each node, K: `[picked][view][node]`.
    pub(crate) temperature_k: Vec<Vec<Vec<f64>>>,
    /// Effective number of draws that the weights by the fit leave, as a share of those that count.
    pub(crate) effective_part: f64,
    /// How well the fit weighs: effective number of what it leaves to the sample, as a share of the sample.
    pub(crate) fit: f64,
}

impl Exact {
    /// Draws that count alike, or as much as `told` says; the latter sums to one.
    pub(crate) fn new(p: &Problem, draws: &[&Draw], told: Option<&[f64]>, run: &impl Run) -> Self {
        let [least, most] = N_EXACT;
        let n = if told.is_some() { least } else { (draws.len() / EXACT_PART).clamp(least, most) };
        let n = n.min(draws.len());
        let picked = match told {
            None => (0..n).map(|idx| idx * draws.len() / n).collect(),
            Some(told) => evenly(told, n),
        };
        let sample: Vec<&Draw> = picked.iter().map(|&at| draws[at]).collect();
        let temperature_k: Vec<Vec<Vec<f64>>> = in_stretches(run, &sample, |part| {
            let mut networks = ExactNetworks::new(p);
            part.iter().map(|draw| solved(p, &mut networks, draw)).collect()
        });
        let heats: Vec<Vec<Vec<f64>>> = sample
            .iter()
            .map(|draw| (0..p.views.len()).map(|view| p.mixed_heats(view, &draw.ohm, &draw.loads)).collect())
            .collect();
        let weighed: Vec<usize> = (0..p.obs.len()).filter(|&idx| p.is_in_networks(idx)).collect();
        let of_sample = |&idx: &usize| -> Vec<f64> {
            (0..n).map(|at| difference_k(p, idx, sample[at], &heats[at], &temperature_k[at])).collect()
        };
        let differences: Vec<Vec<f64>> =
            in_stretches(run, &weighed, |part| part.iter().map(of_sample).collect());
        let settings: Vec<Setting> = sample.iter().map(|draw| Setting::of(p, draw)).collect();
        let fits: Vec<(&usize, &Vec<f64>)> = weighed.iter().zip(&differences).collect();
        let bends: Vec<Bend> = in_stretches(run, &fits, |part| {
            part.iter().map(|&(&idx, of)| Bend::fit(p, idx, &sample, &settings, of)).collect()
        })
        .into_iter()
        .flatten()
        .collect();
        // Where a reading could not be fitted, the sample alone has to put it right.
        let fitted = |draw: &Draw, setting: &Setting| -> f64 {
            bends.iter().map(|bend| log_ratio(p, bend.obs(), draw, bend.at(p, draw, setting))).sum()
        };
        let sample_fitted: Vec<f64> =
            sample.iter().zip(&settings).map(|(draw, setting)| fitted(draw, setting)).collect();
        let by_networks = |at: usize| -> f64 {
            weighed.iter().zip(&differences).map(|(&idx, of)| log_ratio(p, idx, sample[at], of[at])).sum()
        };
        let left: Vec<f64> = (0..n).map(|at| by_networks(at) - sample_fitted[at]).collect();
        let least = LEAST_TOLD / draws.len().max(1) as f64;
        let counting: Vec<bool> =
            (0..draws.len()).map(|at| told.is_none_or(|told| least < told[at])).collect();
        let n_counting = counting.iter().filter(|counts| **counts).count().max(1);
        let all_fitted: Vec<f64> = if bends.is_empty() {
            vec![0.0; draws.len()]
        } else {
            let of_draw = |&(draw, counts): &(&Draw, bool)| {
                if counts { fitted(draw, &Setting::of(p, draw)) } else { f64::NEG_INFINITY }
            };
            let all: Vec<(&Draw, bool)> = draws.iter().copied().zip(counting.iter().copied()).collect();
            in_stretches(run, &all, |part| part.iter().map(of_draw).collect())
        };
        let fitted = weights(&all_fitted);
        // The sample is drawn by what is told: only the fit weighs it.
        let by_fit = to_one(picked.iter().map(|&at| fitted[at]).collect());
        let left = weights(&left);
        let weight = to_one(by_fit.iter().zip(&left).map(|(fitted, left)| fitted * left).collect());
        let effective_part = effective(&fitted) / n_counting as f64;
        let fit = effective(&left) / n.max(1) as f64;
        let all = match told {
            None => fitted,
            Some(told) => to_one(fitted.iter().zip(told).map(|(fitted, told)| fitted * told).collect()),
        };
        Exact { picked, weight, by_fit, all, temperature_k, effective_part, fit }
    }

    /// Weight of every draw, summing to one.
    pub(crate) fn all(&self) -> &[f64] {
        &self.all
    }

    /// What a draw adds to the probability of burnt, so that the mean over all draws is that but for what the sample puts
    /// right; the spread of these tells its standard error.
    pub(crate) fn burnt_part(&self, at: usize, steady: f64, at_ohm: f64, mean: f64) -> f64 {
        let more = self.all[at] * self.all.len() as f64 - 1.0;
        steady + more * (at_ohm - mean)
    }

    /// Standard error that the move by a sample of the draws adds to the probability of burnt, given that at each draw's own
    /// resistance.
    pub(crate) fn burnt_error(&self, at_ohm: &[f64]) -> f64 {
        let burnt = |at: usize| at_ohm[at];
        let mean: f64 = self.picked.iter().zip(&self.weight).map(|(&at, weight)| weight * burnt(at)).sum();
        let left = self.picked.iter().zip(self.weight.iter().zip(&self.by_fit));
        let squares = left.map(|(&at, (weight, by_fit))| {
            let part = (weight - by_fit) * (burnt(at) - mean);
            part * part
        });
        libm::sqrt(squares.sum())
    }

    /// Probability of sound, worn and burnt of each resistance with a condition: the steady mean over all draws, moved by the full
    /// networks. Their weights depend on the resistances, so the move needs the probability at each draw's own resistance.
    pub(crate) fn probabilities(&self, draws: &[&Draw]) -> Vec<[f64; 3]> {
        let even = 1.0 / draws.len().max(1) as f64;
        let mut sums = vec![[0.0; 3]; draws.first().map_or(0, |draw| draw.probability.len())];
        for (draw, weight) in draws.iter().zip(&self.all) {
            for (sums, (steady, at_ohm)) in sums.iter_mut().zip(draw.probability.iter().zip(&draw.at_ohm)) {
                for (sum, (steady, at_ohm)) in sums.iter_mut().zip(steady.iter().zip(at_ohm)) {
                    *sum += even * steady + (weight - even) * at_ohm;
                }
            }
        }
        let mut changes = vec![[0.0; 3]; sums.len()];
        for (&at, (weight, by_fit)) in self.picked.iter().zip(self.weight.iter().zip(&self.by_fit)) {
            for (changes, at_ohm) in changes.iter_mut().zip(&draws[at].at_ohm) {
                for (change, at_ohm) in changes.iter_mut().zip(at_ohm) {
                    *change += (weight - by_fit) * at_ohm;
                }
            }
        }
        for (sums, changes) in sums.iter_mut().zip(changes) {
            for (sum, change) in sums.iter_mut().zip(changes) {
                *sum = (*sum + change).clamp(0.0, 1.0);
            }
        }
        sums
    }
}

/// So many indices, each as often as its weight of all says, evenly spaced along their sum (systematic resampling).
pub(crate) fn evenly(weights: &[f64], n: usize) -> Vec<usize> {
    let step = weights.iter().sum::<f64>() / n.max(1) as f64;
    let mut picked = Vec::with_capacity(n);
    let mut reached = 0.0;
    for (at, weight) in weights.iter().enumerate() {
        reached += weight;
        while (picked.len() as f64 + 0.5) * step < reached && picked.len() < n {
            picked.push(at);
        }
    }
    picked
}

/// Temperatures of the nodes of each view at a draw, K; empty where there is no steady state.
fn solved(p: &Problem, networks: &mut ExactNetworks, draw: &Draw) -> Vec<Vec<f64>> {
    let temperatures =
        |solution: Option<Solution>| solution.map_or_else(Vec::new, |found| found.temperature_k);
    (0..p.views.len()).map(|view| temperatures(p.exact(networks, view, draw))).collect()
}

/// What the full networks' answer for an observation differs from the straight line's, K; infinite where they have none.
fn difference_k(p: &Problem, idx: usize, draw: &Draw, heats: &[Vec<f64>], views: &[Vec<f64>]) -> f64 {
    let Some(spot) = &p.obs[idx].thermal else { return 0.0 };
    let Some(&node_k) = views[spot.view].get(spot.node) else { return f64::INFINITY };
    let room_c = draw.offsets[p.states[p.obs[idx].state].room_offset];
    // Both for steady heats: by which parts the stretches of the history count is the line's alone to say.
    let knobs = &draw.knobs[p.views[spot.view].panel];
    node_k - 273.15 - room_c - p.steady_k(idx, &heats[spot.view], knobs)
}

/// Logarithm of how much likelier a reading is where its answer differs by so much.
fn log_ratio(p: &Problem, idx: usize, draw: &Draw, difference_k: f64) -> f64 {
    if !difference_k.is_finite() {
        return f64::NEG_INFINITY;
    }
    let line = draw.predicted[idx];
    let density = |predicted: f64| p.obs[idx].density(predicted, &p.errors).max(1e-300);
    libm::log(density(line + difference_k) / density(line))
}

/// Truncated importance weights (Ionides 2008) that sum to one: none above √n times the mean.
pub(crate) fn weights(logs: &[f64]) -> Vec<f64> {
    let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let raw: Vec<f64> = logs.iter().map(|log| libm::exp(log - best)).collect();
    let n = logs.len().max(1) as f64;
    let most = raw.iter().sum::<f64>() / n * libm::sqrt(n);
    to_one(raw.iter().map(|weight| weight.min(most)).collect())
}

fn to_one(mut weights: Vec<f64>) -> Vec<f64> {
    let total: f64 = weights.iter().sum();
    weights.iter_mut().for_each(|weight| *weight /= total);
    weights
}

/// Effective number of weights that sum to one.
pub(crate) fn effective(weights: &[f64]) -> f64 {
    1.0 / weights.iter().map(|weight| weight * weight).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::evenly;

    #[test]
    fn an_index_is_taken_as_often_as_its_weight_says() {
        assert_eq!(evenly(&[0.5, 0.0, 0.25, 0.25], 4), [0, 0, 2, 3]);
        assert_eq!(evenly(&[1.0; 6], 3), [1, 3, 5]);
        assert_eq!(evenly(&[0.0, 3.0], 2), [1, 1]);
        assert_eq!(evenly(&[], 0), [0; 0]);
    }
}
