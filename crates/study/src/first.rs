//! A first look after a new fact, to be looked at until the whole judgement is there: what the draws of the last whole one tell of
//! the fact, or, where they do not carry it, what few draws say of chains that go on from where its chains stood. No paper, list or
//! figure of the shop is made from it.

use crate::assess::{assess_keeping, assess_told};
use crate::settings::{Settings, StudyError};
use inference::{Run, Warm};
use model::assessment::{Assessment, SamplingReport};
use model::job::Job;

/// Sweeps kept a chain in a first look for which chains are run.
pub const FIRST_LOOK_SWEEPS: usize = 80;
/// Largest standard error of a probability that is shown, as in a whole judgement, and largest split R-hat. That one is of
/// resistances and wider than in a whole judgement: few draws seldom bring it to 1.1 even where the probabilities have settled.
const WORST_ERROR: f64 = 0.05;
const WORST_R_HAT: f64 = 1.3;

/// A first look at a job with new facts; `before` is of the last whole judgement of the same job, never of a first look, so that
/// looks one after the other do not drift. `None` where its chains disagree or are too short for the panel, and where the
/// whole one is as short.
///
/// # Errors
/// As [`crate::assess`].
pub fn first_look(
    job: &Job,
    settings: &Settings,
    before: &Warm,
    run: &impl Run,
) -> Result<Option<Assessment>, StudyError> {
    if settings.n_sweeps <= FIRST_LOOK_SWEEPS {
        return Ok(None);
    }
    match assess_told(job, settings, before, run)?.filter(may_be_shown) {
        Some(look) => Ok(Some(look)),
        None => look(job, settings, before, FIRST_LOOK_SWEEPS, run),
    }
}

/// Goes the way of a first look with few draws and no new fact, and leaves nothing. A browser translates code when it first runs:
/// done beforehand, the look itself does not wait for that.
///
/// # Errors
/// As [`crate::assess`].
pub fn rehearse_look(
    job: &Job,
    settings: &Settings,
    before: &Warm,
    run: &impl Run,
) -> Result<(), StudyError> {
    assess_told(job, settings, &before.few(), run).map(|_| ())
}

/// Is a look settled enough to be shown?
pub fn may_be_shown(look: &Assessment) -> bool {
    let SamplingReport { r_hat, worst_standard_error, .. } = look.sampling;
    r_hat <= WORST_R_HAT && worst_standard_error <= WORST_ERROR
}

fn look(
    job: &Job,
    settings: &Settings,
    before: &Warm,
    n_sweeps: usize,
    run: &impl Run,
) -> Result<Option<Assessment>, StudyError> {
    let few = Settings { n_sweeps, ..settings.clone() };
    let (assessment, _) = assess_keeping(job, &few, Some(before), run)?;
    Ok(Some(assessment).filter(may_be_shown))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{DAY, job};
    use inference::OneThread;

    /// How far a first look may be from the whole judgement: any one probability of burnt, and their root mean square over the
    /// joints. Stated before the first one was looked at.
    const ONE_JOINT: f64 = 0.10;
    const ALL_JOINTS: f64 = 0.03;

    fn judged(job: &Job, settings: &Settings) -> (Assessment, Warm) {
        assess_keeping(job, settings, None, &OneThread).expect("it can be judged")
    }

    /// The job without one of its observations.
    fn without(job: &Job, observation: usize) -> Job {
        let mut before = job.clone();
        before.observations.remove(observation);
        before
    }

    #[test]
    fn a_first_look_is_near_the_whole_judgement_or_is_not_shown() {
        let settings = Settings::on(DAY);
        let mut n_shown = 0;
        for idx in 0..3 {
            let job = job(idx);
            let (whole, _) = judged(&job, &settings);
            let n = job.observations.len();
            for left_out in [n - 1, n / 2, 0] {
                let (_, warm) = judged(&without(&job, left_out), &settings);
                let look = first_look(&job, &settings, &warm, &OneThread).expect("it can be judged");
                let Some(look) = look else { continue };
                n_shown += 1;
                let (mut squares, mut most) = (0.0, 0.0_f64);
                for (one, other) in look.joints.iter().zip(&whole.joints) {
                    let away = (one.probability.burnt - other.probability.burnt).abs();
                    assert!(away < ONE_JOINT, "{idx}, {left_out}: {} by {away:.3}", one.joint.id);
                    squares += away * away;
                    most = most.max(away);
                }
                let mean = (squares / whole.joints.len() as f64).sqrt();
                println!(
                    "case {idx} without reading {left_out}: at most {most:.4}, {mean:.4} over all joints"
                );
                assert!(mean < ALL_JOINTS, "{idx}, {left_out}: {mean:.4} over all joints");
            }
        }
        assert!(5 <= n_shown, "of nine most are shown: {n_shown}");
    }

    #[test]
    fn a_look_that_is_too_short_for_the_panel_is_not_shown() {
        let (job, settings) = (job(0), Settings::on(DAY));
        let (_, warm) = judged(&without(&job, 0), &Settings { n_sweeps: 60, ..settings.clone() });
        let hasty = look(&job, &settings, &warm, 20, &OneThread).expect("it can be judged");
        assert_eq!(hasty, None, "eighty draws do not tell the neighbours apart");
        // Nor one before a judgement that is as short.
        let short = Settings { n_sweeps: FIRST_LOOK_SWEEPS, ..settings };
        assert_eq!(first_look(&job, &short, &warm, &OneThread).expect("it can be judged"), None);
    }
}
