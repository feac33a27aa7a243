//! What openings teach: signs and odds as counts, updated by what was found (beta-binomial), and a score of predicted
//! against found. Pure functions; whoever keeps the jobs calls them.

use crate::priors::Priors;
use model::evidence::{Observed, Sign, SignScope};
use model::job::{Condition, Job};
use model::joint::JointKind;
use std::collections::BTreeMap;

/// How many observations a chance in the data files is taken to be worth until openings replace it. JUDGEMENT: a chance
/// that somebody guessed weighs as much as ten joints that somebody opened.
pub const WORTH: f64 = 10.0;

/// A chance with what stands behind it: a beta law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Counted {
    /// Chance by the data file.
    pub assumed: f64,
    /// Openings in which it was so.
    pub n_yes: u32,
    /// Openings that tell about it.
    pub n: u32,
}

impl Counted {
    /// Nothing but the assumed chance.
    pub const fn assumed(chance: f64) -> Self {
        Counted { assumed: chance, n_yes: 0, n: 0 }
    }

    /// Mean of the beta law: the assumed chance is worth [`WORTH`] openings.
    pub fn mean(&self) -> f64 {
        (self.assumed * WORTH + f64::from(self.n_yes)) / (WORTH + f64::from(self.n))
    }

    /// Standard deviation of the beta law.
    pub fn spread(&self) -> f64 {
        let (mean, worth) = (self.mean(), WORTH + f64::from(self.n));
        libm::sqrt(mean * (1.0 - mean) / (worth + 1.0))
    }

    fn count(&mut self, yes: bool) {
        self.n += 1;
        self.n_yes += u32::from(yes);
    }
}

/// What openings say of the signs: by sign, kind of joint and condition found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Learned {
    signs: BTreeMap<(Sign, &'static str, Condition), Counted>,
    n_openings: u32,
}

impl Learned {
    /// Counts every sign that was looked for at the very place of a joint that was later opened, over all jobs. A sign seen at a
    /// place with two opened joints counts for both: it is not known which of them showed it.
    pub fn from_jobs<'a>(priors: &Priors, jobs: impl IntoIterator<Item = &'a Job>) -> Self {
        let mut learned = Learned::default();
        for job in jobs {
            for opening in &job.openings {
                learned.n_openings += 1;
                let kind = opening.joint.kind();
                let Some(slot) = opening.joint.slot() else { continue };
                for observation in job.observations.iter().filter(|observation| observation.at <= opening.at)
                {
                    let Observed::Sign(reading) = &observation.what else { continue };
                    if reading.scope != SignScope::Slot(slot.clone()) {
                        continue;
                    }
                    let Some(assumed) = assumed(priors, reading.sign, kind, opening.found) else { continue };
                    learned
                        .signs
                        .entry((reading.sign, kind.word(), opening.found))
                        .or_insert(Counted::assumed(assumed))
                        .count(reading.present);
                }
            }
        }
        learned
    }

    /// Joints that were opened.
    pub const fn n_openings(&self) -> u32 {
        self.n_openings
    }

    /// Chance of a sign at a joint of a kind in a condition, with its counts; `None` where the data files know none.
    pub fn sign(
        &self,
        priors: &Priors,
        sign: Sign,
        kind: JointKind,
        condition: Condition,
    ) -> Option<Counted> {
        let counted = self.signs.get(&(sign, kind.word(), condition)).copied();
        counted.or_else(|| assumed(priors, sign, kind, condition).map(Counted::assumed))
    }

    /// All that was counted, in order.
    pub fn counted(&self) -> impl Iterator<Item = (Sign, &'static str, Condition, Counted)> {
        self.signs.iter().map(|(&(sign, kind, condition), &counted)| (sign, kind, condition, counted))
    }
}

fn assumed(priors: &Priors, sign: Sign, kind: JointKind, condition: Condition) -> Option<f64> {
    let shows = priors.sign(sign).shows.get(kind.word())?;
    let other = priors.sign(sign).elsewhere.slot;
    let own = match condition {
        Condition::Sound => shows[0],
        Condition::Worn => shows[1],
        Condition::Burnt => shows[2],
    };
    // What is counted is the sign at the place, from whatever it came.
    Some(1.0 - (1.0 - own) * (1.0 - other))
}

/// Predicted against found over opened joints.
#[derive(Debug, Clone, PartialEq)]
pub struct Score {
    /// Joints.
    pub n: usize,
    /// Burnt joints that the probabilities add up to.
    pub expected: f64,
    /// Joints found burnt.
    pub found: usize,
    /// Mean squared difference of probability and outcome.
    pub brier: f64,
    /// Brier score of giving every joint the share found: what a probability must beat.
    pub brier_of_share: f64,
    /// Mean of −ln of the probability given to what was found.
    pub log_loss: f64,
    /// By tenth of the probability: joints, mean given, found burnt.
    pub tenths: Vec<(usize, f64, usize)>,
}

impl Score {
    /// Scores probabilities of burnt against whether it was; `None` without any.
    pub fn new(pairs: &[(f64, bool)]) -> Option<Self> {
        if pairs.is_empty() {
            return None;
        }
        let n = pairs.len() as f64;
        let found = pairs.iter().filter(|(_, burnt)| *burnt).count();
        let share = found as f64 / n;
        let outcome = |burnt: bool| if burnt { 1.0 } else { 0.0 };
        let mut tenths = vec![(0, 0.0, 0); 10];
        for &(given, burnt) in pairs {
            let cell = &mut tenths[((given * 10.0) as usize).min(9)];
            cell.0 += 1;
            cell.1 += given;
            cell.2 += usize::from(burnt);
        }
        for cell in &mut tenths {
            cell.1 /= f64::max(cell.0 as f64, 1.0);
        }
        let square = |given: f64, burnt: bool| (given - outcome(burnt)) * (given - outcome(burnt));
        let chance = |given: f64, burnt: bool| if burnt { given } else { 1.0 - given }.max(1e-6);
        Some(Score {
            n: pairs.len(),
            expected: pairs.iter().map(|&(given, _)| given).sum(),
            found,
            brier: pairs.iter().map(|&(given, burnt)| square(given, burnt)).sum::<f64>() / n,
            brier_of_share: share * (1.0 - share),
            log_loss: -pairs.iter().map(|&(given, burnt)| libm::log(chance(given, burnt))).sum::<f64>() / n,
            tenths,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testjob::{eight_spaces, slot};
    use model::FactId;
    use model::job::Opening;
    use model::joint::JointId;

    #[test]
    fn an_opening_moves_the_chance_by_its_count() {
        let priors = Priors::built_in().expect("the files in data/");
        let mut job = eight_spaces();
        // The job says: discoloration looked for at space 5 and not seen.
        job.openings.push(Opening {
            fact: FactId::new("opened"),
            at: job.observations[0].at,
            joint: JointId::Stab(slot(5)),
            found: Condition::Burnt,
            words: String::new(),
        });
        let learned = Learned::from_jobs(&priors, [&job, &job]);
        let of = |condition| learned.sign(&priors, Sign::Discoloration, JointKind::Stab, condition);
        let counted = of(Condition::Burnt).expect("the file knows it");
        assert_eq!((counted.n_yes, counted.n, learned.n_openings()), (0, 2, 2));
        // Ten assumed observations and two that say no.
        assert!((counted.mean() - counted.assumed * 10.0 / 12.0).abs() < 1e-12);
        let untouched = of(Condition::Sound).expect("the file knows it");
        assert!((untouched.mean() - untouched.assumed).abs() < 1e-12 && untouched.n == 0);
        assert!(counted.spread() < Counted::assumed(counted.assumed).spread());
        assert_eq!(learned.counted().count(), 1);
    }

    #[test]
    fn a_score_worked_by_hand() {
        let score = Score::new(&[(0.8, true), (0.3, false), (0.1, false), (0.4, true)]).expect("four joints");
        assert_eq!((score.n, score.found), (4, 2));
        assert!((score.expected - 1.6).abs() < 1e-12);
        assert!((score.brier - (0.04 + 0.09 + 0.01 + 0.36) / 4.0).abs() < 1e-12);
        assert!((score.brier_of_share - 0.25).abs() < 1e-12);
        let by_hand = -[0.8, 0.7, 0.9, 0.4].map(libm::log).iter().sum::<f64>() / 4.0;
        assert!((score.log_loss - by_hand).abs() < 1e-12);
        assert_eq!(score.tenths[8], (1, 0.8, 1));
        assert_eq!(Score::new(&[]), None);
    }
}
