//! How observations depend on one joint at a draw.

use super::Posterior;
use crate::problem::Mode;
use crate::sampler::Draw;

/// An observation that a joint can move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Influence {
    pub(crate) obs: usize,
    /// Change of the prediction by a burnt instead of a sound joint, in errors of the observation.
    pub(crate) strength: f64,
}

impl Posterior<'_> {
    /// dPrediction/dR of an observation at a draw.
    pub(crate) fn slope(&self, obs: usize, res: usize, draw: &Draw) -> f64 {
        self.slope_at(obs, res, draw, &self.squares(res, draw))
    }

    /// Squared current of a resistance in each state at a draw, A².
    fn squares(&self, res: usize, draw: &Draw) -> Vec<f64> {
        let square = |state| {
            let current = self.p.current(state, res, &draw.loads);
            current * current
        };
        (0..self.p.carry.len()).map(square).collect()
    }

    fn slope_at(&self, obs: usize, res: usize, draw: &Draw, squares: &[f64]) -> f64 {
        let content = &self.p.obs[obs];
        match content.mode {
            Mode::Thermal => {
                let Some(spot) = &content.thermal else { return 0.0 };
                let Some(slope) = self.p.linear[obs].slope.get(res) else { return 0.0 };
                let knobs = &draw.knobs[self.p.views[spot.view].panel];
                let turned: f64 = knobs.iter().zip(&slope[1..]).map(|(knob, change)| knob * change).sum();
                let lags = self.p.linear[obs].lags.iter();
                let square: f64 = lags.map(|lag| lag.share[res] * squares[lag.state]).sum();
                (slope[0] + turned).max(0.1 * slope[0]) * self.p.answers_more(obs, res, draw) * square
            }
            Mode::Electrical => content
                .weights
                .iter()
                .filter(|&&(at, _)| at == res)
                .map(|&(_, weight)| {
                    let own =
                        content.own_current.iter().find(|&&(at, _)| at == res).map(|&(_, current)| current);
                    weight * own.unwrap_or_else(|| self.p.current(content.state, res, &draw.loads))
                })
                .sum(),
            Mode::CurrentSum => 0.0,
        }
    }

    /// Observations that a joint can move, strongest first.
    pub(crate) fn influences(&self, res: usize) -> Vec<Influence> {
        let crate::problem::Law::Conditioned { laws, .. } = self.p.res[res].law else { return Vec::new() };
        let burnt_ohm = libm::exp(laws.mean[3]) - libm::exp(laws.mean[0]);
        let few: Vec<(&Draw, Vec<f64>)> = self.few().map(|draw| (draw, self.squares(res, draw))).collect();
        let mut all: Vec<Influence> = (0..self.p.obs.len())
            .map(|obs| {
                let sum: f64 = few.iter().map(|(draw, squares)| self.slope_at(obs, res, draw, squares)).sum();
                let slope = sum / few.len().max(1) as f64;
                Influence { obs, strength: (slope * burnt_ohm).abs() / self.p.obs[obs].sigma }
            })
            .filter(|influence| 0.05 < influence.strength)
            .collect();
        all.sort_by(|a, b| b.strength.total_cmp(&a.strength));
        all
    }
}
