//! Updates of single resistances with their conditions.

use super::class::by_class;
use super::likelihood::Parabola;
use super::near::exp_near;
use super::stand::Stand;
use super::state::Chain;
use super::sums::dot;
use crate::problem::{CLASSES, Law, PoleLaw};

impl Chain<'_> {
    pub(super) fn update_resistances(&mut self) {
        for res in 0..self.p.res.len() {
            match self.p.res[res].law {
                Law::Conditioned { .. } => self.update_conditioned(res),
                Law::Pole(law) => self.update_pole(res, law),
                Law::Known => {}
            }
        }
    }

    /// Prior weight of each condition given clusters and signs, not normalised.
    pub(super) fn condition_weights(&self, res: usize) -> [f64; CLASSES] {
        let prior = self.condition_prior(res);
        let signs = self.sign_factors(res);
        by_class(|condition| prior[condition] * signs[condition])
    }

    fn update_conditioned(&mut self, res: usize) {
        let weights = self.condition_weights(res);
        let (slope, curvature) = self.slope_and_curvature(res);
        // Nothing bears on it, or so little that even a burnt joint would move no reading by a fiftieth of its error.
        let grid = &self.grids[self.grid_of[res]];
        let burnt = grid.severe_ohm;
        if curvature * burnt * burnt < 4e-4 {
            self.draw_unmeasured(res, weights);
            return;
        }
        let likelihood = Parabola { ohm: self.ohm[res], slope, curvature };
        let mut cells = std::mem::take(&mut self.scratch);
        cells.clear();
        cells.extend(grid.grid.value.iter().map(|&value| likelihood.log_at(value)));
        let best = cells.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for cell in &mut cells {
            // Cells that the data rule out come out as nothing.
            *cell = exp_near((*cell - best).max(-700.0));
        }
        for (cell, &value) in
            cells.iter_mut().zip(&grid.grid.value).skip(grid.grid.n_below(self.free_below(res)))
        {
            *cell *= self.bound(res, value);
        }
        let sums = grid.mixed(weights, &mut cells);
        let chosen = self.rng.pick(&cells);
        let log = grid.grid.low + (chosen as f64 + self.rng.uniform()) * grid.grid.step;
        let mut here = self.stands(res);
        let there = Stand { log, ohm: libm::exp(log), density: grid.densities_at(log) };
        let target = |stand: &Stand| {
            let likelihood = libm::exp(likelihood.log_at(stand.ohm) - best);
            stand.prior(weights) * likelihood * self.bound(res, stand.ohm)
        };
        let here_cell = grid.grid.cell(here.log).map_or(0.0, |cell| cells[cell]);
        let (to, from) = (target(&there), target(&here));
        let accept = from <= 0.0 || self.rng.uniform() * from * cells[chosen] < to * here_cell;
        self.scratch = cells;
        if accept {
            here = there;
        }
        // Whether to walk must not depend on where the resistance stands, or the way back could be closed.
        if 4.0 < curvature * burnt * burnt {
            here = self.walk_conditioned(res, weights, &likelihood, here);
        }
        self.settle(res, here);
        // Which probability is kept must not depend on where the resistance stands either, or their mean is off: judged by
        // where the readings would have it, which stays while it moves.
        let peak = likelihood.ohm + slope / curvature;
        let total: f64 = sums.iter().sum();
        let smooth = curvature * peak * peak <= 10.0 && total.is_finite() && 0.0 < total;
        self.draw_condition(res, weights, smooth.then(|| sums.map(|sum| sum / total)));
    }

    /// A few steps finer than the grid, where the data are sharper than a cell.
    fn walk_conditioned(
        &mut self,
        res: usize,
        weights: [f64; CLASSES],
        likelihood: &Parabola,
        mut here: Stand,
    ) -> Stand {
        // The step depends on the present value, so the densities of the step there and back enter the ratio.
        let step_at = |ohm: f64| 1.7 / libm::sqrt(likelihood.curvature * ohm * ohm + 4.0);
        for _ in 0..2 {
            let step = step_at(here.ohm);
            let distance = step * self.rng.normal();
            let log = here.log + distance;
            let grid = &self.grids[self.grid_of[res]];
            if grid.grid.cell(log).is_none() {
                continue;
            }
            let there = Stand { log, ohm: libm::exp(log), density: grid.densities_at(log) };
            let back = step_at(there.ohm);
            let steps = 0.5 * distance * distance * (1.0 / (step * step) - 1.0 / (back * back));
            let prior = |stand: &Stand| stand.prior(weights) * self.bound(res, stand.ohm);
            let more = likelihood.log_at(there.ohm) - likelihood.log_at(here.ohm);
            let ratio = prior(&there) / prior(&here).max(1e-300) * step / back * libm::exp(more + steps);
            if self.rng.uniform() < ratio {
                here = there;
            }
        }
        here
    }

    /// No observation depends on it: condition and resistance come from what the neighbours and signs leave.
    fn draw_unmeasured(&mut self, res: usize, weights: [f64; CLASSES]) {
        // The bound on the voltage makes some of each condition's resistances unlikely: draws are refused by it.
        let grid = &self.grids[self.grid_of[res]];
        let (laws, low) = (grid.laws, grid.grid.low);
        let high = low + grid.grid.step * grid.grid.n_cells() as f64 - 1e-9;
        let first = grid.grid.n_below(self.free_below(res));
        let refused: Vec<f64> =
            grid.grid.value[first..].iter().map(|&value| 1.0 - self.bound(res, value)).collect();
        let kept = by_class(|class| 1.0 - dot(&grid.density[class][first..], &refused) / grid.total[class]);
        let weights = by_class(|condition| weights[condition] * kept[condition]);
        let total: f64 = weights.iter().sum();
        self.probability[res] = by_class(|class| weights[class] / total);
        let condition = self.rng.pick(&weights);
        const TRIES: usize = 200;
        for _ in 0..TRIES {
            let log = laws.draw(condition, &mut self.rng).clamp(low, high);
            if self.rng.uniform() < self.bound(res, libm::exp(log)) {
                self.set_ohm(res, log);
                self.set_condition(res, condition);
                return;
            }
        }
    }

    /// Draws the condition given the resistance; keeps the conditional probability for the summary.
    pub(super) fn draw_condition(
        &mut self,
        res: usize,
        weights: [f64; CLASSES],
        smooth: Option<[f64; CLASSES]>,
    ) {
        if let Some(here) = self.redraw_condition(res, weights) {
            self.probability[res] = smooth.unwrap_or(here);
        }
    }

    /// The same after a move that was accepted, and not where it was refused: what the summary is given must stay as it was, or the
    /// places from which such a move gets away would count for less than they are. Gives the conditional probability.
    pub(super) fn redraw_condition(&mut self, res: usize, weights: [f64; CLASSES]) -> Option<[f64; CLASSES]> {
        let densities = self.density[res];
        let here = by_class(|condition| weights[condition] * densities[condition]);
        let total: f64 = here.iter().sum();
        if total.is_nan() || total <= 0.0 {
            return None;
        }
        let condition = self.rng.pick(&here);
        self.set_condition(res, condition);
        Some(here.map(|weight| weight / total))
    }

    /// Probability of each condition at the present resistance, given clusters, signs and the other conditions.
    pub(super) fn condition_at_ohm(&self, res: usize) -> [f64; CLASSES] {
        let weights = self.condition_weights(res);
        let densities = self.density[res];
        let here = by_class(|condition| weights[condition] * densities[condition]);
        let total: f64 = here.iter().sum();
        if 0.0 < total { by_class(|class| here[class] / total) } else { self.probability[res] }
    }

    /// Two steps of a random walk on the logarithm, as wide as prior and readings together let it; whether its own contacts are bad is
    /// summed out.
    pub(super) fn update_pole(&mut self, res: usize, law: PoleLaw) {
        let mean = self.pole_mean(res, &law);
        let (slope, curvature) = self.slope_and_curvature(res);
        let likelihood = Parabola { ohm: self.ohm[res], slope, curvature };
        // The step depends on the present value, so the densities of the step there and back enter the ratio.
        let step_at = |ohm: f64| 1.8 / libm::sqrt(1.0 / (law.sd * law.sd) + curvature * ohm * ohm);
        let (mut log, mut ohm) = (self.ln_ohm[res], self.ohm[res]);
        for _ in 0..2 {
            let step = step_at(ohm);
            let distance = step * self.rng.normal();
            let there = libm::exp(log + distance);
            let back = step_at(there);
            let more = (likelihood.log_at(there) - likelihood.log_at(ohm))
                + 0.5 * distance * distance * (1.0 / (step * step) - 1.0 / (back * back));
            let (from, to) = (law.density(log - mean), law.density(log + distance - mean));
            if self.rng.uniform() * back * from < step * to * libm::exp(more) {
                (log, ohm) = (log + distance, there);
            }
        }
        self.settle(res, Stand { log, ohm, density: [0.0; CLASSES] });
    }
}
