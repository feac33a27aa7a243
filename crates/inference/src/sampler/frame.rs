//! All poles that share a factor go up or down together, and the joint under a drop over one of them takes what that pole gives.
//!
//! Where one pole alone was measured, its drop is a burnt joint, or all breakers of that maker lose so much. Drawn one by one, a pole is
//! held by the others of its factor, so chains stayed in one of the two. Here the factor and the logarithms of its poles go up by δ, and the
//! joint goes from R to R + (P − P·e^δ)·q/p, where p and q are what joint and pole do to the reading that ties them: the determinant of the
//! change is R/R′ on logarithms, and enters the ratio of Metropolis and Hastings.

use super::stand::Stand;
use super::state::Chain;
use crate::problem::{CLASSES, Problem};

/// Steps on the logarithm, one or the other. Judgement.
const STEPS: [f64; 2] = [0.2, 0.7];

/// How often in a sweep. Judgement.
const N_SLIDES: usize = 2;

/// A joint and a pole under one drop, and the factor of the pole that moves most.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    joint: usize,
    pole: usize,
    factor: usize,
}

/// What moves together, by the pairs of a joint and a pole on the path of one drop: those whose factor holds other poles, too, none of
/// them under a drop. Where several were measured they tell the factor, and it could not move.
pub(super) fn frames(p: &Problem, read_pairs: &[usize]) -> Vec<Frame> {
    let is_read = |pole: &usize| read_pairs.iter().any(|&at| p.pairs[at].1 == *pole);
    let of_pair = |&at: &usize| {
        let (joint, pole) = p.pairs[at];
        let held = (0..p.factors.len()).filter(|&of| {
            let poles = &p.factors[of].poles;
            1 < poles.len()
                && poles.contains(&pole)
                && !poles.iter().any(|other| *other != pole && is_read(other))
        });
        let widest = held.max_by(|&one, &other| p.factors[one].sd.total_cmp(&p.factors[other].sd));
        widest.map(|factor| Frame { joint, pole, factor })
    };
    read_pairs.iter().filter_map(of_pair).collect()
}

impl Chain<'_> {
    pub(super) fn update_frames(&mut self) {
        let frames = std::mem::take(&mut self.frames);
        for frame in &frames {
            (0..N_SLIDES).for_each(|_| self.slide_frame(*frame));
        }
        self.frames = frames;
    }

    fn slide_frame(&mut self, Frame { joint, pole, factor }: Frame) {
        let step = STEPS[usize::from(self.rng.uniform() < 0.5)] * self.rng.normal();
        let accepted = libm::log(self.rng.uniform().max(1e-300));
        let Some(ratio) = self.tie(joint, pole) else { return };
        let grid = &self.grids[self.grid_of[joint]];
        let here = self.stands(joint);
        let ohm = here.ohm - self.ohm[pole] * libm::expm1(step) / ratio;
        if ohm <= 0.0 {
            return;
        }
        let log = libm::log(ohm);
        if grid.grid.cell(log).is_none() {
            return;
        }
        let there = Stand { log, ohm, density: grid.densities_at(log) };
        let weights = self.condition_weights(joint);
        let sd = self.p.factors[factor].sd;
        let (was, level) = (self.factors[factor], self.factors[factor] + step);
        let prior = libm::log(there.prior(weights) / here.prior(weights)) + here.log
            - there.log
            - 0.5 * (level * level - was * was) / (sd * sd)
            + libm::log(self.bound(joint, there.ohm) / self.bound(joint, here.ohm));
        let before = self.log_likelihood();
        self.lift(factor, step);
        self.settle(joint, there);
        if accepted < prior + self.log_likelihood() - before {
            self.redraw_condition(joint, weights);
        } else {
            self.lift(factor, -step);
            self.settle(joint, here);
        }
    }

    /// What the joint does to the reading that ties it to the pole, over what the pole does; by the drop that counts most.
    fn tie(&self, joint: usize, pole: usize) -> Option<f64> {
        let coef = |res: usize, idx: usize| self.coef[res * self.n_obs + idx];
        let of_drop =
            |idx: &usize| self.p.obs[*idx].is_drop() && coef(joint, *idx) != 0.0 && coef(pole, *idx) != 0.0;
        let weighty = |&one: &usize, &other: &usize| self.weight[one].total_cmp(&self.weight[other]);
        let tied = (0..self.n_obs).filter(of_drop).max_by(weighty)?;
        Some(coef(joint, tied) / coef(pole, tied))
    }

    /// Moves a factor and all its poles by a step on the logarithm.
    fn lift(&mut self, factor: usize, step: f64) {
        let problem = self.p;
        self.factors[factor] += step;
        for &pole in &problem.factors[factor].poles {
            let log = self.ln_ohm[pole] + step;
            self.settle(pole, Stand { log, ohm: libm::exp(log), density: [0.0; CLASSES] });
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::problem::{Problem, ResKind};
    use crate::sampler::Chain;
    use crate::testjob::{self, slot};
    use crate::{JudgeOptions, Priors};

    /// One pole of eight measured, 300 mV at 10 A: however often the frame goes up and down, the drop stays, and everything derived is what a
    /// chain made anew would have.
    #[test]
    fn the_drop_stays_and_nothing_is_left_behind() {
        let job = testjob::lone_drop(300.0);
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(&job, Priors::built_in().expect("built-in files"), options);
        let pole = problem.find(&ResKind::Pole(slot(5))).expect("a pole");
        let mut chain = Chain::new(&problem, 4, 0);
        chain.run(30, 0);
        let idx = problem.obs.iter().position(crate::problem::Obs::is_drop).expect("a drop");
        let mut n_moved = 0;
        for _ in 0..400 {
            let (ohm, shown) = (chain.ohm[pole], chain.predicted[idx]);
            for at in 0..chain.frames.len() {
                chain.slide_frame(chain.frames[at]);
            }
            n_moved += usize::from(chain.ohm[pole] != ohm);
            assert!(
                (chain.predicted[idx] - shown).abs() < 1e-9,
                "{shown} V, then {} V",
                chain.predicted[idx]
            );
        }
        assert!(20 < n_moved, "{n_moved} of 400 moved");
        assert!(chain.left_behind() < 1e-6);
    }
}
