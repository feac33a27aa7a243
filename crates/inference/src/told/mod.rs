//! What the draws of an earlier judgement tell of a new fact: each counts as much more or less as the fact is likelier by it
//! (importance weights). No chain is run, so it takes a fraction of the time; where the new fact leaves too few draws their
//! weight, or brings unknowns of its own, chains have to go on ([`crate::prepare_warm`]).

mod drop;
mod reading;
mod same;

use crate::conclude::{effective, weights};
use crate::problem::{Problem, Term};
use crate::rng::Stream;
use crate::run::Run;
use crate::sampler::{Draw, Draws};
use crate::warm::Warm;
use drop::NewDrop;
use reading::Seen;

/// Stream of the random source for offsets that come with a fact.
const OFFSETS_STREAM: u64 = 3_000;
/// Fewer effective draws than this tell nothing.
const LEAST_EFFECTIVE: f64 = 100.0;
/// Effective draws of which every second is enough.
const ENOUGH: f64 = 1_000.0;
/// Every such draw is looked at where the others are like it.
const SOME: usize = 16;
/// Least probability that a new reading is right. Where all draws can only have it as wrong altogether they weigh alike and look
/// well, but nobody was sent to where it would be right.
const LEAST_RIGHT: f64 = 0.5;

/// Draws of an earlier judgement in the unknowns of the present one, with what each of them counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    pub(crate) chains: Vec<Draws>,
    /// Over the draws of all chains, summing to one.
    pub(crate) weights: Vec<f64>,
}

impl Problem {
    /// What the draws of an earlier judgement tell of this problem, whose networks are not linearised yet. `None` where the unknowns
    /// are others, or where too few draws carry the weight.
    pub(crate) fn told(&mut self, before: &Warm, run: &impl Run) -> Option<Told> {
        let change = self.change_since(&before.problem)?;
        let (ohm, loads) = some_means(before);
        self.take_lines(&before.problem, &change, &ohm, &loads);
        let signs = Signs::of(self, &before.problem);
        let some: Vec<&Draw> = before.chains.iter().flat_map(|chain| chain.0.iter().step_by(SOME)).collect();
        let new_drop = if signs.is_none() { NewDrop::of(self, &change, &some) } else { None };
        let weighed = |nth: usize| -> Vec<(Seen, f64)> {
            let mut stream = Stream::new(self.options.seed, OFFSETS_STREAM + nth as u64);
            let of_draw = |was: &Draw| {
                let mut seen = change.carry(was);
                let redrawn = new_drop.as_ref().and_then(|drop| drop.redraw(was, &mut seen, &mut stream));
                if let Some(log) = redrawn {
                    return (seen, log);
                }
                let add = |&idx: &usize| self.add_reading(idx, was, &mut seen, &mut stream);
                let readings: f64 = change.new.iter().map(add).sum();
                (seen, readings - change.of_gone(&before.problem, was) + signs.log_ratio(was))
            };
            before.chains[nth].0.iter().map(of_draw).collect()
        };
        let weighed = run.run(before.chains.len(), weighed);
        // An offset that no reading brought, as that of a room whose temperature was corrected.
        if weighed.iter().flatten().any(|(seen, _)| seen.offsets.iter().any(|offset| offset.is_nan())) {
            return None;
        }
        let logs: Vec<f64> = weighed.iter().flatten().map(|&(_, log)| log).collect();
        let every = if ENOUGH <= effective(&weights(&logs)) { 2 } else { 1 };
        let mut logs = Vec::new();
        let mut kept = |(was, (seen, log)): (&Draw, (Seen, f64))| {
            logs.push(log);
            let mut draw = Draw { offsets: seen.offsets, predicted: seen.predicted, ..was.clone() };
            signs.settle(&mut draw);
            if let Some(redrawn) = seen.redrawn {
                redrawn.settle(&mut draw);
            }
            draw
        };
        let chains: Vec<Draws> = (before.chains.iter().zip(weighed))
            .map(|(chain, seen)| Draws(chain.0.iter().zip(seen).step_by(every).map(&mut kept).collect()))
            .collect();
        let told = Told { chains, weights: weights(&logs) };
        let is_carried = LEAST_EFFECTIVE <= effective(&told.weights)
            && change.new.iter().all(|&idx| LEAST_RIGHT <= self.is_right(idx, &told));
        is_carried.then_some(told)
    }

    /// Probability that a reading is right.
    fn is_right(&self, idx: usize, told: &Told) -> f64 {
        let obs = &self.obs[idx];
        if obs.censored.is_some() {
            return 1.0;
        }
        let wrong = obs.wrong.density(obs.value);
        let draws = told.chains.iter().flat_map(|chain| &chain.0);
        let of_wrong =
            |(draw, weight): (&Draw, &f64)| weight * wrong / obs.density(draw.predicted[idx], &self.errors);
        1.0 - draws.zip(&told.weights).map(of_wrong).sum::<f64>()
    }
}

/// Mean resistances and loads of some draws: a tangent does not ask for more.
fn some_means(before: &Warm) -> (Vec<f64>, Vec<f64>) {
    Draws(before.chains.iter().flat_map(|chain| chain.0.iter().step_by(SOME).cloned()).collect()).means()
}

/// Signs and complaints that came or went.
struct Signs<'p> {
    came: Vec<&'p Term>,
    went: Vec<&'p Term>,
}

impl<'p> Signs<'p> {
    fn of(now: &'p Problem, before: &'p Problem) -> Signs<'p> {
        let beside = |terms: &'p [Term], others: &[Term]| -> Vec<&'p Term> {
            terms.iter().filter(|term| !others.iter().any(|other| same::is_same_sign(term, other))).collect()
        };
        Signs { came: beside(&now.terms, &before.terms), went: beside(&before.terms, &now.terms) }
    }

    fn is_none(&self) -> bool {
        self.came.is_empty() && self.went.is_empty()
    }

    /// Logarithm of how much likelier they are at a draw than those before.
    fn log_ratio(&self, draw: &Draw) -> f64 {
        let log = |term: &&Term| {
            let still = term.joints.iter().map(|&(res, shows)| 1.0 - shows[usize::from(draw.condition[res])]);
            let none = (1.0 - term.elsewhere) * still.product::<f64>();
            libm::log(term.chance(none).max(1e-300))
        };
        self.came.iter().map(log).sum::<f64>() - self.went.iter().map(log).sum::<f64>()
    }

    /// The weight of a draw goes by the conditions it has, so of the joints that a sign bears on no more than these may be kept:
    /// averaged over them, their probability would not go with the weight.
    fn settle(&self, draw: &mut Draw) {
        for &(res, _) in self.came.iter().chain(&self.went).flat_map(|term| &term.joints) {
            let condition = usize::from(draw.condition[res]).min(2);
            draw.at_ohm[res] = std::array::from_fn(|at| if at == condition { 1.0 } else { 0.0 });
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testjob::{add_state, clamp, drop, eight_spaces, face, observe, sign};
    use crate::{JudgeOptions, Judgement, OneThread, Warm, prepare, prepare_told};
    use model::Temperature;
    use model::evidence::Sign;
    use model::job::Job;

    const OPTIONS: fn() -> JudgeOptions = || JudgeOptions { seed: 3, ..JudgeOptions::default() };

    fn judged(job: &Job, seed: u64, n_sweeps: usize) -> (Judgement, Warm) {
        let options = JudgeOptions { seed, n_sweeps, ..JudgeOptions::default() };
        let problem = prepare(job, &options, &OneThread).expect("a panel is there");
        let chains: Vec<_> = (0..4).map(|number| problem.run_chain(number)).collect();
        (problem.conclude(&chains, &OneThread), problem.keep_warm(chains))
    }

    fn told(job: &Job, warm: &Warm) -> Option<Judgement> {
        let told = prepare_told(job, &OPTIONS(), warm, &OneThread).expect("a panel is there");
        told.map(|(problem, told)| problem.conclude_told(&told, &OneThread))
    }

    /// A long judgement of all facts is the measure: what is told is as far off it as it says itself.
    #[test]
    fn what_earlier_draws_tell_of_a_fact_is_what_a_judgement_finds() {
        let before = eight_spaces();
        let (_, warm) = judged(&before, 1, 1_600);
        let facts = [
            face(8, 34.0, "evening"),
            face(5, 33.0, "evening"),
            sign(Sign::Discoloration, 7, true),
            sign(Sign::Discoloration, 3, false),
            drop(8, 7, 25.0, "evening"),
        ];
        let mut n_sharp = 0;
        for fact in facts {
            let mut job = before.clone();
            observe(&mut job, fact.clone());
            let found = told(&job, &warm).expect("the draws carry it");
            let (measure, _) = judged(&job, 2, 6_000);
            for (one, other) in found.joints.iter().zip(&measure.joints) {
                let away = (one.probability.burnt - other.probability.burnt).abs();
                let error = one.probability.burnt_standard_error;
                assert!(away < 4.0 * error + 0.01, "{fact:?}: {} is off by {away:.3}", one.joint.id);
                let middle = one.resistance_mohm.median / other.resistance_mohm.median;
                let is_sharp = other.resistance_mohm.high < 8.0 * other.resistance_mohm.low;
                assert!(!is_sharp || (0.8..1.25).contains(&middle), "{fact:?}: {} {middle:.2}", one.joint.id);
                n_sharp += usize::from(is_sharp);
            }
        }
        assert!(3 <= n_sharp, "{n_sharp} resistances are known well enough to be compared");
    }

    /// What was told and is taken back leaves what was there before.
    #[test]
    fn a_fact_that_is_taken_back_leaves_no_trace() {
        let before = eight_spaces();
        let mut job = before.clone();
        observe(&mut job, face(8, 34.0, "evening"));
        observe(&mut job, sign(Sign::Discoloration, 3, false));
        let (_, warm) = judged(&job, 1, 1_600);
        let found = told(&before, &warm).expect("the draws carry it");
        let (measure, _) = judged(&before, 2, 6_000);
        for (one, other) in found.joints.iter().zip(&measure.joints) {
            let away = (one.probability.burnt - other.probability.burnt).abs();
            assert!(away < 0.05, "{} is off by {away:.3}", one.joint.id);
        }
    }

    #[test]
    fn with_no_new_fact_it_is_the_same_but_for_how_it_is_drawn() {
        let job = eight_spaces();
        let (whole, warm) = judged(&job, 1, 400);
        let found = told(&job, &warm).expect("the draws carry it");
        for (one, other) in found.joints.iter().zip(&whole.joints) {
            assert!((one.probability.burnt - other.probability.burnt).abs() < 0.02);
        }
    }

    #[test]
    fn other_unknowns_and_a_fact_that_nobody_would_expect_are_left_to_chains() {
        let before = eight_spaces();
        let (_, warm) = judged(&before, 1, 100);
        let with = |change: &dyn Fn(&mut Job)| {
            let mut job = before.clone();
            change(&mut job);
            told(&job, &warm)
        };
        let is_told = |change: &dyn Fn(&mut Job)| with(change).is_some();
        assert!(is_told(&|_| ()));
        assert!(!is_told(&|job| observe(job, clamp(7, 9.0, "evening"))), "a load that was not known");
        assert!(!is_told(&|job| add_state(job, "morning", 20.0)), "loads of another state");
        let other = |job: &mut Job| job.installation.panels[0].breakers.truncate(7);
        assert!(!is_told(&other), "another panel");
        let warmer = |job: &mut Job| job.load_states[0].room = Some(Temperature::from_c(31.0));
        assert!(!is_told(&warmer), "a room that was not so warm");
        assert!(!is_told(&|job| observe(job, drop(8, 7, 900.0, "evening"))), "a drop far above any draw");
        assert!(!is_told(&|job| observe(job, face(6, 95.0, "evening"))), "a reading that another one denies");
    }

    #[test]
    fn facts_are_known_again_by_their_names() {
        let before = eight_spaces();
        let (whole, warm) = judged(&before, 1, 400);
        let mut job = before.clone();
        job.observations.reverse();
        let found = told(&job, &warm).expect("the draws carry it");
        for (one, other) in found.joints.iter().zip(&whole.joints) {
            assert!((one.probability.burnt - other.probability.burnt).abs() < 0.02);
        }
    }
}
