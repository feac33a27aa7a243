//! A joint and whether the millivolts or volts read over it are right, drawn together.
//!
//! A drop ties a stab to within a hundredth. Where all else says otherwise, either the reading is wrong altogether and the stab is
//! sound, or it is right. Drawn one given the other these are two worlds: while the reading counts as wrong, the stab would have to
//! come by chance to where the reading is right again, and the way back is as narrow. Drops have no offsets, so their errors can
//! be integrated out: each is then a Student t or anything at all. The resistance is proposed from the cells of its grid, or from
//! near where one of the readings would have it, which may be narrower than a cell, and corrected by Metropolis-Hastings; the
//! errors are drawn after it.
//!
//! Two voltages that a failing service neutral throws apart can likewise both count as wrong. They share offsets, the voltage of the
//! source, so that is done while the offsets stand still.

use super::grid::normal_density;
use super::likelihood::Parabola;
use super::near::exp_near;
use super::stand::Stand;
use super::state::Chain;
use crate::problem::{Obs, Problem};

/// Spread of a proposal near where a reading would have a resistance, in errors of the reading: as wide as its Student t.
const WIDER: f64 = 1.4;
/// What is under a Student t, beside its peak times that spread.
const UNDER: f64 = 1.9;
/// Largest spread on the logarithm: wider ones the grid finds.
const WIDEST: f64 = 0.5;

/// A joint with the drops over it.
#[derive(Debug, Clone)]
pub(super) struct Doubted {
    res: usize,
    obs: Vec<usize>,
}

/// Joints over which millivolts were read.
pub(super) fn by_drops(p: &Problem) -> Vec<Doubted> {
    doubted(p, Obs::is_drop)
}

/// Joints and supply paths that lie between the source and a place at which volts were read.
pub(super) fn by_voltages(p: &Problem) -> Vec<Doubted> {
    doubted(p, Obs::is_voltage)
}

fn doubted(p: &Problem, is_asked: fn(&Obs) -> bool) -> Vec<Doubted> {
    let over = |res: usize| -> Vec<usize> {
        let passes = |idx: &usize| p.obs[*idx].weights.iter().any(|&(at, weight)| at == res && weight != 0.0);
        (0..p.obs.len()).filter(|idx| is_asked(&p.obs[*idx])).filter(passes).collect()
    };
    (0..p.n_conditioned)
        .map(|res| Doubted { res, obs: over(res) })
        .filter(|doubted| !doubted.obs.is_empty())
        .collect()
}

/// Near where one reading would have the logarithm of a resistance: middle, spread, mass.
struct Near {
    log: f64,
    spread: f64,
    mass: f64,
}

impl Near {
    fn density(&self, log: f64) -> f64 {
        self.mass * normal_density(log, self.log, self.spread)
    }
}

impl Chain<'_> {
    /// Draws each joint over which millivolts were read, together with whether they are right.
    pub(super) fn update_by_drops(&mut self) {
        let doubted = std::mem::take(&mut self.by_drops);
        self.update_doubted(&doubted);
        self.by_drops = doubted;
    }

    /// The same with voltages, while the offsets stand still.
    pub(super) fn update_by_voltages(&mut self) {
        let doubted = std::mem::take(&mut self.by_voltages);
        self.update_doubted(&doubted);
        self.by_voltages = doubted;
    }

    fn update_doubted(&mut self, doubted: &[Doubted]) {
        doubted.iter().for_each(|doubted| self.update_with_readings(doubted.res, &doubted.obs));
    }

    fn update_with_readings(&mut self, res: usize, readings: &[usize]) {
        let (mut slope, mut curvature) = self.slope_and_curvature(res);
        for &idx in readings {
            let coef = self.coef[res * self.n_obs + idx];
            slope -= self.weight[idx] * coef * (self.value[idx] - self.predicted[idx]);
            curvature -= self.weight[idx] * coef * coef;
        }
        let likelihood = Parabola { ohm: self.ohm[res], slope, curvature: curvature.max(0.0) };
        let weights = self.condition_weights(res);
        let (which, within, away, accepted) =
            (self.rng.uniform(), self.rng.uniform(), self.rng.normal(), self.rng.uniform());
        let of_readings = |ohm: f64| -> f64 {
            let change = ohm - self.ohm[res];
            let density = |&idx: &usize| {
                let predicted = self.predicted[idx] + self.coef[res * self.n_obs + idx] * change;
                self.p.obs[idx].density(predicted, &self.p.errors)
            };
            readings.iter().map(density).product()
        };
        let grid = &self.grids[self.grid_of[res]];
        let mut cells: Vec<f64> = grid.grid.value.iter().map(|&value| likelihood.log_at(value)).collect();
        let best = cells.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for (cell, &value) in cells.iter_mut().zip(&grid.grid.value) {
            *cell = exp_near((*cell - best).max(-700.0)) * self.bound(res, value) * of_readings(value);
        }
        grid.mixed(weights, &mut cells);
        let stand = |log: f64| Stand { log, ohm: libm::exp(log), density: grid.densities_at(log) };
        let others = |stand: &Stand| {
            libm::exp((likelihood.log_at(stand.ohm) - best).min(700.0)) * self.bound(res, stand.ohm)
        };
        let target = |stand: &Stand| stand.prior(weights) * others(stand) * of_readings(stand.ohm);
        let near = |&idx: &usize| {
            let coef = self.coef[res * self.n_obs + idx];
            let ohm = self.ohm[res] + (self.value[idx] - self.predicted[idx]) / coef;
            if coef == 0.0 || !ohm.is_finite() || ohm <= 0.0 {
                return None;
            }
            let log = libm::log(ohm);
            grid.grid.cell(log)?;
            let spread = (WIDER * self.p.obs[idx].sigma / libm::fabs(coef * ohm)).min(WIDEST);
            Some(Near { log, spread, mass: target(&stand(log)) * spread * UNDER })
        };
        let nears: Vec<Near> = readings.iter().filter_map(near).collect();
        let proposal = |log: f64| {
            let cell = grid.grid.cell(log).map_or(0.0, |cell| cells[cell]);
            cell + nears.iter().map(|near| near.density(log)).sum::<f64>()
        };
        let broad = cells.iter().sum::<f64>() * grid.grid.step;
        let total = broad + nears.iter().map(|near| near.mass).sum::<f64>();
        if !total.is_finite() || total <= 0.0 {
            return;
        }
        let mut place = which * total;
        let mut log = None;
        for near in &nears {
            if log.is_none() && place < near.mass {
                log = Some(near.log + near.spread * away);
            }
            place -= near.mass;
        }
        let log = log.unwrap_or_else(|| {
            let mut left = place.max(0.0) / grid.grid.step;
            let cell = cells.iter().position(|cell| {
                left -= cell;
                left < 0.0
            });
            grid.grid.low + (cell.unwrap_or(cells.len() - 1) as f64 + within) * grid.grid.step
        });
        let there = stand(log);
        let (from, to) = (target(&self.stands(res)), target(&there));
        let moves = grid.grid.cell(log).is_some()
            && accepted * from * proposal(there.log) < to * proposal(self.ln_ohm[res]);
        if moves {
            self.settle(res, there);
        }
        for &idx in readings {
            self.update_error_scale(idx);
        }
        self.draw_condition(res, weights, None);
    }
}

#[cfg(test)]
mod tests {
    use crate::problem::{Problem, ResKind};
    use crate::sampler::{Chain, Draw};
    use crate::{JudgeOptions, Priors, testjob};
    use model::joint::JointId;

    const N_SWEEPS: usize = 1_500;
    /// Drop over stab and pole of space 7 at six amperes: far more than its face tells of.
    const DROP_MV: f64 = 260.0;

    /// From whichever world a chain starts, it finds the reading right as often.
    #[test]
    fn a_drop_that_all_else_denies_is_right_as_often_from_either_side() {
        let mut job = testjob::eight_spaces();
        testjob::observe(&mut job, testjob::clamp(7, 6.0, "evening"));
        for observation in &mut job.observations {
            if observation.what == testjob::face(7, 35.0, "evening") {
                observation.what = testjob::face(7, 26.0, "evening");
            }
        }
        testjob::observe(&mut job, testjob::drop(8, 7, DROP_MV, "evening"));
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(&job, Priors::built_in().expect("built-in files"), options);
        let stab = problem.find(&ResKind::Joint(JointId::Stab(testjob::slot(7)))).expect("a stab");
        let reading = problem.obs.len() - 1;
        let is_right = |draw: &&Draw| {
            let obs = &problem.obs[reading];
            (draw.predicted[reading] - obs.value).abs() < 6.0 * obs.sigma
        };
        let [sound, burnt] = [0.1e-3, 0.8 * DROP_MV * 1e-3 / 6.0].map(|ohm: f64| {
            let mut chain = Chain::new(&problem, 1, 0);
            chain.set_ohm(stab, libm::log(ohm));
            let draws = chain.run(20, N_SWEEPS);
            draws.0.iter().filter(is_right).count() as f64 / N_SWEEPS as f64
        });
        assert!((0.1..0.9).contains(&sound), "{sound}: neither world rules the other out");
        assert!((sound - burnt).abs() < 0.2, "{sound} from the one side, {burnt} from the other");
    }
}
