//! Updates of how metal answers to its own heat (see [`crate::problem::Metal`]), while the offsets stand still.
//!
//! A lug that is hot has much resistance or sheds its heat badly, and its own temperature tells the product. So the factor is drawn
//! alone, together with whether the readings of the metal are right, and then traded against a resistance so that the
//! temperature stays.

use super::stand::Stand;
use super::state::Chain;
use crate::problem::{Answers, Mode};

/// Steps of the factor, in its prior spreads.
const STEPS: [f64; 2] = [0.4, 1.3];

/// Of one piece of metal: what its heat adds to each observation, K, its own first.
struct Added {
    own_k: Vec<f64>,
    others_k: Vec<f64>,
}

impl Chain<'_> {
    /// Draws the factors of metal that was read, and of the other where `all` is asked for.
    pub(super) fn update_metals(&mut self, all: bool) {
        let p = self.p;
        for (at, metal) in p.metals.iter().enumerate() {
            if metal.own.is_empty() && !all {
                continue;
            }
            STEPS.iter().for_each(|step| self.turn_metal(at, *step));
            if !metal.own.is_empty() {
                self.trade_metal(at);
            }
            metal.own.iter().for_each(|&idx| self.update_error_scale(idx));
        }
    }

    /// How metal answers at a value of its factor.
    fn answers_at(&self, log: f64) -> Answers {
        Answers::of(log, self.p.priors.discrepancy.metal_alone)
    }

    /// What the heat of a list of resistances adds to the observations about a piece of metal.
    fn added(&self, at: usize, res: &[usize]) -> Added {
        let of = |&idx: &usize| -> f64 {
            res.iter().map(|&res| self.coef[res * self.n_obs + idx] * self.ohm[res]).sum()
        };
        let metal = &self.p.metals[at];
        Added { own_k: metal.own.iter().map(of).collect(), others_k: metal.others.iter().map(of).collect() }
    }

    /// Logarithm of how much likelier the observations about a piece of metal are where they move so, K.
    fn metal_gain(&self, at: usize, own_k: impl Fn(usize) -> f64, others_k: impl Fn(usize) -> f64) -> f64 {
        let metal = &self.p.metals[at];
        let own = metal.own.iter().enumerate().map(|(nth, &idx)| {
            let (obs, predicted) = (&self.p.obs[idx], self.predicted[idx]);
            let density = |predicted: f64| obs.density(predicted, &self.p.errors).max(1e-300);
            libm::log(density(predicted + own_k(nth)) / density(predicted))
        });
        let others = metal.others.iter().enumerate().map(|(nth, &idx)| {
            let change = others_k(nth);
            self.weight[idx] * change * (self.value[idx] - self.predicted[idx] - 0.5 * change)
        });
        own.sum::<f64>() + others.sum::<f64>()
    }

    /// Logarithm of the prior of a factor.
    fn metal_prior(&self, log: f64) -> f64 {
        let z = log / self.p.priors.discrepancy.metal_spread;
        -0.5 * z * z
    }

    fn turn_metal(&mut self, at: usize, step: f64) {
        let here = self.metal[at];
        let there = here + step * self.p.priors.discrepancy.metal_spread * self.rng.normal();
        let accepted = self.rng.uniform();
        let (was, is) = (self.answers_at(here), self.answers_at(there));
        let Added { own_k, others_k } = self.added(at, &self.p.metals[at].res);
        let gain = self.metal_gain(
            at,
            |nth| (is.own / was.own - 1.0) * own_k[nth],
            |nth| (is.others / was.others - 1.0) * others_k[nth],
        );
        if accepted < libm::exp(gain + self.metal_prior(there) - self.metal_prior(here)) {
            self.set_metal(at, there);
        }
    }

    /// A resistance goes up and the factor down so that the metal stays as warm where it was read first.
    fn trade_metal(&mut self, at: usize) {
        let p = self.p;
        let joints: Vec<usize> =
            p.metals[at].res.iter().copied().filter(|&res| res < p.n_conditioned).collect();
        let res = joints[((self.rng.uniform() * joints.len() as f64) as usize).min(joints.len() - 1)];
        let step = STEPS[usize::from(self.rng.uniform() < 0.5)];
        let distance = step * self.rng.normal();
        let accepted = self.rng.uniform();
        let (all, one) = (self.added(at, &p.metals[at].res), self.added(at, &[res]));
        let grown = libm::expm1(distance);
        let less = all.own_k[0] / (all.own_k[0] + grown * one.own_k[0]);
        let log = self.ln_ohm[res] + distance;
        let grid = &self.grids[self.grid_of[res]];
        if !less.is_finite() || less <= 0.0 || grid.grid.cell(log).is_none() {
            return;
        }
        let (here, turned) = (self.metal[at], self.metal[at] + libm::log(less));
        let (was, is) = (self.answers_at(here), self.answers_at(turned));
        let weights = self.condition_weights(res);
        let there = Stand { log, ohm: libm::exp(log), density: grid.densities_at(log) };
        let prior = |stand: &Stand| stand.prior(weights) * self.bound(res, stand.ohm);
        let of = |more: f64, all: f64, one: f64| more * (all + grown * one) - all;
        let gain = self.metal_gain(
            at,
            |nth| of(is.own / was.own, all.own_k[nth], one.own_k[nth]),
            |nth| of(is.others / was.others, all.others_k[nth], one.others_k[nth]),
        );
        let ratio = prior(&there) / prior(&self.stands(res)).max(1e-300)
            * libm::exp(gain + self.metal_prior(turned) - self.metal_prior(here));
        if accepted < ratio {
            self.settle(res, there);
            self.set_metal(at, turned);
        }
        // Moved or not: see `redraw_condition`.
        self.draw_condition(res, weights, None);
    }

    /// Sets the factor of a piece of metal and all that goes with it.
    pub(super) fn set_metal(&mut self, at: usize, log: f64) {
        let p = self.p;
        let (was, is) = (self.answers_at(self.metal[at]), self.answers_at(log));
        self.metal[at] = log;
        let metal = &p.metals[at];
        let mores = [(&metal.own, is.own / was.own), (&metal.others, is.others / was.others)];
        for &res in &metal.res {
            for (idx, more) in mores.iter().flat_map(|&(of, more)| of.iter().map(move |&idx| (idx, more))) {
                let place = res * self.n_obs + idx;
                self.predicted[idx] += (more - 1.0) * self.coef[place] * self.ohm[res];
                self.coef[place] *= more;
                self.slope[place] *= more;
            }
            self.refresh_reach(res);
        }
    }

    /// Multiplies slopes as the networks have them by how metal answers.
    pub(super) fn answer_slopes(&mut self) {
        for (at, metal) in self.p.metals.iter().enumerate() {
            let Answers { own, others } = self.answers_at(self.metal[at]);
            for &res in &metal.res {
                let row = &mut self.slope[res * self.n_obs..(res + 1) * self.n_obs];
                metal.own.iter().for_each(|&idx| row[idx] *= own);
                metal.others.iter().for_each(|&idx| row[idx] *= others);
            }
        }
    }

    /// How much more than by the network an observation moves with the heat of a resistance.
    pub(super) fn answer_of(&self, res: usize, idx: usize) -> f64 {
        let Some(metal) = self.p.metal_of_res[res].filter(|_| self.p.obs[idx].mode == Mode::Thermal) else {
            return 1.0;
        };
        let answers = self.answers_at(self.metal[metal]);
        if self.p.metal_of_obs[idx] == Some(metal) { answers.own } else { answers.others }
    }
}

#[cfg(test)]
mod tests {
    use crate::problem::Problem;
    use crate::sampler::Chain;
    use crate::{JudgeOptions, Priors, testjob};
    use model::Leg;

    /// What goes with a factor is what is derived anew from it, and a lug's factor moves its own temperature and the rest the
    /// other way.
    #[test]
    fn all_that_goes_with_a_factor_goes_with_it() {
        let mut job = testjob::eight_spaces();
        testjob::observe(&mut job, testjob::clamped_line(Leg::A, 24.0, "evening"));
        testjob::observe(&mut job, testjob::taped_lug(Leg::A, 60.0, "evening"));
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(&job, Priors::built_in().expect("built-in files"), options);
        let at = problem.metals.iter().position(|metal| !metal.own.is_empty()).expect("a lug that was read");
        let mut chain = Chain::new(&problem, 1, 0);
        chain.run(30, 1);
        let before = chain.predicted.clone();
        chain.set_metal(at, chain.metal[at] + 0.7);
        assert!(problem.metals[at].own.iter().all(|&idx| before[idx] < chain.predicted[idx]));
        assert!(problem.metals[at].others.iter().all(|&idx| chain.predicted[idx] <= before[idx]));
        let off = chain.left_behind();
        assert!(off < 1e-9, "off by {off}");
        chain.run(REFRESHED, 1);
        assert!(chain.left_behind() < 1e-6);
    }

    /// Sweeps, among them all kinds of moves, before what is derived is made anew by itself.
    const REFRESHED: usize = 17;
}
