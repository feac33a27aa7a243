//! Moves of two resistances along the line on which what was measured stays the same.

use super::categorical::Showing;
use super::class::by_class;
use super::likelihood::Parabola;
use super::near::{exp_near, log_near};
use super::stand::Stand;
use super::state::Chain;
use super::sums::{largest_product, slope_and_curvature};
use crate::problem::{CLASSES, Law, Obs, Problem};

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

/// Places of the pairs that lie on the path of one drop and are a joint and a pole, or stand on it together only.
pub(super) fn read_pairs(p: &Problem) -> Vec<usize> {
    let is_read = |&(a, b): &(usize, usize)| {
        let passes = |obs: &Obs, res: usize| obs.weights.iter().any(|&(at, _)| at == res);
        let mut drops = p.obs.iter().filter(|obs| obs.is_drop());
        (p.joints.len() <= b || p.are_read_together(a, b))
            && drops.any(|obs| passes(obs, a) && passes(obs, b))
    };
    (0..p.pairs.len()).filter(|&at| is_read(&p.pairs[at])).collect()
}

/// The line on which what ties a pair stays.
struct Line {
    ratio: f64,
    sum: f64,
}

impl Line {
    fn ohm_b(&self, ohm_a: f64) -> f64 {
        self.sum - self.ratio * ohm_a
    }
}

/// Prior density of both of a pair from the weights of their classes together and the density of each class.
#[inline(always)]
fn both(table: &[[f64; CLASSES]; CLASSES], of_a: [f64; CLASSES], of_b: [f64; CLASSES]) -> f64 {
    let beside =
        |row: &[f64; CLASSES]| row[0] * of_b[0] + row[1] * of_b[1] + row[2] * of_b[2] + row[3] * of_b[3];
    of_a[0] * beside(&table[0])
        + of_a[1] * beside(&table[1])
        + of_a[2] * beside(&table[2])
        + of_a[3] * beside(&table[3])
}

/// Cells with less than this part of the best one's are not looked at more closely.
const COUNTS: f64 = 1e-4;

impl Chain<'_> {
    pub(super) fn update_pairs(&mut self) {
        for at in 0..self.p.pairs.len() {
            self.update_pair(at);
        }
    }

    /// Pairs of a joint and a pole over which one drop was read.
    pub(super) fn update_read_pairs(&mut self) {
        let read = std::mem::take(&mut self.read_pairs);
        read.iter().for_each(|&at| self.update_pair(at));
        self.read_pairs = read;
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
        let grid = &self.grids[self.grid_of[a]];
        if strength * grid.severe_ohm * self.p.res[b].typical_ohm < 0.05 {
            return;
        }
        let ratio = p / q;
        let line = Line { ratio, sum: self.ohm[b] + ratio * self.ohm[a] };
        let mut along = std::mem::take(&mut self.scratch2);
        along.clear();
        along.extend(column_a.iter().zip(column_b).map(|(of_a, of_b)| of_a - ratio * of_b));
        let (slope, curvature) = slope_and_curvature(&along, &self.weight, &self.value, &self.predicted);
        self.scratch2 = along;
        let likelihood = Parabola { ohm: self.ohm[a], slope, curvature };
        let table = self.pair_weights(at);
        if matches!(self.p.res[b].law, Law::Conditioned { .. }) {
            self.change_places(a, b, &line, &likelihood, table);
        }
        let grid = &self.grids[self.grid_of[a]];
        let mut cells = std::mem::take(&mut self.scratch);
        let best = self.likelihood_in_cells(a, b, &line, &likelihood, &mut cells);
        match self.p.res[b].law {
            Law::Pole(law) => {
                let mean = self.pole_mean(b, &law);
                let of_pole =
                    |ohm_a: f64| law.density(log_near(line.ohm_b(ohm_a).max(f64::MIN_POSITIVE)) - mean);
                for (cell, &ohm_a) in cells.iter_mut().zip(&grid.grid.value) {
                    *cell *= of_pole(ohm_a);
                }
                // Where the joint has most of the line a cell is wider than all that the pole may be.
                let counts = COUNTS * cells.iter().copied().fold(0.0, f64::max);
                let third = libm::exp(grid.grid.step / 3.0);
                for (cell, &middle) in
                    cells.iter_mut().zip(&grid.grid.value).filter(|(cell, _)| counts < **cell)
                {
                    let beside = [middle / third, middle * third].map(|ohm_a| {
                        let ohm_b = line.ohm_b(ohm_a);
                        let bounds = self.bound(a, ohm_a) * self.bound(b, ohm_b);
                        let of_all =
                            exp_near(likelihood.log_at(ohm_a) - best) * bounds * of_pole(ohm_a) / ohm_b;
                        if 0.0 < ohm_b { of_all } else { 0.0 }
                    });
                    *cell = (*cell + beside[0] + beside[1]) / 3.0;
                }
                let sums = grid.mixed(by_class(|class| table[class][0]), &mut cells);
                let total: f64 = sums.iter().sum();
                if total.is_finite() && 0.0 < total {
                    // The whole line is averaged here, which is steadier than the condition at one point of it.
                    self.probability[a] = by_class(|class| sums[class] / total);
                }
            }
            Law::Conditioned { .. } => {
                let grid_b = &self.grids[self.grid_of[b]];
                for (idx, cell) in cells.iter_mut().enumerate() {
                    // Cells that the data or the line rule out cost nothing.
                    if 0.0 < *cell {
                        let of_b = grid_b.densities_near(log_near(line.ohm_b(grid.grid.value[idx])));
                        *cell *= both(&table, grid.densities_in(idx), of_b);
                    }
                }
            }
            Law::Known => cells.fill(0.0),
        }
        let total: f64 = cells.iter().sum();
        if !total.is_finite() || total <= 0.0 {
            self.scratch = cells;
            return;
        }
        // A small even share keeps cells reachable whose middle falls off the line but whose edge does not.
        let floor = 1e-4 * total / grid.grid.n_cells() as f64;
        cells.iter_mut().for_each(|cell| *cell += floor);
        let chosen = self.rng.pick(&cells);
        let log = grid.grid.low + (chosen as f64 + self.rng.uniform()) * grid.grid.step;
        let there_a = Stand { log, ohm: libm::exp(log), density: grid.densities_at(log) };
        let here_cell = grid.grid.cell(self.ln_ohm[a]).map(|cell| cells[cell]);
        let there_cell = cells[chosen];
        self.scratch = cells;
        let (Some(here_cell), Some(there_b)) = (here_cell, self.stand_b(b, line.ohm_b(there_a.ohm))) else {
            return;
        };
        let Some(here_b) = self.stand_b(b, self.ohm[b]) else { return };
        // Density along the line: prior of both, times 1/R_b from the change of variables.
        let target = |of_a: &Stand, of_b: &Stand| {
            both(&table, of_a.density, of_b.density) / of_b.ohm
                * libm::exp(likelihood.log_at(of_a.ohm) - best)
                * self.bound(a, of_a.ohm)
                * self.bound(b, of_b.ohm)
        };
        let (to, from) = (target(&there_a, &there_b), target(&self.stands(a), &here_b));
        if self.rng.uniform() * from * there_cell < to * here_cell {
            self.settle(a, there_a);
            self.settle(b, there_b);
            self.draw_pair_conditions(a, b, table);
        }
    }

    /// Lets each of two joints do to what ties them what the other does: R_a′ = R_b/ratio, R_b′ = ratio·R_a. It lies on the line, and its
    /// determinant on logarithms is one. Where one of them is burnt and the other sound, a cell of the grid is wider than all that
    /// a sound one may be.
    fn change_places(
        &mut self,
        a: usize,
        b: usize,
        line: &Line,
        likelihood: &Parabola,
        table: [[f64; CLASSES]; CLASSES],
    ) {
        let accepted = self.rng.uniform();
        let ohm_a = self.ohm[b] / line.ratio;
        if ohm_a <= 0.0 {
            return;
        }
        let log = libm::log(ohm_a);
        let grid = &self.grids[self.grid_of[a]];
        if grid.grid.cell(log).is_none() {
            return;
        }
        let there_a = Stand { log, ohm: ohm_a, density: grid.densities_at(log) };
        let (Some(there_b), Some(here_b)) =
            (self.stand_b(b, line.ratio * self.ohm[a]), self.stand_b(b, self.ohm[b]))
        else {
            return;
        };
        let here_a = self.stands(a);
        let best = likelihood.log_at(here_a.ohm);
        let target = |of_a: &Stand, of_b: &Stand| {
            both(&table, of_a.density, of_b.density)
                * libm::exp(likelihood.log_at(of_a.ohm) - best)
                * self.bound(a, of_a.ohm)
                * self.bound(b, of_b.ohm)
        };
        if accepted * target(&here_a, &here_b) < target(&there_a, &there_b) {
            self.settle(a, there_a);
            self.settle(b, there_b);
            self.draw_pair_conditions(a, b, table);
        }
    }

    /// In each cell of `a`, beside the best of them: likelihood, chance of the voltages, and 1/R_b from the change of variables.
    /// Gives the best's logarithm.
    fn likelihood_in_cells(
        &self,
        a: usize,
        b: usize,
        line: &Line,
        likelihood: &Parabola,
        cells: &mut Vec<f64>,
    ) -> f64 {
        let grid = &self.grids[self.grid_of[a]].grid;
        cells.clear();
        cells.extend(grid.value.iter().map(|&value| likelihood.log_at(value)));
        let best = cells.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for (cell, &ohm_a) in cells.iter_mut().zip(&grid.value) {
            let (log, ohm_b) = (*cell - best, line.ohm_b(ohm_a));
            let here = exp_near(log) / ohm_b;
            *cell = if log < -28.0 || ohm_b <= 0.0 { 0.0 } else { here };
        }
        let free = grid.n_below(self.free_below(a));
        for (cell, &ohm_a) in cells.iter_mut().zip(&grid.value).skip(free) {
            *cell *= self.bound(a, ohm_a);
        }
        // The less there is at `a`, the more there is at `b`.
        let free = grid.n_below((line.sum - self.free_below(b)) / line.ratio);
        for (cell, &ohm_a) in cells.iter_mut().zip(&grid.value).take(free) {
            *cell *= self.bound(b, line.ohm_b(ohm_a));
        }
        best
    }

    /// The second of a pair at a resistance, with the density of its classes, or of its law in the first place; `None` where
    /// it cannot be.
    fn stand_b(&self, b: usize, ohm: f64) -> Option<Stand> {
        if ohm <= 0.0 {
            return None;
        }
        let log = libm::log(ohm);
        let density = match self.p.res[b].law {
            Law::Conditioned { .. } => {
                let grid = &self.grids[self.grid_of[b]];
                grid.grid.cell(log)?;
                grid.densities_at(log)
            }
            Law::Pole(law) => [law.density(log - self.pole_mean(b, &law)), 0.0, 0.0, 0.0],
            Law::Known => return None,
        };
        Some(Stand { log, ohm, density })
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
