//! Updates of single resistances with their conditions.

use super::near::exp_near;
use super::state::Chain;
use super::sums::dot;
use crate::problem::{CLASSES, Law};

impl Chain<'_> {
    pub(super) fn update_resistances(&mut self) {
        for res in 0..self.p.res.len() {
            match self.p.res[res].law {
                Law::Conditioned { .. } => self.update_conditioned(res),
                Law::Pole { mean, sd } => self.update_pole(res, self.pole_mean(res, mean), sd),
                Law::Known => {}
            }
        }
    }

    /// Prior weight of each condition given clusters and signs, not normalised.
    pub(super) fn condition_weights(&self, res: usize) -> [f64; CLASSES] {
        let prior = self.condition_prior(res);
        let signs = self.sign_factors(res);
        [0, 1, 2, 3].map(|condition| prior[condition] * signs[condition])
    }

    fn update_conditioned(&mut self, res: usize) {
        let weights = self.condition_weights(res);
        let (slope, curvature) = self.slope_and_curvature(res);
        // Nothing bears on it, or so little that even a burnt joint would move no reading by a fiftieth of its error.
        let burnt = libm::exp(self.grids[self.grid_of[res]].laws.mean[CLASSES - 1]);
        if curvature * burnt * burnt < 4e-4 {
            self.draw_unmeasured(res, weights);
            return;
        }
        let grid = &self.grids[self.grid_of[res]];
        let ohm = self.ohm[res];
        let log_likelihood = |value: f64| {
            let change = value - ohm;
            slope * change - 0.5 * curvature * change * change
        };
        let mut cells = std::mem::take(&mut self.scratch);
        cells.clear();
        cells.extend(grid.grid.value.iter().map(|&value| log_likelihood(value)));
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
        let sums = [0, 1, 2, 3].map(|class: usize| weights[class] * dot(&grid.density[class], &cells));
        let [sound, worn, mild, severe] = grid.density.each_ref();
        let [of_sound, of_worn, of_mild, of_severe] = weights;
        for ((((cell, sound), worn), mild), severe) in
            cells.iter_mut().zip(sound).zip(worn).zip(mild).zip(severe)
        {
            *cell *= of_sound * sound + of_worn * worn + of_mild * mild + of_severe * severe;
        }
        let chosen = self.rng.pick(&cells);
        let proposal = grid.grid.low + (chosen as f64 + self.rng.uniform()) * grid.grid.step;
        let target = |log: f64, densities: [f64; CLASSES]| {
            let prior: f64 = (0..CLASSES).map(|condition| weights[condition] * densities[condition]).sum();
            let value = libm::exp(log);
            prior * libm::exp(log_likelihood(value) - best) * self.bound(res, value)
        };
        let here = self.ln_ohm[res];
        let here_cell = grid.grid.cell(here).map_or(0.0, |cell| cells[cell]);
        let (to, from) = (target(proposal, grid.densities_at(proposal)), target(here, self.density[res]));
        let accept = from <= 0.0 || self.rng.uniform() * from * cells[chosen] < to * here_cell;
        self.scratch = cells;
        if accept {
            self.set_ohm(res, proposal);
        }
        // Whether to walk must not depend on where the resistance stands, or the way back could be closed.
        if 4.0 < curvature * burnt * burnt {
            self.walk_conditioned(res, weights);
        }
        // Which probability is kept must not depend on where the resistance stands either, or their mean is off: judged by
        // where the readings would have it, which stays while it moves.
        let peak = ohm + slope / curvature;
        let total: f64 = sums.iter().sum();
        let smooth = curvature * peak * peak <= 10.0 && total.is_finite() && 0.0 < total;
        self.draw_condition(res, weights, smooth.then(|| sums.map(|sum| sum / total)));
    }

    /// A few steps finer than the grid, where the data are sharper than a cell.
    fn walk_conditioned(&mut self, res: usize, weights: [f64; CLASSES]) {
        for _ in 0..2 {
            let (slope, curvature) = self.slope_and_curvature(res);
            let step_at = |ohm: f64| 1.7 / libm::sqrt(curvature * ohm * ohm + 4.0);
            let step = step_at(self.ohm[res]);
            let grid = &self.grids[self.grid_of[res]];
            let here = self.ln_ohm[res];
            let proposal = here + step * self.rng.normal();
            if grid.grid.cell(proposal).is_none() {
                continue;
            }
            let change = libm::exp(proposal) - self.ohm[res];
            let prior = |log: f64, densities: [f64; CLASSES]| {
                let density: f64 =
                    (0..CLASSES).map(|condition| weights[condition] * densities[condition]).sum();
                density * self.bound(res, libm::exp(log))
            };
            let (back, distance) = (step_at(self.ohm[res] + change), proposal - here);
            let steps = libm::log(step / back)
                + 0.5 * distance * distance * (1.0 / (step * step) - 1.0 / (back * back));
            let ratio = prior(proposal, grid.densities_at(proposal))
                / prior(here, self.density[res]).max(1e-300)
                * libm::exp(slope * change - 0.5 * curvature * change * change + steps);
            if self.rng.uniform() < ratio {
                self.set_ohm(res, proposal);
            }
        }
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
        let kept = [0, 1, 2, 3]
            .map(|class: usize| 1.0 - dot(&grid.density[class][first..], &refused) / grid.total[class]);
        let weights = [0, 1, 2, 3].map(|condition| weights[condition] * kept[condition]);
        let total: f64 = weights.iter().sum();
        self.probability[res] = weights.map(|weight| weight / total);
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
        let densities = self.density[res];
        let here = [0, 1, 2, 3].map(|condition| weights[condition] * densities[condition]);
        let total: f64 = here.iter().sum();
        if total.is_nan() || total <= 0.0 {
            return;
        }
        self.probability[res] = smooth.unwrap_or_else(|| here.map(|weight| weight / total));
        let condition = self.rng.pick(&here);
        self.set_condition(res, condition);
    }

    /// Probability of each condition at the present resistance, given clusters, signs and the other conditions.
    pub(super) fn condition_at_ohm(&self, res: usize) -> [f64; CLASSES] {
        let weights = self.condition_weights(res);
        let densities = self.density[res];
        let here = [0, 1, 2, 3].map(|condition| weights[condition] * densities[condition]);
        let total: f64 = here.iter().sum();
        if 0.0 < total { here.map(|part| part / total) } else { self.probability[res] }
    }

    pub(super) fn update_pole(&mut self, res: usize, mean: f64, sd: f64) {
        for _ in 0..2 {
            let (slope, curvature) = self.slope_and_curvature(res);
            let here = self.ln_ohm[res];
            let sharp = curvature * self.ohm[res] * self.ohm[res];
            let step = 1.8 / libm::sqrt(1.0 / (sd * sd) + sharp);
            let proposal = here + step * self.rng.normal();
            let change = libm::exp(proposal) - self.ohm[res];
            let (from, to) = ((here - mean) / sd, (proposal - mean) / sd);
            // The step depends on the present value, so the densities of the step there and back enter the ratio.
            let next_ohm = self.ohm[res] + change;
            let back = 1.8 / libm::sqrt(1.0 / (sd * sd) + curvature * next_ohm * next_ohm);
            let distance = proposal - here;
            let there_density = -libm::log(step) - 0.5 * distance * distance / (step * step);
            let back_density = -libm::log(back) - 0.5 * distance * distance / (back * back);
            let log_ratio = 0.5 * (from * from - to * to) + slope * change
                - 0.5 * curvature * change * change
                + back_density
                - there_density;
            if libm::log(self.rng.uniform().max(1e-300)) < log_ratio {
                self.set_ohm(res, proposal);
            }
        }
    }
}
