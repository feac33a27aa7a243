//! From a job to its assessment.

use crate::settings::Settings;
use crate::statement;
use inference::Judgement;
use model::assessment::Assessment;
use model::job::Job;
use remedy::Findings;

/// Adds verdict, options and statements to a judgement.
pub fn assessment_of(job: &Job, judgement: Judgement, settings: &Settings) -> Assessment {
    let findings = Findings {
        joints: &judgement.joints,
        supply: &judgement.supply,
        causes: &judgement.causes,
        next_checks: &judgement.next_checks,
    };
    let decision = remedy::decide(job, &findings, &settings.policy);
    let statements = statement::statements(job, &judgement, &settings.policy);
    let mut notes = judgement.notes;
    notes.extend(decision.notes);
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
        notes,
        workings: judgement.workings,
        sampling: judgement.sampling,
    }
}
