//! A joint and whether the millivolts or volts read over it, or the temperature of its own metal, are right, drawn together.
//!
//! A drop ties a stab to within a hundredth. Where all else says otherwise, either the reading is wrong altogether and the stab is
//! sound, or it is right. Drawn one given the other these are two worlds: while the reading counts as wrong, the stab would have to
//! come by chance to where the reading is right again, and the way back is as narrow. Drops have no offsets, so their errors can
//! be integrated out: each is then a Student t or anything at all. The resistance is proposed from the cells of its grid, or from
//! near where one of the readings would have it, which may be narrower than a cell, and corrected by Metropolis-Hastings; the
//! errors are drawn after it.
//!
//! Two voltages that a failing service neutral throws apart can likewise both count as wrong. They share offsets, the voltage of the
//! source, so that is done while the offsets stand still. The same holds for the temperature of a lug or a terminal that is far above
//! what its load would make it.

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

/// A joint with the readings drawn together with it.
#[derive(Debug, Clone)]
pub(super) struct Doubted {
    res: usize,
    obs: Vec<usize>,
}

/// Joints over which millivolts were read.
pub(super) fn by_drops(p: &Problem) -> Vec<Doubted> {
    doubted(p, |res, obs| obs.is_drop() && passes(res, obs))
}

/// Joints and supply paths that lie between the source and a place at which volts were read.
pub(super) fn by_voltages(p: &Problem) -> Vec<Doubted> {
    doubted(p, |res, obs| obs.is_voltage() && passes(res, obs))
}

/// Joints whose heat arises in the metal of which a temperature was read: a lug, a terminal, what sits on the neutral bar.
pub(super) fn by_temperatures(p: &Problem) -> Vec<Doubted> {
    doubted(p, |res, obs| {
        let Some(spot) = obs.thermal.as_ref().filter(|_| obs.censored.is_none()) else { return false };
        let shares = &p.thermals[p.views[spot.view].panel].shares[res];
        shares.iter().any(|&(node, share)| node == spot.node && 0.0 < share)
    })
}

/// Does the current of a resistance count in what was read?
fn passes(res: usize, obs: &Obs) -> bool {
    obs.weights.iter().any(|&(at, weight)| at == res && weight != 0.0)
}

/// Each joint with the readings that tell of it.
fn doubted(p: &Problem, tells_of: impl Fn(usize, &Obs) -> bool) -> Vec<Doubted> {
    let of = |res: usize| (0..p.obs.len()).filter(|&idx| tells_of(res, &p.obs[idx])).collect();
    (0..p.n_conditioned)
        .map(|res| Doubted { res, obs: of(res) })
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

    /// The same with temperatures of the joint's own metal, while the offsets stand still.
    pub(super) fn update_by_temperatures(&mut self) {
        let doubted = std::mem::take(&mut self.by_temperatures);
        self.update_doubted(&doubted);
        self.by_temperatures = doubted;
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
    use super::{by_drops, by_temperatures};
    use crate::problem::{Problem, ResKind};
    use crate::sampler::{Chain, Draw};
    use crate::{JudgeOptions, Priors, testjob};
    use model::job::Job;
    use model::joint::JointId;
    use model::{Leg, PanelId};

    const N_SWEEPS: usize = 1_500;
    /// Drop over stab and pole of space 7 at six amperes: far more than its face tells of.
    const DROP_MV: f64 = 260.0;
    /// Of a lug at 24 A.
    const LUG_C: f64 = 110.0;

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
        assert_right_from_either_side(&job, JointId::Stab(testjob::slot(7)), 0.8 * DROP_MV * 1e-3 / 6.0);
    }

    /// A taped lug far above what 24 A would make it, the other as it should be.
    #[test]
    fn a_lug_too_hot_for_its_load_is_right_as_often_from_either_side() {
        let mut job = testjob::eight_spaces();
        for (leg, value_c) in [(Leg::A, LUG_C), (Leg::B, 28.0)] {
            testjob::observe(&mut job, testjob::clamped_line(leg, 24.0, "evening"));
            testjob::observe(&mut job, testjob::taped_lug(leg, value_c, "evening"));
        }
        assert_right_from_either_side(&job, JointId::Lug(PanelId::new("main"), Leg::A), 10e-3);
    }

    /// Whether the last reading that tells of the joint is right, is found as often by a chain that starts with the joint sound as by one that
    /// starts with it burnt.
    fn assert_right_from_either_side(job: &Job, joint: JointId, burnt_ohm: f64) {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(job, Priors::built_in().expect("built-in files"), options);
        let joint = problem.find(&ResKind::Joint(joint)).expect("a joint");
        let doubted = by_drops(&problem).into_iter().chain(by_temperatures(&problem));
        let of_joint = doubted.filter(|doubted| doubted.res == joint).flat_map(|doubted| doubted.obs);
        let reading = of_joint.max().expect("a reading of it");
        let is_right = |draw: &&Draw| {
            let obs = &problem.obs[reading];
            (draw.predicted[reading] - obs.value).abs() < 6.0 * obs.sigma
        };
        let [sound, burnt] = [0.1e-3, burnt_ohm].map(|ohm: f64| {
            let mut chain = Chain::new(&problem, 1, 0);
            chain.set_ohm(joint, libm::log(ohm));
            let draws = chain.run(20, N_SWEEPS);
            draws.0.iter().filter(is_right).count() as f64 / N_SWEEPS as f64
        });
        assert!((0.1..0.9).contains(&sound), "{sound}: neither world rules the other out");
        assert!((sound - burnt).abs() < 0.2, "{sound} from the one side, {burnt} from the other");
    }
}
