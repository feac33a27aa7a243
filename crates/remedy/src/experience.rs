//! What the shop's own jobs took and met, and what follows for the next: figures of the data files that give way to counts.

mod parts;

pub use parts::PartCount;

use crate::dice::Three;
use crate::surprise::Surprise;
use crate::work::Steps;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

const TEXT: &str = include_str!("../data/experience.toml");

/// How much own jobs count.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Weights {
    /// The figure of the data file weighs as much as so many jobs.
    pub weight_jobs: f64,
    /// Why so.
    pub weight_source: String,
    /// From so many jobs on a duration follows them.
    pub least_jobs: usize,
    /// Why so.
    pub least_source: String,
    /// Not more than so many count.
    pub newest_jobs: usize,
    /// Why so.
    pub newest_source: String,
}

/// The data.
pub fn weights() -> Weights {
    toml::from_str(TEXT).expect("data/experience.toml is read in a test")
}

/// What a job says of durations and surprises.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct PastJob {
    /// The job.
    pub job: String,
    /// Invented?
    pub invented: bool,
    /// Person-minutes that a step took, by those of the data file for this job's size.
    pub steps: BTreeMap<String, f64>,
    /// Questions that were answered: yes or no.
    pub found: BTreeMap<String, bool>,
    /// What was done, by the word of the option.
    #[serde(default)]
    pub option: String,
    /// Parts that were used, and how many the data file planned for this job.
    #[serde(default)]
    pub parts: BTreeMap<String, (u32, u32)>,
}

/// The jobs that count, the last one first.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Past {
    /// They.
    pub jobs: Vec<PastJob>,
}

/// How long a step took on the shop's own jobs, by what the data file says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepCount {
    /// Jobs.
    pub n: usize,
    /// Least of them, by the usual time of the data file.
    pub least: f64,
    /// Median.
    pub median: f64,
    /// Most.
    pub most: f64,
    /// Are they enough to be used?
    pub used: bool,
}

/// How often a surprise came on the shop's own jobs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChanceCount {
    /// Jobs that had it.
    pub n_yes: usize,
    /// Jobs in which somebody looked.
    pub n: usize,
    /// Chance by the list alone.
    pub listed: f64,
    /// Chance with the counts.
    pub chance: f64,
}

impl Past {
    /// Nobody's: the data files alone.
    pub const NONE: &Past = &Past { jobs: Vec::new() };

    /// What counts for a job: other jobs than itself, invented ones for an invented one only, the last ones.
    pub fn for_job(&self, job: &str, invented: bool) -> Past {
        let others = self.jobs.iter().filter(|one| one.job != job && one.invented == invented);
        Past { jobs: others.take(weights().newest_jobs).cloned().collect() }
    }

    fn factors(&self, step: &str) -> Vec<f64> {
        let all = self.jobs.iter().filter_map(|job| job.steps.get(step).copied());
        let mut all: Vec<f64> = all.filter(|factor| factor.is_finite() && 0.0 < *factor).collect();
        all.sort_by(f64::total_cmp);
        all
    }

    /// The counts of a step; `None`: no job has any.
    pub fn step(&self, id: &str) -> Option<StepCount> {
        let all = self.factors(id);
        let (&least, &most) = (all.first()?, all.last()?);
        let (n, half) = (all.len(), all.len() / 2);
        let median = if n % 2 == 1 { all[half] } else { (all[half - 1] + all[half]) / 2.0 };
        Some(StepCount { n, least, median, most, used: weights().least_jobs <= n })
    }

    /// The steps with the minutes that follow from the counts.
    pub fn steps(&self, mut steps: Steps) -> Steps {
        let (weights, pace) = (weights(), steps.pace);
        for step in &mut steps.steps {
            let all = self.factors(&step.id);
            if weights.least_jobs <= all.len()
                && let Some(minutes) = learned(step.minutes, pace, &all, weights.weight_jobs)
            {
                step.minutes = minutes;
                step.source = format!("{}; with {} jobs of the shop", step.source, all.len());
            }
        }
        steps
    }

    /// The counts of a question; `None`: in no job somebody looked.
    pub fn surprise(&self, of: &Surprise) -> Option<ChanceCount> {
        let found: Vec<bool> = self.jobs.iter().filter_map(|job| job.found.get(&of.id).copied()).collect();
        let (n, n_yes) = (found.len(), found.iter().filter(|yes| **yes).count());
        let chance = posterior(of.chance, n_yes, n, weights().weight_jobs);
        (0 < n).then_some(ChanceCount { n_yes, n, listed: of.chance, chance })
    }

    /// The list with the chances that follow from the counts.
    pub fn surprises(&self, mut list: Vec<Surprise>) -> Vec<Surprise> {
        for one in &mut list {
            if let Some(count) = self.surprise(one) {
                one.chance = count.chance;
                one.chance_source =
                    format!("{}; with {} of {} jobs of the shop", one.chance_source, count.n_yes, count.n);
            }
        }
        list
    }
}

/// Mean of a beta distribution after counts.
///
/// ```text
/// p′ = (k p + yes) / (k + n)      prior Beta(k p, k (1 − p))
/// ```
fn posterior(listed: f64, n_yes: usize, n: usize, weight: f64) -> f64 {
    (weight * listed + n_yes as f64) / (weight + n as f64)
}

/// Points at which a distribution is summed for its moments.
const POINTS: usize = 400;

/// Mean and variance of the logarithm of a three-point figure by its usual value: summed over equal shares of its triangle.
fn log_moments(of: Three) -> Option<(f64, f64)> {
    if of.least <= 0.0 {
        return None;
    }
    let log = |idx: usize| libm::log(of.quantile((idx as f64 + 0.5) / POINTS as f64) / of.usual);
    let mean = (0..POINTS).map(log).sum::<f64>() / POINTS as f64;
    let square = (0..POINTS).map(|idx| (log(idx) - mean) * (log(idx) - mean)).sum::<f64>();
    Some((mean, square / POINTS as f64))
}

/// The minutes of a step after counts. `factors` are of the usual minutes, the pace of each day in them.
///
/// ```text
/// y  = ln(factor) − what the data file expects of it     normal, with a normal–inverse-χ² prior of weight k
/// δ  = n ȳ / (k + n)                                     shift of all three figures
/// s² = (k v + Σ(y − ȳ)² + k n ȳ² / (k + n)) / ((k + n) v)   widening of the distance between them
/// ```
fn learned(minutes: Three, pace: Three, factors: &[f64], weight: f64) -> Option<Three> {
    let (mean, own) = log_moments(minutes)?;
    let (pace_mean, of_pace) = log_moments(pace)?;
    let (n, variance) = (factors.len() as f64, own + of_pace);
    if factors.is_empty() || variance <= 0.0 {
        return None;
    }
    let logs: Vec<f64> = factors.iter().map(|factor| libm::log(*factor) - mean - pace_mean).collect();
    let average = logs.iter().sum::<f64>() / n;
    let apart: f64 = logs.iter().map(|log| (log - average) * (log - average)).sum();
    let between = weight * n * average * average / (weight + n);
    let widening = ((weight * variance + apart + between) / ((weight + n) * variance)).sqrt();
    // A narrower triangle is less skewed: its usual value moves so that the mean of the logarithm is as it was.
    let usual = minutes.usual * libm::exp(n * average / (weight + n) + mean * (1.0 - widening));
    let apart = |of: f64| usual * libm::pow(of / minutes.usual, widening);
    Some(Three { least: apart(minutes.least), usual, most: apart(minutes.most) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dice::Dice;
    use crate::work::steps;

    fn past(factors: &[f64], found: &[bool]) -> Past {
        let job = |idx: usize| PastJob {
            job: idx.to_string(),
            steps: factors.get(idx).map(|one| ("trace".to_owned(), *one)).into_iter().collect(),
            found: found.get(idx).map(|one| ("no-label".to_owned(), *one)).into_iter().collect(),
            ..PastJob::default()
        };
        Past { jobs: (0..factors.len().max(found.len())).map(job).collect() }
    }

    #[test]
    fn the_data_have_their_reasons() {
        let weights = weights();
        assert!(
            0.0 < weights.weight_jobs && 0 < weights.least_jobs && weights.least_jobs < weights.newest_jobs
        );
        for source in [&weights.weight_source, &weights.least_source, &weights.newest_source] {
            assert!(!source.is_empty());
        }
        assert!(steps().steps.iter().all(|step| 0.0 < step.minutes.least), "a logarithm is taken of it");
    }

    #[test]
    fn few_jobs_are_counted_and_change_nothing() {
        let two = past(&[2.0, 3.0], &[]);
        let count = two.step("trace").expect("two jobs");
        assert_eq!((count.n, count.least, count.median, count.most, count.used), (2, 2.0, 2.5, 3.0, false));
        assert_eq!(two.steps(steps()), steps());
        assert_eq!(two.step("mount"), None);
    }

    #[test]
    fn many_alike_take_the_place_of_the_file_and_narrow_it() {
        let told = past(&[2.0; 200], &[]).steps(steps());
        let (new, old) = (told.step("trace").expect("there"), steps());
        let old = old.step("trace").expect("there");
        // The pace of a day comes on top of the minutes again: together they must give what was seen.
        let (pace, expected) = (steps().pace.mean(), 2.0 * old.minutes.usual);
        let mean = new.minutes.mean() * pace;
        assert!((mean / expected - 1.0).abs() < 0.03, "{mean} against {expected}");
        let width = |of: Three| of.most / of.least;
        assert!(width(new.minutes) < width(old.minutes));
        assert!(new.source.ends_with("with 200 jobs of the shop"));
    }

    #[test]
    fn what_the_file_itself_would_give_leaves_it_nearly_as_it_is() {
        let (mut dice, all) = (Dice::new(4), steps());
        let step = all.step("trace").expect("there");
        let draw = |dice: &mut Dice| dice.three(step.minutes) / step.minutes.usual * dice.three(all.pace);
        let factors: Vec<f64> = (0..2_000).map(|_| draw(&mut dice)).collect();
        let new = past(&factors, &[]).steps(steps());
        let new = new.step("trace").expect("there").minutes;
        // The moments of 2,000 draws are off by about one percent.
        for (new, old) in
            [(new.least, step.minutes.least), (new.usual, step.minutes.usual), (new.most, step.minutes.most)]
        {
            assert!((new / old - 1.0).abs() < 0.03, "{new} against {old}");
        }
    }

    #[test]
    fn chances_move_from_the_list_to_the_counts() {
        let list = crate::surprise::surprises().expect("the list is good");
        let of = list.iter().find(|one| one.id == "no-label").expect("there");
        let three = past(&[], &[true, false, true]);
        let count = three.surprise(of).expect("three jobs");
        assert_eq!((count.n_yes, count.n), (2, 3));
        // By hand: (4 p + 2) / 7.
        assert!((count.chance - (4.0 * of.chance + 2.0) / 7.0).abs() < 1e-12);
        let changed = three.surprises(list.clone());
        assert_eq!(changed.iter().zip(&list).filter(|(one, other)| one.chance != other.chance).count(), 1);
    }

    #[test]
    fn a_job_does_not_teach_itself_and_invented_ones_only_invented_ones() {
        let mut all = past(&[1.0, 2.0, 3.0], &[]);
        all.jobs[2].invented = true;
        let of = |job, invented| all.for_job(job, invented).jobs.len();
        assert_eq!((of("0", false), of("9", false), of("9", true), of("2", true)), (1, 2, 1, 0));
    }
}
