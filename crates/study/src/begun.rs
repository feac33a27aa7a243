//! A judgement that was begun and whose chains are run elsewhere: on other threads, or in other instances of the program that
//! began the same judgement. The result is that of [`crate::assess`] to the last digit.

use crate::assess::{assessment_of, options};
use crate::settings::{Settings, StudyError};
use inference::{Draws, OneThread, Problem, Warm};
use model::assessment::Assessment;
use model::job::Job;

/// A judgement that was begun.
#[derive(Debug)]
pub struct Begun {
    asked: Job,
    trusted: Job,
    settings: Settings,
    problem: Problem,
}

impl Begun {
    /// Begins the judgement of a job.
    ///
    /// # Errors
    /// As [`crate::assess`].
    pub fn of(asked: &Job, settings: &Settings) -> Result<Begun, StudyError> {
        let trusted = crate::plan::trusted(asked);
        let problem = inference::prepare(&trusted, &options(settings), &OneThread)
            .map_err(|source| StudyError::Judge { job: trusted.id.clone(), source })?;
        Ok(Begun { asked: asked.clone(), trusted, settings: settings.clone(), problem })
    }

    /// Runs one chain and gives its draws as bytes, for [`Begun::conclude`] in the same build of the program.
    pub fn chain(&self, number: usize) -> Vec<u8> {
        self.problem.run_chain(number).to_bytes()
    }

    /// Concludes from the chains, in the order of their numbers, and says where they stood. `None`: these are not chains of this
    /// judgement.
    pub fn conclude(&self, chains: &[Vec<u8>]) -> Option<(Assessment, Warm)> {
        let chains: Vec<Draws> =
            chains.iter().map(|chain| Draws::from_bytes(chain)).collect::<Option<_>>()?;
        if !self.problem.has_such(&chains) {
            return None;
        }
        let (judgement, warm) = self.problem.clone().settle(chains, &OneThread);
        let assessment = assessment_of(&self.asked, &self.trusted, judgement, &self.settings);
        Some((assessment, warm))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{DAY, job};

    #[test]
    fn chains_that_were_run_elsewhere_give_the_same_judgement() {
        for idx in 0..3 {
            let (job, settings) = (job(idx), Settings { n_sweeps: 40, ..Settings::on(DAY) });
            let whole =
                crate::assess_keeping(&job, &settings, None, &crate::OneThread).expect("it can be judged");
            let begun = || Begun::of(&job, &settings).expect("it can be judged");
            // Each by one that began the judgement itself, the last one first.
            let mut chains: Vec<Vec<u8>> = (0..4).rev().map(|number| begun().chain(number)).collect();
            chains.reverse();
            assert_eq!(begun().conclude(&chains), Some(whole));
            let other = Settings { n_sweeps: 41, ..settings.clone() };
            assert_eq!(Begun::of(&job, &other).expect("it can be judged").conclude(&chains), None);
            assert_eq!(begun().conclude(&chains[..3]), None);
        }
    }
}
