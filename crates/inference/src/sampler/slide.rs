//! A path of the supply slides against a load that it carries: what both are in the voltages stays.
//!
//! Volts read under load tell the product of resistance and current. Where a failing neutral throws the legs far apart they tell it to a
//! hundredth, while the clamp tells the current to a few: drawn one given the other, both hardly move. Here the resistance goes up by
//! a factor and a load, or all that nobody clamped, go down so that the current of the path goes down by it. With the current
//! I = U + F, of which the loads carry U and F stays, they are multiplied by f = (I·e^−ε − F)/U; of n loads the determinant
//! fⁿ⁻¹·e^−ε enters the ratio of Metropolis and Hastings.

use super::loads::bound_of;
use super::stand::Stand;
use super::state::Chain;
use crate::problem::{LoadLaw, Problem};

/// Steps on the logarithm, one or the other: as clamps leave a current, and as nobody's clamp does. Judgement.
const STEPS: [f64; 2] = [0.06, 0.4];
/// Steps where all loads that nobody clamped go together, and how often in a sweep. Judgement.
const STEPS_OF_ALL: [f64; 2] = [0.15, 0.9];
const N_OF_ALL: usize = 2;
/// Loads that each path slides against in one state: those that leave most of its current open.
const N_LOADS: usize = 2;

/// A path of the supply and loads that it carries in a state in which volts were read.
#[derive(Debug, Clone)]
pub(super) struct Slide {
    res: usize,
    state: usize,
    /// Loads, and the part of each that the path carries, with its sign.
    loads: Vec<(usize, f64)>,
}

/// What slides against what.
pub(super) fn slides(p: &Problem) -> Vec<Slide> {
    let mut slides = Vec::new();
    for res in p.joints.len()..p.n_conditioned {
        for state in 0..p.states.len() {
            let is_read = p.obs.iter().any(|obs| {
                obs.is_voltage() && obs.state == state && obs.weights.iter().any(|&(at, _)| at == res)
            });
            if !is_read {
                continue;
            }
            let carried = &p.carry[state][res];
            let open_of = |&(load, part): &(usize, f64)| open_a(&p.loads[load].law) * part.abs();
            let mut open: Vec<(usize, f64)> =
                carried.iter().copied().filter(|load| 0.0 < open_of(load)).collect();
            open.sort_by(|one, other| open_of(other).total_cmp(&open_of(one)));
            slides.extend(open.into_iter().take(N_LOADS).map(|load| Slide { res, state, loads: vec![load] }));
            // Of the neutral, all of one leg and all of the other.
            for sign in [1.0, -1.0] {
                let unknown =
                    carried.iter().filter(|&&(load, part)| is_unknown(p, load) && 0.0 < sign * part);
                let loads: Vec<(usize, f64)> = unknown.copied().collect();
                if 1 < loads.len() {
                    slides.push(Slide { res, state, loads });
                }
            }
        }
    }
    slides
}

fn is_unknown(p: &Problem, load: usize) -> bool {
    matches!(p.loads[load].law, LoadLaw::Unknown { .. })
}

/// How far open a load is, A.
const fn open_a(law: &LoadLaw) -> f64 {
    match law {
        LoadLaw::Zero => 0.0,
        LoadLaw::Measured { sd, .. } => *sd,
        LoadLaw::Unknown { scale_a, .. } => *scale_a,
    }
}

impl Chain<'_> {
    pub(super) fn update_slides(&mut self) {
        let slides = std::mem::take(&mut self.slides);
        for slide in &slides {
            let n = if slide.loads.len() == 1 { 1 } else { N_OF_ALL };
            (0..n).for_each(|_| self.slide(slide));
        }
        self.slides = slides;
    }

    fn slide(&mut self, Slide { res, state, loads }: &Slide) {
        let (res, n_others) = (*res, loads.len() as f64 - 1.0);
        let steps = if loads.len() == 1 { STEPS } else { STEPS_OF_ALL };
        let step = steps[usize::from(self.rng.uniform() < 0.5)] * self.rng.normal();
        let accepted = libm::log(self.rng.uniform().max(1e-300));
        let grid = &self.grids[self.grid_of[res]];
        let (here, log) = (self.stands(res), self.ln_ohm[res] + step);
        let there = Stand { log, ohm: libm::exp(log), density: grid.densities_at(log) };
        let is_inside = grid.grid.cell(log).is_some();
        let current = self.current[*state][res];
        let through: f64 = loads.iter().map(|&(load, part)| part * self.loads[load]).sum();
        let factor = 1.0 + current * (libm::exp(-step) - 1.0) / through;
        if !is_inside || !factor.is_finite() || factor <= 0.0 {
            return;
        }
        let weights = self.condition_weights(res);
        let before: Vec<f64> = loads.iter().map(|&(load, _)| self.loads[load]).collect();
        let mut log_ratio = libm::log(there.prior(weights) / here.prior(weights)) - step
            + n_others * libm::log(factor)
            - self.log_likelihood();
        self.settle(res, there);
        for &(load, _) in loads {
            log_ratio += self.slide_load(load, factor * self.loads[load]);
        }
        log_ratio += self.log_likelihood();
        if accepted < log_ratio {
            self.redraw_condition(res, weights);
        } else {
            for (&(load, _), before) in loads.iter().zip(before) {
                self.slide_load(load, before);
            }
            self.settle(res, here);
        }
    }

    /// Sets a load; gives the logarithm of how much likelier it and the voltages over its joints are there.
    pub(super) fn slide_load(&mut self, load: usize, after: f64) -> f64 {
        let before = self.loads[load];
        let (held, bound) = (self.held_by(load, before.max(after)), &self.p.priors.bound);
        let log_ratio = self.load_log_ratio(load, after)
            + libm::log(bound_of(bound, &held, after - before) / bound_of(bound, &held, 0.0));
        let (first, second) = self.orders(load);
        self.set_load(load, after, &first, &second);
        (self.scratch, self.scratch2) = (first, second);
        log_ratio
    }

    /// Logarithm of the density of all readings, as normals of their present scales, but for what does not change.
    pub(super) fn log_likelihood(&self) -> f64 {
        let square = |idx: usize| {
            let residual = self.value[idx] - self.predicted[idx];
            -0.5 * self.weight[idx] * residual * residual
        };
        (0..self.n_obs).map(square).sum()
    }

    /// Logarithm of how much likelier a load is at a current than where it is, given the other loads of its state.
    fn load_log_ratio(&self, load: usize, value: f64) -> f64 {
        let here = self.loads[load];
        match self.p.loads[load].law {
            LoadLaw::Zero => 0.0,
            LoadLaw::Measured { a, sd } => {
                let (z, was) = ((value - a) / sd, (here - a) / sd);
                0.5 * (was * was - z * z)
            }
            LoadLaw::Unknown { .. } => {
                let [idle, busy] = self.idle_or_busy(load);
                let density = |[of_idle, of_busy]: [f64; 2]| idle * of_idle + busy * of_busy;
                // Nothing off its grid: its own update finds a load inside only.
                let (there, was) =
                    (density(self.load_densities(load, value)), density(self.load_density[load]));
                libm::log(there / was) - libm::log(value / here)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::problem::{Problem, ResKind};
    use crate::sampler::Chain;
    use crate::{JudgeOptions, Priors, testjob};
    use model::Leg;

    /// However often a neutral slides, the volts it takes at its own current stay, and everything derived is what a chain made anew would
    /// have.
    #[test]
    fn a_slide_keeps_the_volts_over_the_path_and_leaves_nothing_behind() {
        let mut job = testjob::eight_spaces();
        for (leg, volts) in [(Leg::A, 102.0), (Leg::B, 140.0)] {
            testjob::observe(&mut job, testjob::leg_voltage(leg, volts, "evening"));
        }
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(&job, Priors::built_in().expect("built-in files"), options);
        let neutral = problem.find(&ResKind::SupplyNeutral).expect("a neutral");
        let mut chain = Chain::new(&problem, 4, 0);
        chain.run(30, 0);
        let of_neutral = chain.slides.iter().filter(|slide| slide.res == neutral).count();
        assert_eq!(of_neutral, super::N_LOADS + 1, "of the one state in which volts were read");
        let mut n_moved = 0;
        for _ in 0..300 {
            let (ohm, current) = (chain.ohm[neutral], chain.current[0][neutral]);
            for at in 0..chain.slides.len() {
                let slide = chain.slides[at].clone();
                if slide.res == neutral {
                    chain.slide(&slide);
                }
            }
            n_moved += usize::from(chain.ohm[neutral] != ohm);
            let (before_v, after_v) = (ohm * current, chain.ohm[neutral] * chain.current[0][neutral]);
            assert!((after_v - before_v).abs() < 1e-9 * before_v.abs(), "{before_v} V, then {after_v} V");
        }
        assert!(20 < n_moved, "{n_moved} of 300 moved");
        assert!(chain.left_behind() < 1e-6);
    }
}
