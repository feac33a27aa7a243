//! The plan until the replacement and what is due, as both faces ask for them.

use model::assessment::Assessment;
use model::job::{Job, Work};
use model::plan::Due;
use model::{Date, DateTime, FactId, JointId};
use remedy::{Findings, PlanDraft, Policy};

/// The plan that judgement, record and policy suggest on a day. A person confirms or changes it.
pub fn propose_plan(job: &Job, assessment: &Assessment, policy: &Policy, day: Date) -> PlanDraft {
    let findings = Findings {
        joints: &assessment.joints,
        supply: &assessment.supply,
        causes: &assessment.causes,
        next_checks: &assessment.next_checks,
    };
    remedy::propose(job, &findings, policy, day)
}

/// Everything of a job that has a day and is not settled, earliest first.
pub fn board(job: &Job, policy: &Policy) -> Vec<Due> {
    remedy::board(job, policy)
}

/// Something done that needs a dead part, without the proof on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotProven {
    /// The fact.
    pub fact: FactId,
    /// What it says was done, in a few words.
    pub what: String,
    /// What is missing, in plain sentences.
    pub missing: Vec<String>,
}

/// Openings and moves on record whose parts did not count as dead at that moment. They are kept and shown, and nothing
/// is concluded from them.
pub fn not_proven(job: &Job) -> Vec<NotProven> {
    let mut all = Vec::new();
    for opening in &job.openings {
        let missing = remedy::gate::closed(job, &opening.joint, Some(moment(opening.at)));
        if !missing.is_empty() {
            let label = remedy::words::joint_label(&job.installation, &opening.joint);
            all.push(NotProven { fact: opening.fact.clone(), what: format!("opened: {label}"), missing });
        }
    }
    for work in job.work.iter().filter(|work| !work.moved_to.is_empty()) {
        let missing = closed_move(job, work);
        if !missing.is_empty() {
            all.push(NotProven { fact: work.fact.clone(), what: "a circuit moved".to_owned(), missing });
        }
    }
    all
}

fn closed_move(job: &Job, work: &Work) -> Vec<String> {
    let stabs = work.slots.iter().chain(&work.moved_to).map(|slot| JointId::Stab(slot.clone()));
    let at = Some(moment(work.at));
    let mut missing: Vec<String> = stabs.flat_map(|stab| remedy::gate::closed(job, &stab, at)).collect();
    missing.dedup();
    missing
}

/// A day without a time stands for all of it.
fn moment(at: DateTime) -> DateTime {
    if at.time() == DateTime::default().time() { at.date().at(23, 59, 59, 0) } else { at }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{DAY, job};
    use crate::settings::Settings;

    #[test]
    fn every_line_that_is_proposed_has_its_words() {
        let words = papers::PlanWords::new();
        for number in 1..=2 {
            let job = job(number);
            let settings = Settings { n_sweeps: 40, ..Settings::on(DAY) };
            let assessment = crate::assess(&job, &settings).expect("the job can be judged");
            let draft = propose_plan(&job, &assessment, &settings.policy, DAY);
            let known = |all: &[(String, String)], id: &str| all.iter().any(|(one, _)| one == id);
            assert!(draft.limits.iter().all(|(id, _)| known(&words.limits, id)), "{:?}", draft.limits);
            assert!(draft.watch.iter().all(|id| known(&words.watch, id)), "{:?}", draft.watch);
            assert!(draft.slip.iter().all(|id| known(&words.slip, id)), "{:?}", draft.slip);
            assert!(DAY < draft.recheck && draft.recheck <= draft.expires);
        }
    }
}
