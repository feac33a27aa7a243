//! From a job to its assessment.

use crate::settings::{Settings, StudyError};
use crate::statement;
use inference::{JudgeOptions, Judgement, OneThread, Run, Warm};
use model::assessment::Assessment;
use model::job::Job;
use remedy::Findings;

/// Assesses a job on the calling thread.
///
/// # Errors
/// [`StudyError::Judge`] where the inference refuses the job.
pub fn assess(job: &Job, settings: &Settings) -> Result<Assessment, StudyError> {
    assess_with(job, settings, &OneThread)
}

/// Assesses a job, its parts run by `run`. Who runs them changes no result.
///
/// # Errors
/// As [`assess`].
pub fn assess_with(job: &Job, settings: &Settings, run: &impl Run) -> Result<Assessment, StudyError> {
    assess_keeping(job, settings, None, run).map(|(assessment, _)| assessment)
}

/// Assesses a job and keeps where its chains stood. With what was kept of the same job before a new fact, the chains go on from
/// there, and need fewer sweeps; the result then depends on what was judged before, too.
///
/// # Errors
/// As [`assess`].
pub fn assess_keeping(
    asked: &Job,
    settings: &Settings,
    before: Option<&Warm>,
    run: &impl Run,
) -> Result<(Assessment, Warm), StudyError> {
    // What was done without proof is kept and shown; nothing is concluded from it.
    let trusted = crate::plan::trusted(asked);
    let job = &trusted;
    let options = options(settings);
    let refused = |source| StudyError::Judge { job: job.id.clone(), source };
    let (judgement, kept) = match before {
        Some(warm) => {
            let problem = inference::prepare_warm(job, &options, warm, run).map_err(refused)?;
            let chains = run.run(problem.n_chains(), |number| problem.run_chain_warm(number, warm));
            (problem.conclude(&chains, run), problem.keep_warm(chains))
        }
        None => {
            let problem = inference::prepare(job, &options, run).map_err(refused)?;
            let chains = run.run(problem.n_chains(), |number| problem.run_chain(number));
            problem.settle(chains, run)
        }
    };
    Ok((assessment_of(asked, job, judgement, settings), kept))
}

/// Assesses a job by what the draws of a judgement before some new facts tell of them; no chain is run. `None` where they do not
/// carry it.
///
/// # Errors
/// As [`assess`].
pub fn assess_told(
    asked: &Job,
    settings: &Settings,
    before: &Warm,
    run: &impl Run,
) -> Result<Option<Assessment>, StudyError> {
    let trusted = crate::plan::trusted(asked);
    let refused = |source| StudyError::Judge { job: trusted.id.clone(), source };
    let Some((problem, told)) =
        inference::prepare_told(&trusted, &options(settings), before, run).map_err(refused)?
    else {
        return Ok(None);
    };
    Ok(Some(assessment_of(asked, &trusted, problem.conclude_told(&told, run), settings)))
}

/// What the inference is asked with.
pub(crate) fn options(settings: &Settings) -> JudgeOptions {
    JudgeOptions {
        seed: settings.seed,
        n_sweeps: settings.n_sweeps,
        n_chains: settings.n_chains,
        experience: settings.experience.clone(),
    }
}

/// Adds verdict, options and statements to the judgement of what is trusted of a job, and remarks on the rest.
pub(crate) fn assessment_of(asked: &Job, job: &Job, judgement: Judgement, settings: &Settings) -> Assessment {
    let findings = Findings {
        joints: &judgement.joints,
        supply: &judgement.supply,
        causes: &judgement.causes,
        next_checks: &judgement.next_checks,
        unexplained: &judgement.unexplained,
        trends: &judgement.trends,
    };
    let job = &*job.standing();
    let decision = remedy::decide(job, &findings, &settings.policy);
    let statements = statement::statements(job, &judgement, &settings.policy);
    let mut notes = judgement.notes;
    notes.extend(decision.notes);
    notes.extend(crate::plan::remarks(asked));
    Assessment {
        job: job.id.clone(),
        day: settings.day,
        model_version: judgement.model_version,
        joints: judgement.joints,
        supply: judgement.supply,
        causes: judgement.causes,
        statements,
        verdict: decision.verdict,
        options: decision.options,
        next_checks: judgement.next_checks,
        unexplained: judgement.unexplained,
        set_against: remedy::set_against(asked),
        trends: judgement.trends,
        notes,
        workings: judgement.workings,
        sampling: judgement.sampling,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{DAY, job};
    use model::Date;

    /// Runs the chains in the opposite order, as a busy pool of threads might.
    struct Backwards;

    impl Run for Backwards {
        fn run<T: Send>(&self, n_chains: usize, chain: impl Fn(usize) -> T + Send + Sync) -> Vec<T> {
            let mut results: Vec<T> = (0..n_chains).rev().map(chain).collect();
            results.reverse();
            results
        }
    }

    #[test]
    fn who_runs_the_chains_changes_nothing() {
        let job = job(1);
        let settings = Settings { n_sweeps: 40, ..Settings::on(DAY) };
        let forwards = assess(&job, &settings).expect("the job can be judged");
        let backwards = assess_with(&job, &settings, &Backwards).expect("the job can be judged");
        assert_eq!(forwards, backwards);
        assert_eq!((forwards.job.as_str(), forwards.day), ("Q-0121", DAY));
    }

    /// Stab 16 of the worked example was near one half before it was opened; without the proof it still is.
    #[test]
    fn what_was_found_on_a_proof_is_what_is_told() {
        let text = include_str!("../../../docs/worked-example/job.toml");
        let unproven = text.replacen("part = \"main/lower\"", "part = \"main\"", 1);
        assert_ne!(unproven, text);
        let told = |text: &str| {
            let reading = record::read_job("job.toml", text, Date::constant(2026, 12, 1));
            let settings = Settings { n_sweeps: 60, n_chains: 2, ..Settings::on(DAY) };
            assess(&reading.job.expect("a job"), &settings).expect("the job can be judged")
        };
        let of = |assessment: &Assessment, joint: &str| {
            let found = assessment.joints.iter().find(|finding| finding.joint.id.to_string() == joint);
            found.expect("the joint is there").clone()
        };
        let (proven, not) = (told(text), told(&unproven));
        for joint in ["main:stab:15", "main:stab:16"] {
            let found = of(&proven, joint);
            assert!(0.9 < found.probability.burnt, "{joint}: {:?}", found.probability);
            let said = "opened on 2025-12-09, found burnt";
            assert!(found.reasons.iter().any(|reason| reason.text == said), "{:?}", found.reasons);
            assert!(of(&not, joint).reasons.iter().all(|reason| reason.text != said));
        }
        assert!(0.6 < of(&proven, "main:stab:19").probability.worn);
        assert!(of(&not, "main:stab:16").probability.burnt < 0.9);
        let says = |text: &str| proven.statements.iter().any(|statement| statement.text.contains(text));
        assert!(says("was found burnt. finger pitted") && says("was found worn."));
    }

    /// What was read before lasting work presses no more, is told to nobody as it stands, and the record still has it.
    #[test]
    fn what_was_read_before_lasting_work_presses_no_more() {
        let text = include_str!("../../../docs/worked-example/job.toml");
        let told = |more: &str| {
            let reading = record::read_job("job.toml", &format!("{text}{more}"), Date::constant(2026, 12, 1));
            assert!(reading.problems.is_empty(), "{:?}", reading.problems);
            let settings = Settings { n_sweeps: 60, n_chains: 2, ..Settings::on(DAY) };
            let job = reading.job.expect("a job");
            (assess(&job, &settings).expect("the job can be judged"), job)
        };
        let work = "\n[[work]]\nkind = \"lasting\"\nat = 2026-01-12T09:00\nwords = \"new panel section\"\nspaces = [15, 16, 19]\n";
        let ((before, job), (after, worked)) = (told(""), told(work));
        let of = |assessment: &Assessment| {
            let told = &assessment.set_against;
            let at = |seen: &&model::evidence::Observation| {
                seen.what.tells_of().is_some_and(|slot| slot.space.to_string() == "15")
            };
            job.observations.iter().filter(at).filter(|seen| told.stands(&seen.fact)).count()
        };
        assert!(0 < of(&before));
        assert_eq!(of(&after), 0);
        let presses = |assessment: &Assessment| {
            assessment.verdict.rules.iter().filter(|rule| rule.rule == "burnt stab").count()
        };
        assert_eq!((presses(&before), presses(&after)), (1, 0), "{:?}", after.verdict);
        assert!(before.verdict.urgency < after.verdict.urgency, "{:?}", after.verdict);
        let says = |told: &Assessment, text: &str| told.statements.iter().any(|one| one.text.contains(text));
        for text in [
            "Made anew since, on 2026-01-12.",
            "nothing was read at spaces 15, 16 and 19: that it holds is not",
        ] {
            assert_eq!((says(&before, text), says(&after, text)), (false, true), "{text}");
        }
        assert!(after.verdict.summary.ends_with("that it holds is not shown."), "{}", after.verdict.summary);
        let letter = papers::owner_letter(&worked, &after).text().replace("\n  ", " ");
        assert!(letter.contains("It was made new on January 12, 2026."), "{letter}");
        assert!(!letter.contains("fishy"), "the smell is over with what was burnt: {letter}");
    }

    #[test]
    fn a_refusal_of_the_inference_names_the_job() {
        let mut job = job(1);
        job.installation.panels.clear();
        let refusal = assess(&job, &Settings::on(DAY)).expect_err("there is nothing to judge");
        assert!(refusal.to_string().starts_with("the job `Q-0121` cannot be judged: "), "{refusal}");
    }
}
