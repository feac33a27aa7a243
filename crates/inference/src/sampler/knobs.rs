//! Updates of the networks' knobs.

use super::grid::Grid;
use super::likelihood::Quartic;
use super::near::exp_near;
use super::state::Chain;
use super::sums::{dot, slope_and_curvature};
use crate::problem::N_KNOBS;

/// Cells over a knob, and how many prior spreads they reach to either side.
const CELLS: usize = 64;
const REACH: f64 = 4.0;

/// The grid of a knob of this prior spread; a knob is a logarithm itself.
pub(super) fn grid(sd: f64) -> Grid {
    Grid::new(-REACH * sd, REACH * sd, CELLS)
}

impl Chain<'_> {
    /// Draws each knob of each panel, the open offsets integrated out. Predictions are of second order in a knob while all else
    /// stays, so their likelihood is of fourth; it is drawn from a grid and put right.
    pub(super) fn update_knobs(&mut self) {
        let mut moved = false;
        for res in 0..self.p.res.len() {
            self.refresh_squares(res);
        }
        let slopes: Vec<Vec<f64>> = (0..N_KNOBS).map(|knob| self.knob_slopes(knob)).collect();
        for panel in 0..self.knobs.len() {
            let is_here = |idx: &usize| {
                let spot = self.p.obs[*idx].thermal.as_ref();
                spot.is_some_and(|spot| self.p.views[spot.view].panel == panel)
            };
            let spots: Vec<usize> = (0..self.n_obs).filter(is_here).collect();
            for (knob, slopes) in slopes.iter().enumerate() {
                self.draw_knob(panel, knob, slopes, &spots);
            }
            moved |= !spots.is_empty();
        }
        if moved {
            self.refresh_slopes();
            for res in 0..self.p.res.len() {
                self.refresh_column(res);
            }
            self.refresh_predictions();
            self.renew_pull();
        }
    }

    fn draw_knob(&mut self, panel: usize, knob: usize, slopes: &[f64], spots: &[usize]) {
        let sd = self.p.knob_sd[knob];
        let (mut first, mut second) = (vec![0.0; self.n_obs], vec![0.0; self.n_obs]);
        for &idx in spots {
            let line = &self.p.linear[idx];
            first[idx] = slopes[idx] + line.bent_slope_k(knob, &self.knobs[panel]);
            second[idx] = line.bent[knob][knob];
        }
        let alone = |of: &[f64]| slope_and_curvature(of, &self.weight, &self.value, &self.predicted);
        let ((pull, curvature), along) = self.with_offsets_along(&first, alone(&first));
        let ((pull_second, curvature_second), along_second) =
            self.with_offsets_along(&second, alone(&second));
        let weighted: Vec<f64> =
            first.iter().zip(&self.weight).map(|(first, weight)| first * weight).collect();
        let cross = dot(&weighted, &second) - along.dot(&along_second);
        let likelihood = Quartic([pull, pull_second - 0.5 * curvature, -cross, -0.5 * curvature_second]);
        let here = self.knobs[panel][knob];
        let log_at = |value: f64| likelihood.at(value - here) - 0.5 * value * value / (sd * sd);
        let grid = &self.knob_grids[knob];
        let mut cells: Vec<f64> = (0..CELLS).map(|cell| log_at(grid.middle(cell))).collect();
        let best = cells.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        cells.iter_mut().for_each(|cell| *cell = exp_near((*cell - best).max(-60.0)));
        let chosen = self.rng.pick(&cells);
        let there = grid.low + (chosen as f64 + self.rng.uniform()) * grid.step;
        let here_cell = grid.cell(here).map_or(0.0, |cell| cells[cell]);
        let (to, from) = (libm::exp(log_at(there) - best), libm::exp(log_at(here) - best));
        if from <= 0.0 || self.rng.uniform() * from * cells[chosen] < to * here_cell {
            let change = there - here;
            self.knobs[panel][knob] = there;
            self.follow_offsets(&along, change);
            self.follow_offsets(&along_second, change * change);
            for &idx in spots {
                self.predicted[idx] += change * (first[idx] + change * second[idx]);
            }
        }
    }

    /// How the prediction of each thermal observation moves with a knob, but for squares and products of the knobs.
    fn knob_slopes(&self, knob: usize) -> Vec<f64> {
        let mut slopes: Vec<f64> = self.p.linear.iter().map(|line| line.intercept[knob + 1]).collect();
        let n_obs = self.n_obs.max(1);
        let rows = self.per_watt[knob + 1].chunks_exact(n_obs).zip(self.square.chunks_exact(n_obs));
        for (res, ((per_watt, squares), ohm)) in rows.zip(&self.ohm).enumerate() {
            let is_metal = self.p.metal_of_res[res].is_some();
            for (idx, ((slope, change), square)) in slopes.iter_mut().zip(per_watt).zip(squares).enumerate() {
                let more = if is_metal && *change != 0.0 { self.answer_of(res, idx) } else { 1.0 };
                *slope += change * square * ohm * more;
            }
        }
        slopes
    }
}
