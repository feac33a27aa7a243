//! From draws to findings.

mod again_checks;
mod bend;
mod causes;
mod checks;
mod columns;
mod diagnostics;
mod exact;
mod first_checks;
mod joints;
mod load_checks;
mod odd_readings;
mod own_contacts;
mod predict;
mod reasons;
mod sensitivity;
mod supply;
mod terminal_checks;
mod trunk_checks;
mod unlike;
mod workings;

pub(crate) use exact::{effective, weights};
pub(crate) use reasons::place_words;

use crate::Judgement;
use crate::problem::Problem;
use crate::run::{Run, in_stretches};
use crate::sampler::{Draw, Draws};
use crate::told::Told;
use columns::Columns;
use diagnostics::Settled;
use exact::{Exact, evenly};
use model::assessment::Interval;

/// Draws that are taken from weighed ones for what needs draws that count alike.
const N_EVEN: usize = 400;

/// Draws of all chains with the correction by the full networks.
pub(crate) struct Posterior<'p> {
    pub(crate) p: &'p Problem,
    pub(crate) draws: Vec<&'p Draw>,
    /// Draws of which each counts alike: all of them, or drawn from them where they do not.
    pub(crate) even: Vec<&'p Draw>,
    pub(crate) chains: &'p [Draws],
    pub(crate) columns: Columns,
    pub(crate) exact: Exact,
    /// Probability of sound, worn and burnt of each resistance with a condition.
    pub(crate) probabilities: Vec<[f64; 3]>,
    /// How well each resistance with a condition is known.
    pub(crate) settled: Vec<Settled>,
}

impl Problem {
    /// Turns the draws of the chains into a judgement. Who runs its parts changes no digit.
    pub fn conclude(&self, chains: &[Draws], run: &impl Run) -> Judgement {
        self.concluded(chains, None, run)
    }

    /// The same from draws of an earlier judgement, weighed by what was told since.
    pub fn conclude_told(&self, told: &Told, run: &impl Run) -> Judgement {
        self.concluded(&told.chains, Some(&told.weights), run)
    }

    fn concluded(&self, chains: &[Draws], told: Option<&[f64]>, run: &impl Run) -> Judgement {
        self.posterior(chains, told, run).judgement(run)
    }

    /// What the draws say before anything is told of it: as much as the checks of sampling need.
    pub(crate) fn posterior<'p>(
        &'p self,
        chains: &'p [Draws],
        told: Option<&[f64]>,
        run: &impl Run,
    ) -> Posterior<'p> {
        let draws: Vec<&Draw> = chains.iter().flat_map(|chain| &chain.0).collect();
        let exact = Exact::new(self, &draws, told, run);
        let even = match told {
            None => draws.clone(),
            Some(_) => evenly(exact.all(), N_EVEN.min(draws.len())).into_iter().map(|at| draws[at]).collect(),
        };
        let columns = Columns::of(&draws, self.n_conditioned, run);
        let probabilities = exact.probabilities(&draws);
        let mut posterior =
            Posterior { p: self, draws, even, chains, columns, exact, probabilities, settled: Vec::new() };
        let conditioned: Vec<usize> = (0..self.n_conditioned).collect();
        posterior.settled =
            in_stretches(run, &conditioned, |part| part.iter().map(|&res| posterior.settled(res)).collect());
        posterior
    }
}

impl Posterior<'_> {
    /// Everything that is told of it.
    pub(crate) fn judgement(&self, run: &impl Run) -> Judgement {
        let p = self.p;
        let sampling = self.report();
        let joints = self.joint_findings(run);
        let mut notes = p.notes.clone();
        let wrong = self.wrong();
        let (unexplained, unlike) = self.unlike(&wrong).into_iter().unzip::<_, _, Vec<_>, Vec<_>>();
        notes.extend(unlike);
        notes.extend(self.odd_readings());
        notes.extend(self.own_contacts());
        notes.extend(self.notes(&sampling));
        let mut workings = self.workings(&joints);
        workings.extend(p.trends.iter().filter_map(|trend| trend.working.clone()));
        Judgement {
            supply: self.supply_findings(),
            causes: self.complaint_findings(&joints),
            next_checks: self.next_checks(&joints, &wrong, run),
            unexplained,
            workings,
            trends: p.trends.clone(),
            notes,
            sampling,
            model_version: format!("{} with {}", env!("CARGO_PKG_VERSION"), p.priors.version),
            joints,
        }
    }
}

/// Median and 90 % interval of values.
pub(crate) fn interval(mut values: Vec<f64>) -> Interval {
    values.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let place = share * (values.len() - 1) as f64;
        let (low, part) = (place as usize, place - libm::floor(place));
        let high = (low + 1).min(values.len() - 1);
        values[low] + part * (values[high] - values[low])
    };
    if values.is_empty() {
        return Interval { low: 0.0, median: 0.0, high: 0.0 };
    }
    Interval { low: at(0.05), median: at(0.5), high: at(0.95) }
}

#[cfg(test)]
mod tests {
    use super::interval;

    #[test]
    fn quantiles_of_a_ramp() {
        let found = interval((0..=100).map(f64::from).collect());
        assert_eq!((found.low, found.median, found.high), (5.0, 50.0, 95.0));
    }
}
