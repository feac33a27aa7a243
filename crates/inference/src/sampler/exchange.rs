//! What one load gives another takes: of the loads under the clamp of a leg only the sum is known.
//!
//! Drawn one given the others, each is held to a tenth of an ampere, and which of them runs is never asked again. Here a load that
//! nobody clamped takes from another of the same leg, one of 240 V from one of each leg, so that what the clamps show stays: the current x
//! goes anywhere between nothing and S, where S is x and the least of what the givers have, and stays. It is drawn even on x, or even on
//! the logarithm of x/(S − x); then x(S − x) enters the ratio of Metropolis and Hastings.

use super::state::Chain;
use crate::problem::{LoadLaw, Mode, Problem};

/// How far from even the parts can be, on the logarithm.
const FARTHEST: f64 = 8.0;
/// A step of one load under a clamp, in errors of the clamp. Judgement.
const STEP: f64 = 2.4;
/// Rounds in which loads are brought to the clamps over them, one clamp after the other.
const N_ROUNDS: usize = 30;
/// Beyond so many errors of a clamp loads do not add up.
const ADDS_UP: f64 = 3.0;

/// A load under clamps with what it can take from: each time one load or two that lie under the same clamps together.
#[derive(Debug, Clone)]
pub(super) struct Exchange {
    load: usize,
    /// A step on its own, A.
    step_a: f64,
    givers: Vec<Vec<usize>>,
}

/// All exchanges under clamps of whole legs.
pub(super) fn exchanges(p: &Problem) -> Vec<Exchange> {
    let is_unknown = |&load: &usize| matches!(p.loads[load].law, LoadLaw::Unknown { .. });
    let of_state = |state: usize| {
        let clamps: Vec<usize> = sums(p).filter(|&idx| p.obs[idx].state == state).collect();
        let under = |load: usize| -> Vec<f64> { clamps.iter().map(|&idx| part(p, idx, load)).collect() };
        let is_under =
            |load: &usize| p.loads[*load].state == state && under(*load).iter().any(|part| 0.0 < *part);
        let loads: Vec<usize> = (0..p.loads.len()).filter(is_unknown).filter(is_under).collect();
        let step_a = clamps.iter().map(|&idx| STEP * p.obs[idx].sigma).fold(f64::INFINITY, f64::min);
        let givers = |load: usize| {
            let own = under(load);
            let others = || loads.iter().copied().filter(move |&other| other != load);
            let alone = others().filter(|&other| under(other) == own).map(|other| vec![other]);
            let two = others()
                .flat_map(|one| others().filter(move |&other| one < other).map(move |other| [one, other]));
            let together = two.filter(|&[one, other]| {
                let both: Vec<f64> =
                    under(one).iter().zip(under(other)).map(|(one, other)| one + other).collect();
                both == own
            });
            alone.chain(together.map(Vec::from)).collect()
        };
        loads.iter().map(|&load| Exchange { load, step_a, givers: givers(load) }).collect::<Vec<_>>()
    };
    (0..p.states.len()).flat_map(of_state).collect()
}

/// Clamps over whole legs, among the readings.
fn sums(p: &Problem) -> impl Iterator<Item = usize> {
    (0..p.obs.len()).filter(|&idx| {
        let obs = &p.obs[idx];
        obs.mode == Mode::CurrentSum && obs.load_weights.iter().all(|&(_, part)| 0.0 < part)
    })
}

/// The part of a load in a clamp.
fn part(p: &Problem, idx: usize, load: usize) -> f64 {
    p.obs[idx].load_weights.iter().find(|&&(at, _)| at == load).map_or(0.0, |&(_, part)| part)
}

impl Chain<'_> {
    pub(super) fn update_exchanges(&mut self) {
        let exchanges = std::mem::take(&mut self.exchanges);
        for Exchange { load, step_a, givers } in &exchanges {
            self.step(*load, *step_a);
            if !givers.is_empty() {
                let at = (self.rng.uniform() * givers.len() as f64) as usize;
                self.exchange(*load, &givers[at.min(givers.len() - 1)]);
            }
        }
        self.exchanges = exchanges;
    }

    fn exchange(&mut self, load: usize, givers: &[usize]) {
        let (even, drawn) = (self.rng.uniform() < 0.5, self.rng.uniform());
        let accepted = libm::log(self.rng.uniform().max(1e-300));
        let before = self.loads[load];
        let least = givers.iter().map(|&giver| self.loads[giver]).fold(f64::INFINITY, f64::min);
        let total = before + least;
        let mut log_ratio = 0.0;
        let after = if even {
            drawn * total
        } else {
            let after = total / (1.0 + libm::exp(FARTHEST * (1.0 - 2.0 * drawn)));
            if FARTHEST < libm::fabs(libm::log(before / least)) {
                return;
            }
            log_ratio += libm::log(after * (total - after) / (before * least));
            after
        };
        let taken = after - before;
        let moves: Vec<(usize, f64)> = std::iter::once((load, taken))
            .chain(givers.iter().map(|&giver| (giver, -taken)))
            .map(|(load, change)| (load, self.loads[load] + change))
            .collect();
        if moves.iter().all(|&(_, value)| 0.0 < value) {
            self.set_loads(&moves, log_ratio, accepted);
        }
    }

    /// One load by itself, as far as its clamp leaves it open.
    fn step(&mut self, load: usize, step_a: f64) {
        let after = libm::fabs(self.loads[load] + step_a * self.rng.normal());
        let accepted = libm::log(self.rng.uniform().max(1e-300));
        if 0.0 < after {
            self.set_loads(&[(load, after)], 0.0, accepted);
        }
    }

    /// Sets loads where that is likely enough, by the logarithm of the ratio of Metropolis and Hastings.
    fn set_loads(&mut self, moves: &[(usize, f64)], log_ratio: f64, accepted: f64) {
        let before: Vec<f64> = moves.iter().map(|&(load, _)| self.loads[load]).collect();
        let mut log_ratio = log_ratio - self.log_likelihood();
        for &(load, after) in moves {
            log_ratio += self.slide_load(load, after);
        }
        log_ratio += self.log_likelihood();
        // A load off its grid has no density, and what follows it is no number: refused, too.
        let is_taken = accepted < log_ratio;
        if !is_taken {
            for (&(load, _), before) in moves.iter().zip(before) {
                self.slide_load(load, before);
            }
        }
    }

    /// Brings loads that nobody clamped to what was read at their legs, where they are far from it.
    pub(super) fn add_up(&mut self) {
        let p = self.p;
        for idx in (0..N_ROUNDS).flat_map(|_| sums(p)) {
            let obs = &p.obs[idx];
            let is_unknown = |load: usize| matches!(p.loads[load].law, LoadLaw::Unknown { .. });
            let sum = |unknown: bool| -> f64 {
                let of = obs.load_weights.iter().filter(|&&(load, _)| is_unknown(load) == unknown);
                of.map(|&(load, part)| part * self.loads[load]).sum()
            };
            let (known, unknown) = (sum(false), sum(true));
            if libm::fabs(obs.value - known - unknown) < ADDS_UP * obs.sigma {
                continue;
            }
            let factor = (obs.value - known).max(obs.sigma) / unknown;
            for &(load, _) in &obs.load_weights {
                if let LoadLaw::Unknown { scale_a, .. } = p.loads[load].law {
                    let (least, most) =
                        (1.1 * p.priors.load.least * scale_a, 0.9 * p.priors.load.most * scale_a);
                    self.loads[load] = (factor * self.loads[load]).clamp(least, most);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testjob::{add_state, bare, breaker, clamped_line, observe};
    use crate::{JudgeOptions, Priors};
    use model::Leg;

    /// A house of six circuits and one of 240 V, 14.2 A and 2 A into its legs: chains start at loads that add up to that, and however often
    /// loads are exchanged, what flows into each leg stays, and everything derived is what a chain made anew would have.
    #[test]
    fn an_exchange_keeps_what_the_clamps_show_and_leaves_nothing_behind() {
        let mut breakers = vec![breaker(&[1, 3], 30.0, None)];
        breakers.extend([2, 4, 5, 6, 7, 8].map(|number| breaker(&[number], 20.0, None)));
        let mut job = bare(8, breakers);
        add_state(&mut job, "heater", 22.0);
        for (leg, amps) in [(Leg::A, 14.2), (Leg::B, 2.0)] {
            observe(&mut job, clamped_line(leg, amps, "heater"));
        }
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(&job, Priors::built_in().expect("built-in files"), options);
        for number in 0..4 {
            let mut chain = Chain::new(&problem, 4, number);
            for idx in sums(&problem) {
                let far = (chain.predicted[idx] - problem.obs[idx].value).abs();
                assert!(far < ADDS_UP * problem.obs[idx].sigma, "chain {number} starts {far} A off");
            }
            chain.run(20, 0);
            let exchanges = chain.exchanges.clone();
            assert_eq!(exchanges.len(), 7, "of the state that was clamped");
            let mut n_moved = 0;
            for _ in 0..100 {
                let before: Vec<f64> = sums(&problem).map(|idx| chain.predicted[idx]).collect();
                for Exchange { load, givers, .. } in &exchanges {
                    let was = chain.loads[*load];
                    givers.iter().for_each(|givers| chain.exchange(*load, givers));
                    n_moved += usize::from(chain.loads[*load] != was);
                }
                for (idx, before) in sums(&problem).zip(before) {
                    assert!(
                        (chain.predicted[idx] - before).abs() < 1e-9,
                        "{before} A, then {}",
                        chain.predicted[idx]
                    );
                }
            }
            assert!(100 < n_moved, "{n_moved} of 700 moved");
            assert!(chain.left_behind() < 1e-6);
        }
    }
}
