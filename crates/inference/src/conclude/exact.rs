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

/// Draws looked at with the full networks: one in eight, but at least and at most so many.
const EXACT_PART: usize = 8;
const N_EXACT: [usize; 2] = [60, 120];

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
    /// Effective number of draws that the weights by the fit leave.
    pub(crate) effective: f64,
    /// How well the fit weighs: effective number of what it leaves to the sample, as a share of the sample.
    pub(crate) fit: f64,
}

impl Exact {
    pub(crate) fn new(p: &Problem, draws: &[&Draw], run: &impl Run) -> Self {
        let n = (draws.len() / EXACT_PART).clamp(N_EXACT[0], N_EXACT[1]).min(draws.len());
        let picked: Vec<usize> = (0..n).map(|idx| idx * draws.len() / n).collect();
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
        let all_fitted: Vec<f64> = if bends.is_empty() {
            vec![0.0; draws.len()]
        } else {
            let of_draw = |draw: &&Draw| fitted(draw, &Setting::of(p, draw));
            in_stretches(run, draws, |part| part.iter().map(of_draw).collect())
        };
        let all = weights(&all_fitted);
        let by_fit = to_one(picked.iter().map(|&at| all[at]).collect());
        let left = weights(&left);
        let weight = to_one(by_fit.iter().zip(&left).map(|(fitted, left)| fitted * left).collect());
        let (effective, fit) = (effective(&all), effective(&left) / n.max(1) as f64);
        Exact { picked, weight, by_fit, all, temperature_k, effective, fit }
    }

    /// Probability of a condition (0 sound, 1 worn, 2 burnt): the steady mean over all draws, moved by the full networks.
    /// Their weights depend on the resistances, so the move needs the probability at each draw's own resistance.
    pub(crate) fn probability(&self, draws: &[&Draw], res: usize, condition: usize) -> f64 {
        let even = 1.0 / draws.len().max(1) as f64;
        let of_draw = |(draw, weight): (&&Draw, &f64)| {
            even * draw.probability[res][condition] + (weight - even) * draw.at_ohm[res][condition]
        };
        let of_all: f64 = draws.iter().zip(&self.all).map(of_draw).sum();
        let left = self.picked.iter().zip(self.weight.iter().zip(&self.by_fit));
        let change: f64 =
            left.map(|(&at, (weight, by_fit))| (weight - by_fit) * draws[at].at_ohm[res][condition]).sum();
        (of_all + change).clamp(0.0, 1.0)
    }

    /// What a draw adds to the probability of burnt, so that the mean over all draws is that but for what the sample puts
    /// right; the spread of these tells its standard error.
    pub(crate) fn burnt_part(&self, at: usize, draw: &Draw, res: usize, mean: f64) -> f64 {
        let more = self.all[at] * self.all.len() as f64 - 1.0;
        draw.probability[res][2] + more * (draw.at_ohm[res][2] - mean)
    }

    /// Standard error that the move by a sample of the draws adds to [`Exact::probability`] of burnt.
    pub(crate) fn burnt_error(&self, draws: &[&Draw], res: usize) -> f64 {
        let burnt = |at: usize| draws[at].at_ohm[res][2];
        let mean: f64 = self.picked.iter().zip(&self.weight).map(|(&at, weight)| weight * burnt(at)).sum();
        let left = self.picked.iter().zip(self.weight.iter().zip(&self.by_fit));
        let squares = left.map(|(&at, (weight, by_fit))| {
            let part = (weight - by_fit) * (burnt(at) - mean);
            part * part
        });
        libm::sqrt(squares.sum())
    }
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
fn weights(logs: &[f64]) -> Vec<f64> {
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
fn effective(weights: &[f64]) -> f64 {
    1.0 / weights.iter().map(|weight| weight * weight).sum::<f64>()
}
