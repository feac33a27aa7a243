//! Updates of load currents.

use super::likelihood::Quartic;
use super::near::exp_near;
use super::state::Chain;
use crate::priors::Bound;
use crate::problem::LoadLaw;

/// A joint that a load flows through.
pub(super) struct Held {
    ohm: f64,
    current: f64,
    weight: f64,
    /// Largest current in the other states, A.
    elsewhere: f64,
}

/// Relative chance of the voltages over joints when a load changes.
pub(super) fn bound_of(bound: &Bound, held: &[Held], change: f64) -> f64 {
    held.iter()
        .map(|joint| {
            let current = libm::fabs(joint.current + joint.weight * change).max(joint.elsewhere);
            bound.chance(current * joint.ohm)
        })
        .product()
}

impl Chain<'_> {
    pub(super) fn update_loads(&mut self) {
        for load in 0..self.p.loads.len() {
            match self.p.loads[load].law {
                LoadLaw::Zero => {}
                LoadLaw::Measured { a, sd } => self.walk_load(load, a, sd),
                LoadLaw::Unknown { scale_a, heavy } => self.draw_load(load, scale_a, heavy),
            }
        }
    }

    /// First and second order of each prediction of the state in a change of the load.
    pub(super) fn orders(&mut self, load: usize) -> (Vec<f64>, Vec<f64>) {
        let state = self.p.loads[load].state;
        let obs_of_state = &self.obs_of_state[state];
        let mut first = std::mem::take(&mut self.scratch);
        let mut second = std::mem::take(&mut self.scratch2);
        first.clear();
        first.resize(obs_of_state.len(), 0.0);
        second.clear();
        second.resize(obs_of_state.len(), 0.0);
        let n_of = obs_of_state.len();
        for &(res, weight) in &self.carried_by[load] {
            let reach = &self.reach[state][res * n_of..(res + 1) * n_of];
            let volts = weight * self.ohm[res];
            let (linear, squared) = (2.0 * volts * self.current[state][res], weight * volts);
            for ((first, second), reach) in first.iter_mut().zip(&mut second).zip(reach) {
                *first += linear * reach;
                *second += squared * reach;
            }
            for &(at, path) in &self.path[state][res] {
                first[at] += volts * path;
            }
        }
        for (at, &idx) in obs_of_state.iter().enumerate() {
            if let Some(&(_, weight)) = self.p.obs[idx].load_weights.iter().find(|&&(of, _)| of == load) {
                first[at] += weight;
            }
        }
        (first, second)
    }

    fn quartic(&self, state: usize, first: &[f64], second: &[f64]) -> Quartic {
        let mut c = [0.0; 4];
        for (at, &idx) in self.obs_of_state[state].iter().enumerate() {
            let (weight, residual) = (self.weight[idx], self.value[idx] - self.predicted[idx]);
            let (p1, p2) = (first[at], second[at]);
            c[0] += weight * residual * p1;
            c[1] += weight * (residual * p2 - 0.5 * p1 * p1);
            c[2] -= weight * p1 * p2;
            c[3] -= 0.5 * weight * p2 * p2;
        }
        Quartic(c)
    }

    pub(super) fn set_load(&mut self, load: usize, value: f64, first: &[f64], second: &[f64]) {
        let change = value - self.loads[load];
        let state = self.p.loads[load].state;
        self.loads[load] = value;
        self.load_density[load] = self.load_densities(load, value);
        for at in 0..self.obs_of_state[state].len() {
            let idx = self.obs_of_state[state][at];
            self.predicted[idx] += change * (first[at] + change * second[at]);
        }
        for at in 0..self.carried_by[load].len() {
            let (res, weight) = self.carried_by[load][at];
            self.move_current(state, res, weight * change);
            if res < self.p.joints.len() && state < self.p.states.len() {
                self.refresh_largest(res);
            }
        }
    }

    /// Joints that a load flows through and that could come to the bound on their voltage if it went up to `most`.
    pub(super) fn held_by(&self, load: usize, most: f64) -> Vec<Held> {
        let state = self.p.loads[load].state;
        // Before the record a joint may have been what it is not now.
        let n_joints = if state < self.p.states.len() { self.p.joints.len() } else { 0 };
        let joints = self.carried_by[load].iter().filter(|&&(res, _)| res < n_joints);
        joints
            .map(|&(res, weight)| {
                let recorded = self.current[..self.p.states.len()].iter();
                let others = recorded.enumerate().filter(|&(at, _)| at != state);
                let elsewhere = others.map(|(_, of)| libm::fabs(of[res])).fold(0.0, f64::max);
                Held { ohm: self.ohm[res], current: self.current[state][res], weight, elsewhere }
            })
            .filter(|joint| {
                let change = libm::fabs(joint.weight) * (most + self.loads[load]);
                let largest = (libm::fabs(joint.current) + change).max(joint.elsewhere);
                self.p.priors.bound.free_v < largest * joint.ohm
            })
            .collect()
    }

    fn walk_load(&mut self, load: usize, measured: f64, sd: f64) {
        let state = self.p.loads[load].state;
        let (first, second) = self.orders(load);
        let likelihood = self.quartic(state, &first, &second);
        let here = self.loads[load];
        let proposal = libm::fabs(here + 1.2 * sd * self.rng.normal());
        let prior = |value: f64| {
            let z = (value - measured) / sd;
            -0.5 * z * z
        };
        let (held, bound) = (self.held_by(load, proposal), &self.p.priors.bound);
        let log_ratio = prior(proposal) - prior(here)
            + likelihood.at(proposal - here)
            + libm::log(bound_of(bound, &held, proposal - here) / bound_of(bound, &held, 0.0));
        if libm::log(self.rng.uniform().max(1e-300)) < log_ratio {
            self.set_load(load, proposal, &first, &second);
        }
        (self.scratch, self.scratch2) = (first, second);
    }

    fn draw_load(&mut self, load: usize, scale_a: f64, heavy: bool) {
        let state = self.p.loads[load].state;
        let (first, second) = self.orders(load);
        let likelihood = self.quartic(state, &first, &second);
        let [idle, busy] = self.idle_or_busy(load);
        let density = |[of_idle, of_busy]: [f64; 2]| idle * of_idle + busy * of_busy;
        let prior = &self.load_grids[usize::from(heavy)];
        let here = self.loads[load];
        let most = prior.grid.value.last().map_or(scale_a, |share| 1.2 * share * scale_a);
        let (held, bound) = (self.held_by(load, most), &self.p.priors.bound);
        let best = prior
            .grid
            .value
            .iter()
            .map(|share| likelihood.at(share * scale_a - here))
            .fold(f64::NEG_INFINITY, f64::max);
        let cells: Vec<f64> = prior
            .grid
            .value
            .iter()
            .zip(&prior.density)
            .map(|(share, of)| {
                let change = share * scale_a - here;
                density(*of) * exp_near(likelihood.at(change) - best) * bound_of(bound, &held, change)
            })
            .collect();
        let chosen = self.rng.pick(&cells);
        let log_share = prior.grid.low + (chosen as f64 + self.rng.uniform()) * prior.grid.step;
        let proposal = scale_a * libm::exp(log_share);
        let here_log = libm::log(here / scale_a);
        let target = |log: f64, value: f64| {
            let change = value - here;
            density(prior.densities_at(log))
                * libm::exp(likelihood.at(change) - best)
                * bound_of(bound, &held, change)
        };
        let here_cell = prior.grid.cell(here_log).map_or(0.0, |cell| cells[cell]);
        let (to, from) = (target(log_share, proposal), target(here_log, here));
        if from <= 0.0 || self.rng.uniform() * from * cells[chosen] < to * here_cell {
            self.set_load(load, proposal, &first, &second);
        }
        (self.scratch, self.scratch2) = (first, second);
    }
}
