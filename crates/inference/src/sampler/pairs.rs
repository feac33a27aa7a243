//! Moves of two resistances along the line on which what was measured stays the same.

use super::grid::normal_density;
use super::state::Chain;
use crate::problem::{CLASSES, Law};

impl Chain<'_> {
    pub(super) fn update_pairs(&mut self) {
        for at in 0..self.p.pairs.len() {
            let (a, b) = self.p.pairs[at];
            self.update_pair(a, b);
        }
    }

    /// Moves `a` (which has a condition) against `b` along p·R_a + q·R_b = constant, where p and q are their
    /// coefficients in the observation that ties them most.
    fn update_pair(&mut self, a: usize, b: usize) {
        let (column_a, column_b) = (a * self.n_obs, b * self.n_obs);
        let tie = (0..self.n_obs)
            .map(|idx| {
                let (p, q) = (self.coef[column_a + idx], self.coef[column_b + idx]);
                (self.weight[idx] * (p * q).max(0.0), p, q)
            })
            .fold((0.0, 0.0, 0.0), |best: (f64, f64, f64), next| if best.0 < next.0 { next } else { best });
        let (strength, p, q) = tie;
        // Nothing ties them, or so weakly that single moves do as well. Judged by typical values: were it judged by the
        // present ones, the way back could be closed.
        let typical_a = libm::exp(self.grids[self.grid_of[a]].laws.mean[CLASSES - 1]);
        if strength * typical_a * self.p.res[b].typical_ohm < 0.05 {
            return;
        }
        let ratio = p / q;
        let sum = self.ohm[b] + ratio * self.ohm[a];
        let (mut slope, mut curvature) = (0.0, 0.0);
        for idx in 0..self.n_obs {
            let along = self.coef[column_a + idx] - ratio * self.coef[column_b + idx];
            slope += self.weight[idx] * along * (self.value[idx] - self.predicted[idx]);
            curvature += self.weight[idx] * along * along;
        }
        let here_ohm = self.ohm[a];
        let log_likelihood = |ohm_a: f64| {
            let change = ohm_a - here_ohm;
            slope * change - 0.5 * curvature * change * change
        };
        let table = self.pair_weights(a, b);
        let bound = &self.p.priors.bound;
        let (largest_a, largest_b, shared) = (self.largest_of(a), self.largest_of(b), self.pole_mean(b, 0.0));
        let grid_a = &self.grids[self.grid_of[a]];
        // Density along the line for each condition of `a`: prior of both, times 1/R_b from the change of variables. The
        // proposal may take it from the cells; the target may not.
        let by_condition = |densities_a: [f64; CLASSES], ohm_b: f64, exact: bool| -> [f64; CLASSES] {
            if ohm_b <= 0.0 {
                return [0.0; CLASSES];
            }
            let log_b = libm::log(ohm_b);
            let bound_b = bound.chance(largest_b * ohm_b);
            let of_b: [f64; CLASSES] = match self.p.res[b].law {
                Law::Conditioned { .. } => {
                    let grid_b = &self.grids[self.grid_of[b]];
                    if grid_b.grid.cell(log_b).is_none() {
                        return [0.0; CLASSES];
                    }
                    if exact { grid_b.densities_at(log_b) } else { grid_b.densities_near(log_b) }
                }
                Law::Pole { mean, sd } => [normal_density(log_b, mean + shared, sd), 0.0, 0.0, 0.0],
                Law::Known => [0.0; CLASSES],
            };
            [0, 1, 2, 3].map(|ca| {
                let beside: f64 = (0..CLASSES).map(|cb| table[ca][cb] * of_b[cb]).sum();
                densities_a[ca] * beside * bound_b / ohm_b
            })
        };
        let n_cells = grid_a.grid.n_cells();
        let logs: Vec<f64> = (0..n_cells).map(|idx| log_likelihood(grid_a.grid.value[idx])).collect();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut along_line = [0.0; CLASSES];
        let cells: Vec<f64> = (0..n_cells)
            .map(|idx| {
                // Cells that the data rule out cost nothing.
                if logs[idx] - best < -28.0 {
                    return 0.0;
                }
                let likelihood =
                    libm::exp(logs[idx] - best) * bound.chance(largest_a * grid_a.grid.value[idx]);
                let parts =
                    by_condition(grid_a.densities_in(idx), sum - ratio * grid_a.grid.value[idx], false);
                for (total, part) in along_line.iter_mut().zip(parts) {
                    *total += part * likelihood;
                }
                parts.iter().sum::<f64>() * likelihood
            })
            .collect();
        let total: f64 = cells.iter().sum();
        if !total.is_finite() || total <= 0.0 {
            return;
        }
        if matches!(self.p.res[b].law, Law::Pole { .. }) {
            // The whole line is averaged here, which is steadier than the condition at one point of it.
            self.probability[a] = along_line.map(|part| part / total);
        }
        // A small even share keeps cells reachable whose middle falls off the line but whose edge does not.
        let floor = 1e-4 * total / n_cells as f64;
        let shares: Vec<f64> = cells.iter().map(|cell| cell + floor).collect();
        let chosen = self.rng.pick(&shares);
        let proposal = grid_a.grid.low + (chosen as f64 + self.rng.uniform()) * grid_a.grid.step;
        let here = self.ln_ohm[a];
        let Some(here_cell) = grid_a.grid.cell(here) else { return };
        let target = |log_a: f64| {
            let ohm_a = libm::exp(log_a);
            let parts = by_condition(grid_a.densities_at(log_a), sum - ratio * ohm_a, true);
            parts.iter().sum::<f64>()
                * libm::exp(log_likelihood(ohm_a) - best)
                * bound.chance(largest_a * ohm_a)
        };
        let (to, from) = (target(proposal), target(here));
        if self.rng.uniform() * from * shares[chosen] >= to * shares[here_cell] {
            return;
        }
        let ohm_b = sum - ratio * libm::exp(proposal);
        if ohm_b <= 0.0 {
            return;
        }
        self.set_ohm(a, proposal);
        self.set_ohm(b, libm::log(ohm_b));
        self.draw_pair_conditions(a, b, table);
    }

    fn draw_pair_conditions(&mut self, a: usize, b: usize, table: [[f64; CLASSES]; CLASSES]) {
        let densities_a = self.grids[self.grid_of[a]].densities_at(self.ln_ohm[a]);
        let densities_b = match self.p.res[b].law {
            Law::Conditioned { .. } => self.grids[self.grid_of[b]].densities_at(self.ln_ohm[b]),
            _ => [1.0, 0.0, 0.0, 0.0],
        };
        let flat: Vec<f64> = (0..CLASSES * CLASSES)
            .map(|at| {
                let (ca, cb) = (at / CLASSES, at % CLASSES);
                table[ca][cb] * densities_a[ca] * densities_b[cb]
            })
            .collect();
        if flat.iter().sum::<f64>() <= 0.0 {
            return;
        }
        let chosen = self.rng.pick(&flat);
        self.set_condition(a, chosen / CLASSES);
        if b < self.p.n_conditioned {
            self.set_condition(b, chosen % CLASSES);
        }
    }

    /// Joint weight of the conditions of two joints given clusters and signs; the second index is zero where `b` is a pole.
    fn pair_weights(&self, a: usize, b: usize) -> [[f64; CLASSES]; CLASSES] {
        let prior_a = self.condition_prior(a);
        if self.p.n_conditioned <= b {
            let signs = self.sign_factors(a);
            return [0, 1, 2, 3].map(|ca| [prior_a[ca] * signs[ca], 0.0, 0.0, 0.0]);
        }
        let prior_b = self.condition_prior(b);
        let mut table = [[0.0; CLASSES]; CLASSES];
        for ca in 0..CLASSES {
            for cb in 0..CLASSES {
                table[ca][cb] = prior_a[ca] * prior_b[cb] * self.sign_factor_of_pair(a, ca, b, cb);
            }
        }
        table
    }

    fn sign_factor_of_pair(&self, a: usize, ca: usize, b: usize, cb: usize) -> f64 {
        let mut factor = 1.0;
        let silence_of = |res: usize, term: usize| {
            self.terms_of[res].iter().find(|&&(at, _)| at == term).map(|&(_, silence)| silence)
        };
        let mut once = |term: usize| {
            let content = &self.p.terms[term];
            let mut quiet = self.quiet[term];
            for (res, condition) in [(a, ca), (b, cb)] {
                if let Some(silence) = silence_of(res, term) {
                    quiet += silence[condition] - silence[usize::from(self.condition[res])];
                }
            }
            let none = (1.0 - content.elsewhere) * libm::exp(quiet);
            factor *= content.chance(none);
        };
        for &(term, _) in &self.terms_of[a] {
            once(term);
        }
        for &(term, _) in &self.terms_of[b] {
            if silence_of(a, term).is_none() {
                once(term);
            }
        }
        factor
    }
}
