//! A run: simulate, fit the regression on other panels, judge, score.

use crate::judge::{Judged, NotJudged, judge};
use crate::score::baseline::Baseline;
use crate::score::features::{StabRow, stab_rows};
use crate::score::logistic::Logistic;
use crate::sim::Simulated;
use crate::sim::visit::Stage;
use crate::taught::experience_of;
use rayon::prelude::*;
use study::shop::Experience;

/// What to run.
#[derive(Debug, Clone)]
pub struct Plan {
    /// Panels (houses) to judge.
    pub n_panels: u64,
    /// Index of the first of them; 0 but for a second look at single houses.
    pub first: u64,
    /// Seed of the run.
    pub seed: u64,
    /// Letters of the stages, of `a`, `b`, `c`.
    pub stages: String,
    /// Other panels that the regression is fitted on.
    pub n_training: u64,
    /// Of those, houses whose joints a shop opened: its experience is judged with.
    pub n_taught: u64,
    /// Share of poles whose own contacts are bad.
    pub bad_contacts: f64,
    /// Judge with the program too, or score the simple rules only?
    pub with_judge: bool,
    /// Length of the sampler's chains, where not the usual.
    pub n_sweeps: Option<usize>,
}

/// Training houses use streams that no judged house uses.
const TRAINING_FROM: u64 = 1 << 32;

/// One house at one stage.
#[derive(Debug)]
pub(crate) struct Case {
    pub(crate) rows: Vec<StabRow>,
    /// The judgement, where one was asked for.
    pub(crate) judged: Option<Result<Judged, NotJudged>>,
}

/// All houses at one stage.
#[derive(Debug)]
pub(crate) struct StageRun {
    pub(crate) stage: Stage,
    pub(crate) baselines: Vec<Baseline>,
    /// In the order of the houses.
    pub(crate) cases: Vec<Case>,
}

/// A finished run.
#[derive(Debug)]
pub struct Run {
    pub(crate) plan: Plan,
    pub(crate) houses: Vec<Simulated>,
    pub(crate) stages: Vec<StageRun>,
}

impl Plan {
    /// The stages asked for, in order.
    fn stages(&self) -> impl Iterator<Item = Stage> {
        Stage::ALL.into_iter().filter(|stage| self.stages.contains(stage.letter()))
    }

    /// Simulates the houses to judge.
    pub(crate) fn houses(&self) -> Vec<Simulated> {
        (self.first..self.first + self.n_panels)
            .into_par_iter()
            .map(|idx| Simulated::new(self.seed, idx, self.bad_contacts))
            .collect()
    }

    /// Runs it.
    pub fn run(&self) -> Run {
        let houses = self.houses();
        let training: Vec<Simulated> = (0..self.n_training)
            .into_par_iter()
            .map(|idx| Simulated::new(self.seed, TRAINING_FROM + idx, self.bad_contacts))
            .collect();
        let stages = self
            .stages()
            .map(|stage| {
                let mut baselines =
                    vec![Baseline::HottestFace, Baseline::ToNeighbours, Baseline::LoadCorrected];
                baselines.extend(fit(&training, stage).map(|fitted| Baseline::Regression(Box::new(fitted))));
                let taught = training.get(..self.n_taught as usize).unwrap_or(&training);
                let experience = experience_of(taught, stage, self.n_sweeps).unwrap_or_else(|error| {
                    eprintln!("no experience: {error}");
                    Experience::default()
                });
                if !experience.is_empty() {
                    println!("{}", experience.write());
                }
                let cases = houses
                    .par_iter()
                    .map(|simulated| Case {
                        rows: stab_rows(simulated, stage),
                        judged: self
                            .with_judge
                            .then(|| judge(&simulated.job_text(stage), self.n_sweeps, &experience)),
                    })
                    .collect();
                StageRun { stage, baselines, cases }
            })
            .collect();
        Run { plan: self.clone(), houses, stages }
    }
}

/// Fits the regression of a stage.
fn fit(training: &[Simulated], stage: Stage) -> Option<Logistic> {
    let rows: Vec<StabRow> = training.par_iter().flat_map_iter(|house| stab_rows(house, stage)).collect();
    let burnt: Vec<bool> = rows.iter().map(|row| row.burnt).collect();
    let features: Vec<Vec<f64>> = rows.into_iter().map(|row| row.features).collect();
    Logistic::fit(&features, &burnt)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A fixed small run: every house is judged, and the judgement ranks stabs better than the hottest face and
    /// the load-corrected difference do. Loose on purpose: the figures of a real run are in `docs/measurements.md`.
    #[test]
    fn verif_small_run_beats_the_thermometer() {
        let plan = Plan {
            n_panels: 24,
            first: 0,
            seed: 7,
            stages: "c".to_owned(),
            n_training: 0,
            n_taught: 0,
            bad_contacts: 0.0,
            with_judge: true,
            // Short chains: this asks whether the judgement works at all, in seconds.
            n_sweeps: Some(60),
        };
        let run = plan.run();
        let stage = &run.stages[0];
        for case in &stage.cases {
            assert!(matches!(case.judged, Some(Ok(_))), "{:?}", case.judged);
        }
        let ours = stage.our_line(|_| true);
        let rules = [0, 1, 2].map(|nth| stage.baseline_line(nth, |_| true));
        assert!(ours.n == rules[0].n && ours.n_burnt == rules[0].n_burnt && ours.n_burnt > 5);
        for rule in rules {
            assert!(rule.auc < ours.auc, "{rule:?} against {ours:?}");
        }
    }

    /// The regression is fitted on houses that are not judged.
    #[test]
    fn training_houses_are_others() {
        let judged = Simulated::new(7, 0, 0.0).job_text(Stage::CoverOn);
        let training = Simulated::new(7, TRAINING_FROM, 0.0).job_text(Stage::CoverOn);
        assert_ne!(judged.len(), training.len());
    }
}
