//! A path of the supply slides against a load that it carries: what both are in the voltages stays.
//!
//! Volts read under load tell the product of resistance and current. Where a failing neutral throws the legs far apart they tell it to a
//! hundredth, while the clamp tells the current to a few: drawn one given the other, both hardly move. Here the resistance goes up by
//! a factor and the load is set so that the current of the path goes down by it; with the current I = c·load + rest the load becomes
//! load + I·(e^−ε − 1)/c, whose derivative e^−ε enters the ratio of Metropolis and Hastings.

use super::loads::bound_of;
use super::stand::Stand;
use super::state::Chain;
use crate::problem::{LoadLaw, Problem};

/// Steps on the logarithm, one or the other: as clamps leave a current, and as nobody's clamp does. Judgement.
const STEPS: [f64; 2] = [0.06, 0.4];
/// Loads that each path slides against in one state: those that leave most of its current open.
const N_LOADS: usize = 2;

/// A path of the supply and a load that it carries in a state in which volts were read.
#[derive(Debug, Clone)]
pub(super) struct Slide {
    res: usize,
    load: usize,
    /// Part of the load that the path carries, with its sign.
    part: f64,
}

/// What slides against what.
pub(super) fn slides(p: &Problem) -> Vec<Slide> {
    let mut slides = Vec::new();
    for res in p.joints.len()..p.n_conditioned {
        for state in 0..p.states.len() {
            let is_read = p.obs.iter().any(|obs| {
                obs.is_voltage() && obs.state == state && obs.weights.iter().any(|&(at, _)| at == res)
            });
            let mut open: Vec<(f64, Slide)> = p.carry[state][res]
                .iter()
                .filter(|_| is_read)
                .map(|&(load, part)| (open_a(&p.loads[load].law) * part.abs(), Slide { res, load, part }))
                .filter(|(open, _)| 0.0 < *open)
                .collect();
            open.sort_by(|one, other| other.0.total_cmp(&one.0));
            slides.extend(open.into_iter().take(N_LOADS).map(|(_, slide)| slide));
        }
    }
    slides
}

/// How far open a load is, A.
const fn open_a(law: &LoadLaw) -> f64 {
    match law {
        LoadLaw::Zero => 0.0,
        LoadLaw::Measured { sd, .. } => *sd,
        LoadLaw::Unknown { rating_a, .. } => *rating_a,
    }
}

impl Chain<'_> {
    pub(super) fn update_slides(&mut self) {
        let slides = std::mem::take(&mut self.slides);
        slides.iter().for_each(|slide| self.slide(slide));
        self.slides = slides;
    }

    fn slide(&mut self, &Slide { res, load, part }: &Slide) {
        let step = STEPS[usize::from(self.rng.uniform() < 0.5)] * self.rng.normal();
        let accepted = libm::log(self.rng.uniform().max(1e-300));
        let grid = &self.grids[self.grid_of[res]];
        let (here, log) = (self.stands(res), self.ln_ohm[res] + step);
        let there = Stand { log, ohm: libm::exp(log), density: grid.densities_at(log) };
        let is_inside = grid.grid.cell(log).is_some();
        let current = self.current[self.p.loads[load].state][res];
        let change = current * (libm::exp(-step) - 1.0) / part;
        let (before, after) = (self.loads[load], self.loads[load] + change);
        if !is_inside || after <= 0.0 {
            return;
        }
        let weights = self.condition_weights(res);
        let (held, bound) = (self.held_by(load, before.max(after)), &self.p.priors.bound);
        let mut log_ratio = libm::log(there.prior(weights) / here.prior(weights)) - step
            + self.load_log_density(load, after)
            - self.load_log_density(load, before)
            + libm::log(bound_of(bound, &held, change) / bound_of(bound, &held, 0.0))
            - self.log_likelihood();
        self.settle(res, there);
        let (first, second) = self.orders(load);
        let of_state = &self.obs_of_state[self.p.loads[load].state];
        let moved = of_state.iter().zip(first.iter().zip(&second)).map(|(&idx, (first, second))| {
            let residual = self.value[idx] - self.predicted[idx];
            let more = change * (first + change * second);
            self.weight[idx] * more * (residual - 0.5 * more)
        });
        log_ratio += self.log_likelihood() + moved.sum::<f64>();
        if accepted < log_ratio {
            self.set_load(load, after, &first, &second);
            self.draw_condition(res, weights, None);
        } else {
            self.settle(res, here);
        }
        (self.scratch, self.scratch2) = (first, second);
    }

    /// Logarithm of the density of all readings, as normals of their present scales, but for what does not change.
    fn log_likelihood(&self) -> f64 {
        let square = |idx: usize| {
            let residual = self.value[idx] - self.predicted[idx];
            -0.5 * self.weight[idx] * residual * residual
        };
        (0..self.n_obs).map(square).sum()
    }

    /// Logarithm of the density of a load, but for a constant.
    fn load_log_density(&self, load: usize, value: f64) -> f64 {
        match self.p.loads[load].law {
            LoadLaw::Zero => 0.0,
            LoadLaw::Measured { a, sd } => {
                let z = (value - a) / sd;
                -0.5 * z * z
            }
            LoadLaw::Unknown { rating_a, heavy } => {
                let (prior, share) = (&self.load_grids[usize::from(heavy)], libm::log(value / rating_a));
                // Its own update finds a load inside its grid only.
                let density = prior.grid.cell(share).map_or(0.0, |_| prior.density_at(share));
                libm::log(density) - share
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
        assert_eq!(of_neutral, super::N_LOADS, "two loads of the one state in which volts were read");
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
        let moved = (chain.predicted.clone(), chain.coef.clone());
        chain.refresh();
        let far = |one: &[f64], other: &[f64]| {
            one.iter().zip(other).map(|(one, other)| (one - other).abs()).fold(0.0, f64::max)
        };
        assert!(far(&moved.0, &chain.predicted) < 1e-6 && far(&moved.1, &chain.coef) < 1e-6);
    }
}
