//! The experience of a shop, counted from the jobs whose joints were opened.

use super::facing::{before_openings, openings_of};
use crate::assess::assess_with;
use crate::settings::{Settings, StudyError};
use inference::learning::{Experience, Faced, names_of};
use inference::{Priors, Run};
use model::job::{Condition, Job, Opening};
use record::Fact;

/// A job that was opened.
#[derive(Debug, Clone)]
pub struct OpenedJob {
    /// As it is now, with all its evidence.
    pub job: Job,
    /// As it was before the first opening.
    pub before: Job,
    /// Its openings that stand on a proof.
    pub openings: Vec<Opening>,
}

impl OpenedJob {
    /// Of a job and its facts; `None` where nothing was opened on a proof, or there was no panel to judge before.
    pub fn of(job: &Job, facts: &[Fact]) -> Option<OpenedJob> {
        let openings = openings_of(job);
        if openings.is_empty() {
            return None;
        }
        let before = record::settle(&before_openings(facts)?, None).job?;
        let described = before.installation.panels.iter().any(|panel| !panel.breakers.is_empty());
        described.then(|| OpenedJob { job: job.clone(), before, openings })
    }
}

/// Counts what openings say. First the signs; then each job is judged as it was before its first opening, with the signs as
/// counted, and the odds are set against what was found. Invented jobs count only where no others are there. `told` hears the number
/// of jobs done.
///
/// # Errors
/// The inference refuses a job, or a data file of the program is broken.
pub fn learn(
    opened: &[OpenedJob],
    settings: &Settings,
    run: &impl Run,
    mut told: impl FnMut(usize),
) -> Result<Experience, StudyError> {
    let all_invented = opened.iter().all(|one| one.job.invented);
    let counted: Vec<&OpenedJob> = opened.iter().filter(|one| all_invented || !one.job.invented).collect();
    let jobs: Vec<Job> =
        counted.iter().map(|one| Job { openings: one.openings.clone(), ..one.job.clone() }).collect();
    let mut experience = Experience::of_signs(&Priors::built_in()?, &jobs);
    let mut faced = Vec::new();
    for (number, one) in counted.iter().enumerate() {
        let settings = Settings { experience: experience.clone(), ..settings.clone() };
        let assessment = assess_with(&one.before, &settings, run)?;
        faced.extend(one.openings.iter().filter_map(|opening| {
            let finding = assessment.joints.iter().find(|finding| finding.joint.id == opening.joint)?;
            Some(Faced {
                names: names_of(&one.before.installation, &opening.joint),
                given: finding.probability.burnt,
                burnt: opening.found == Condition::Burnt,
            })
        }));
        told(number + 1);
    }
    experience.count_odds(&faced);
    experience.made = settings.day.to_string();
    Ok(experience)
}
