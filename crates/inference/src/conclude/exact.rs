//! Correction of the linearised answers by the full nonlinear networks at a sample of the draws.

use crate::problem::{ExactNetworks, Mode, Problem};
use crate::sampler::Draw;

/// Draws looked at with the full networks.
const N_EXACT: usize = 160;

/// The full networks at some of the draws.
pub(crate) struct Exact {
    /// Index of each looked-at draw.
    pub(crate) picked: Vec<usize>,
    /// Weight of each, summing to 1.
    pub(crate) weight: Vec<f64>,
    /// Temperature of each node, K: `[picked][view][node]`.
    pub(crate) temperature_k: Vec<Vec<Vec<f64>>>,
    /// Effective number of the weights, as a share of the looked-at draws.
    pub(crate) efficiency: f64,
}

impl Exact {
    pub(crate) fn new(p: &Problem, draws: &[&Draw]) -> Self {
        let n = N_EXACT.min(draws.len());
        let picked: Vec<usize> = (0..n).map(|idx| idx * draws.len() / n).collect();
        let mut networks = ExactNetworks::new(p);
        let mut temperature_k = Vec::with_capacity(n);
        let mut logs = Vec::with_capacity(n);
        for &at in &picked {
            let draw = draws[at];
            let views: Vec<Vec<f64>> = (0..p.views.len())
                .map(|view| {
                    let room_c = draw.offsets[p.states[p.views[view].state].room_offset];
                    let knobs = &draw.knobs[p.views[view].panel];
                    p.exact(&mut networks, view, &draw.ohm, &draw.loads, room_c, knobs)
                        .map_or_else(Vec::new, |solution| solution.temperature_k)
                })
                .collect();
            logs.push(log_weight(p, draw, &views));
            temperature_k.push(views);
        }
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let raw: Vec<f64> = logs.iter().map(|log| libm::exp(log - best)).collect();
        let mean = raw.iter().sum::<f64>() / n.max(1) as f64;
        // Truncated importance weights (Ionides 2008): no weight above √n times the mean.
        let most = mean * libm::sqrt(n as f64);
        let cut: Vec<f64> = raw.iter().map(|weight| weight.min(most)).collect();
        let total: f64 = cut.iter().sum();
        let weight: Vec<f64> = cut.iter().map(|weight| weight / total).collect();
        let efficiency = 1.0 / (weight.iter().map(|weight| weight * weight).sum::<f64>() * n.max(1) as f64);
        Exact { picked, weight, temperature_k, efficiency }
    }

    /// Probability of a condition (0 sound, 1 worn, 2 burnt): the steady mean over all draws, moved by the full networks.
    /// Their weights depend on the resistances, so the move needs the probability at each draw's own resistance.
    pub(crate) fn probability(&self, draws: &[&Draw], res: usize, condition: usize) -> f64 {
        let steady = draws.iter().map(|draw| draw.probability[res][condition]).sum::<f64>();
        let mut change = 0.0;
        for (&at, weight) in self.picked.iter().zip(&self.weight) {
            change += (weight - 1.0 / self.picked.len() as f64) * draws[at].at_ohm[res][condition];
        }
        (steady / draws.len().max(1) as f64 + change).clamp(0.0, 1.0)
    }

    /// Standard error that the move by a sample of the draws adds to [`Exact::probability`] of burnt.
    pub(crate) fn burnt_error(&self, draws: &[&Draw], res: usize) -> f64 {
        let burnt = |at: usize| draws[at].at_ohm[res][2];
        let mean: f64 = self.picked.iter().zip(&self.weight).map(|(&at, weight)| weight * burnt(at)).sum();
        let even = 1.0 / self.picked.len().max(1) as f64;
        let squares = self.picked.iter().zip(&self.weight).map(|(&at, weight)| {
            let part = (weight - even) * (burnt(at) - mean);
            part * part
        });
        libm::sqrt(squares.sum())
    }
}

fn log_weight(p: &Problem, draw: &Draw, views: &[Vec<f64>]) -> f64 {
    let nu = p.priors.instrument.degrees_of_freedom;
    let mut log = 0.0;
    for (idx, obs) in p.obs.iter().enumerate() {
        let (Mode::Thermal, Some(spot)) = (obs.mode, &obs.thermal) else { continue };
        // A pole whose own heat is left out has no node of its own in the full network; the straight line serves.
        if spot.without.is_some() {
            continue;
        }
        let Some(&node_k) = views[spot.view].get(spot.node) else { return f64::NEG_INFINITY };
        let room_c = draw.offsets[p.states[obs.state].room_offset];
        let rise = node_k - 273.15 - room_c + p.lag_correction(idx, draw);
        let full: f64 =
            rise + obs.offsets.iter().map(|&(offset, weight)| weight * draw.offsets[offset]).sum::<f64>();
        let density = |predicted: f64| libm::log(obs.density(predicted, nu).max(1e-300));
        log += density(full) - density(draw.predicted[idx]);
    }
    log
}
