//! Moves of two resistances along the line on which what was measured stays the same.

use super::categorical::Showing;
use super::near::{exp_near, log_near};
use super::state::Chain;
use super::sums::{largest_product, slope_and_curvature};
use crate::problem::{CLASSES, Law};

/// Signs of the two joints of a pair, by whom they concern.
#[derive(Debug, Clone)]
pub(super) struct Shared {
    only_a: Vec<Showing>,
    only_b: Vec<Showing>,
    both: Vec<(Showing, Showing)>,
}

impl Shared {
    pub(super) fn new(of_a: &[Showing], of_b: &[Showing]) -> Self {
        let other = |of: &[Showing], term: usize| of.iter().find(|showing| showing.term == term).copied();
        let alone = |of: &[Showing], against: &[Showing]| -> Vec<Showing> {
            of.iter().filter(|showing| other(against, showing.term).is_none()).copied().collect()
        };
        let both = of_a.iter().filter_map(|a| other(of_b, a.term).map(|b| (*a, b))).collect();
        Shared { only_a: alone(of_a, of_b), only_b: alone(of_b, of_a), both }
    }
}

impl Chain<'_> {
    pub(super) fn update_pairs(&mut self) {
        for at in 0..self.p.pairs.len() {
            self.update_pair(at);
        }
    }

    /// Moves `a` (which has a condition) against `b` along p·R_a + q·R_b = constant, where p and q are their
    /// coefficients in the observation that ties them most.
    fn update_pair(&mut self, at: usize) {
        if self.n_obs == 0 {
            return;
        }
        let (a, b) = self.p.pairs[at];
        let column = |res: usize| &self.coef[res * self.n_obs..(res + 1) * self.n_obs];
        let (column_a, column_b) = (column(a), column(b));
        let (tie, strength) = largest_product(&self.weight, column_a, column_b);
        let (p, q) = (column_a[tie], column_b[tie]);
        // Nothing ties them, or so weakly that single moves do as well. Judged by typical values: were it judged by the
        // present ones, the way back could be closed.
        let typical_a = libm::exp(self.grids[self.grid_of[a]].laws.mean[CLASSES - 1]);
        if strength * typical_a * self.p.res[b].typical_ohm < 0.05 {
            return;
        }
        let ratio = p / q;
        let sum = self.ohm[b] + ratio * self.ohm[a];
        let mut along = std::mem::take(&mut self.scratch2);
        along.clear();
        along.extend(column_a.iter().zip(column_b).map(|(of_a, of_b)| of_a - ratio * of_b));
        let (slope, curvature) = slope_and_curvature(&along, &self.weight, &self.value, &self.predicted);
        self.scratch2 = along;
        let here_ohm = self.ohm[a];
        let log_likelihood = |ohm_a: f64| {
            let change = ohm_a - here_ohm;
            slope * change - 0.5 * curvature * change * change
        };
        let table = self.pair_weights(at);
        let bound = &self.p.priors.bound;
        let (largest_a, largest_b, shared) = (self.largest_of(a), self.largest_of(b), self.pole_mean(b, 0.0));
        let grid_a = &self.grids[self.grid_of[a]];
        // Density along the line for each condition of `a`: prior of both, times 1/R_b from the change of variables. The
        // proposal may take it from the cells; the target may not.
        let by_condition = |densities_a: [f64; CLASSES], ohm_b: f64, exact: bool| -> [f64; CLASSES] {
            if ohm_b <= 0.0 {
                return [0.0; CLASSES];
            }
            let log_b = if exact { libm::log(ohm_b) } else { log_near(ohm_b) };
            let bound_b = bound.chance(largest_b * ohm_b);
            let of_b: [f64; CLASSES] = match self.p.res[b].law {
                Law::Conditioned { .. } => {
                    let grid_b = &self.grids[self.grid_of[b]];
                    if grid_b.grid.cell(log_b).is_none() {
                        return [0.0; CLASSES];
                    }
                    if exact { grid_b.densities_at(log_b) } else { grid_b.densities_near(log_b) }
                }
                Law::Pole { mean, sd } => {
                    let z = (log_b - mean - shared) / sd;
                    let square = -0.5 * z * z;
                    [if exact { libm::exp(square) } else { exp_near(square) }, 0.0, 0.0, 0.0]
                }
                Law::Known => [0.0; CLASSES],
            };
            [0, 1, 2, 3].map(|ca| {
                let beside: f64 = (0..CLASSES).map(|cb| table[ca][cb] * of_b[cb]).sum();
                densities_a[ca] * beside * bound_b / ohm_b
            })
        };
        let n_cells = grid_a.grid.n_cells();
        let mut cells = std::mem::take(&mut self.scratch);
        cells.clear();
        cells.extend(grid_a.grid.value.iter().map(|&value| log_likelihood(value)));
        let best = cells.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut along_line = [0.0; CLASSES];
        for (idx, cell) in cells.iter_mut().enumerate() {
            let log = *cell - best;
            *cell = 0.0;
            let ohm_a = grid_a.grid.value[idx];
            // Cells that the data or the line rule out cost nothing.
            if log < -28.0 || sum <= ratio * ohm_a {
                continue;
            }
            let likelihood = exp_near(log) * bound.chance(largest_a * ohm_a);
            let parts = by_condition(grid_a.densities_in(idx), sum - ratio * ohm_a, false);
            for (total, part) in along_line.iter_mut().zip(parts) {
                *total += part * likelihood;
                *cell += part * likelihood;
            }
        }
        let total: f64 = cells.iter().sum();
        if !total.is_finite() || total <= 0.0 {
            self.scratch = cells;
            return;
        }
        if matches!(self.p.res[b].law, Law::Pole { .. }) {
            // The whole line is averaged here, which is steadier than the condition at one point of it.
            self.probability[a] = along_line.map(|part| part / total);
        }
        // A small even share keeps cells reachable whose middle falls off the line but whose edge does not.
        let floor = 1e-4 * total / n_cells as f64;
        cells.iter_mut().for_each(|cell| *cell += floor);
        let chosen = self.rng.pick(&cells);
        let proposal = grid_a.grid.low + (chosen as f64 + self.rng.uniform()) * grid_a.grid.step;
        let here = self.ln_ohm[a];
        let there_share = cells[chosen];
        let here_share = grid_a.grid.cell(here).map(|cell| cells[cell]);
        let target = |log_a: f64, densities_a: [f64; CLASSES]| {
            let ohm_a = libm::exp(log_a);
            let parts = by_condition(densities_a, sum - ratio * ohm_a, true);
            parts.iter().sum::<f64>()
                * libm::exp(log_likelihood(ohm_a) - best)
                * bound.chance(largest_a * ohm_a)
        };
        let (to, from) = (target(proposal, grid_a.densities_at(proposal)), target(here, self.density[a]));
        self.scratch = cells;
        let Some(here_share) = here_share else { return };
        if self.rng.uniform() * from * there_share >= to * here_share {
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
        let densities_a = self.density[a];
        let densities_b = match self.p.res[b].law {
            Law::Conditioned { .. } => self.density[b],
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

    /// Joint weight of the conditions of the joints of a pair given clusters and signs; the second index is zero where the
    /// other is a pole.
    fn pair_weights(&self, at: usize) -> [[f64; CLASSES]; CLASSES] {
        let (a, b) = self.p.pairs[at];
        if self.p.n_conditioned <= b {
            let weights = self.condition_weights(a);
            return weights.map(|weight| [weight, 0.0, 0.0, 0.0]);
        }
        let shared = &self.shared[at];
        let (own_a, own_b) = (self.own_factors(a, &shared.only_a), self.own_factors(b, &shared.only_b));
        let mut table = self.pair_prior(a, b);
        for (row, own_a) in table.iter_mut().zip(own_a) {
            for (cell, own_b) in row.iter_mut().zip(own_b) {
                *cell *= own_a * own_b;
            }
        }
        let (at_a, at_b) = (usize::from(self.condition[a]), usize::from(self.condition[b]));
        for (of_a, of_b) in &shared.both {
            let content = &self.p.terms[of_a.term];
            let others = self.others_still(of_a.term, of_a.still[at_a] * of_b.still[at_b]);
            for (row, still_a) in table.iter_mut().zip(of_a.still) {
                for (cell, still_b) in row.iter_mut().zip(of_b.still) {
                    *cell *= content.chance(others * still_a * still_b);
                }
            }
        }
        table
    }

    /// Likelihood of the signs of a joint that the other of the pair has no part in.
    fn own_factors(&self, res: usize, own: &[Showing]) -> [f64; CLASSES] {
        let mut factors = [1.0; CLASSES];
        let here = usize::from(self.condition[res]);
        for showing in own {
            let content = &self.p.terms[showing.term];
            let others = self.others_still(showing.term, showing.still[here]);
            for (factor, still) in factors.iter_mut().zip(showing.still) {
                *factor *= content.chance(others * still);
            }
        }
        factors
    }
}
