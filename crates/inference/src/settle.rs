//! Chains that go on where the checks of sampling fail.
//!
//! The lines through the networks' answers were laid where short pilot runs had been. Where the chains went elsewhere, or have not met,
//! their own draws are the better pilot: lines are laid anew through them, and each chain goes on from where it stood, for longer. Only
//! what it draws then counts; of so many more sweeps as many draws are kept as ever, so that memory and conclusion stay as they are.

use crate::sampler::{Chain, Draw, Draws};
use crate::{Judgement, Problem, Run, Warm};

/// Chains go on so often at most, each time for twice as many sweeps as the last time. In 45 simulated houses with the cover on whose
/// checks failed, one round made them pass in 36 and two in 38; one of four times as many, in 36.
const N_ROUNDS: usize = 2;
/// One sweep in so many is made before any is kept: the lines are others.
const BURN_PART: usize = 8;
/// Draws through which lines are laid anew.
const N_PILOT: usize = 120;
/// Random streams of one round after those of the last.
const STREAMS: usize = 100;

impl Problem {
    /// Turns the draws of the chains of [`Problem::run_chain`] into a judgement and keeps them; where its checks fail, chains go on
    /// first. Who runs its parts changes no digit.
    pub fn settle(mut self, mut chains: Vec<Draws>, run: &impl Run) -> (Judgement, Warm) {
        let mut round = 0;
        loop {
            let posterior = self.posterior(&chains, None, run);
            if N_ROUNDS == round || posterior.report().converged {
                let mut judgement = posterior.judgement(run);
                judgement.sampling.n_sweeps <<= round;
                return (judgement, self.keep_warm(chains));
            }
            round += 1;
            chains = self.gone_on(&chains, round, run);
        }
    }

    fn gone_on(&mut self, chains: &[Draws], round: usize, run: &impl Run) -> Vec<Draws> {
        if self.has_thermal() {
            let all: Vec<&Draw> = chains.iter().flat_map(|chain| &chain.0).collect();
            let n = N_PILOT.min(all.len());
            let pilot = Draws((0..n).map(|nth| all[nth * all.len() / n].clone()).collect());
            let (ohm, loads) = pilot.means();
            self.linearise(&ohm, &loads);
            self.straighten(&pilot.0, run);
        }
        let (problem, every) = (&*self, 1 << round);
        let n_keep = problem.options.n_sweeps;
        run.run(chains.len(), |number| {
            let mut chain = Chain::new(problem, problem.options.seed, (round * STREAMS + number) as u64);
            if let Some(last) = chains[number].0.last() {
                chain.take(&problem.standing(last));
            }
            chain.run_thinned(every * n_keep / BURN_PART, n_keep, every)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{JudgeOptions, OneThread, prepare, testjob};

    fn settled(n_sweeps: usize) -> (Judgement, Judgement) {
        let options = JudgeOptions { n_sweeps, ..JudgeOptions::default() };
        let problem = prepare(&testjob::eight_spaces(), &options, &OneThread).expect("a panel is there");
        let chains: Vec<Draws> = (0..4).map(|number| problem.run_chain(number)).collect();
        (problem.conclude(&chains, &OneThread), problem.settle(chains, &OneThread).0)
    }

    #[test]
    fn chains_whose_checks_pass_do_not_go_on() {
        let (concluded, settled) = settled(300);
        assert!(concluded.sampling.converged, "{:?}", concluded.sampling);
        assert_eq!(settled, concluded);
    }

    #[test]
    fn chains_whose_checks_fail_go_on_and_keep_as_many_draws() {
        let (concluded, settled) = settled(20);
        let (before, after) = (&concluded.sampling, &settled.sampling);
        assert!(!before.converged, "{before:?}");
        assert_eq!(after.n_draws, before.n_draws);
        assert!([40, 80].contains(&after.n_sweeps), "{after:?}");
        assert!(after.converged || after.n_sweeps == 80, "they go on while the checks fail: {after:?}");
        let long = self::settled(1_000).0;
        let away = |judgement: &Judgement| -> f64 {
            let pairs = judgement.joints.iter().zip(&long.joints);
            let square =
                |(one, other): (&model::assessment::JointFinding, &model::assessment::JointFinding)| {
                    let away = one.probability.burnt - other.probability.burnt;
                    away * away
                };
            pairs.map(square).sum()
        };
        assert!(away(&settled) < away(&concluded), "{} and {}", away(&settled), away(&concluded));
    }
}
