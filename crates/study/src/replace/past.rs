//! What a job says of durations and surprises, for the next ones.

use super::course::{StepCourse, step_hours};
use super::price::{make, planned_parts};
use model::DateTime;
use model::advice::ChoiceKind;
use model::job::Job;
use model::replacement::Found;
use remedy::experience::{Past, PastJob};
use remedy::price::times;
use remedy::surprise::{standing, surprises};
use remedy::survey::circuits;
use remedy::work::{Step, option_of_word, steps};
use std::collections::BTreeMap;

/// What a job says; `None`: nothing that counts is on record.
///
/// A step counts where its begin and end were ticked on one day, or where it began when a step that it waits for was
/// done: with two people the step before it in the list may be somebody else's. A step that waits for a visit counts only
/// with its begin. A question counts where somebody answered it by yes or no, and for the job where no circuit is unknown.
pub fn past_job(job: &Job) -> Option<PastJob> {
    let (steps, found, parts) = (step_factors(job), found(job), used_parts(job));
    (!steps.is_empty() || !found.is_empty() || !parts.is_empty()).then(|| PastJob {
        job: job.id.to_string(),
        invented: job.invented,
        steps,
        found,
        option: option_of(job).word().to_owned(),
        parts,
    })
}

/// How many jobs count at most, the last ones.
pub fn past_jobs_most() -> usize {
    remedy::experience::weights().newest_jobs
}

/// What was done: as the day was booked, else a new panel.
fn option_of(job: &Job) -> ChoiceKind {
    let booked = super::course::booked(job).and_then(|outage| option_of_word(&outage.option));
    booked.unwrap_or(ChoiceKind::ReplacePanel)
}

/// Parts that were used with the number that the list of materials says for this job. A part of which nobody wrote a
/// number is left out: it was not counted, which is not none.
fn used_parts(job: &Job) -> BTreeMap<String, (u32, u32)> {
    let mut all: BTreeMap<String, (u32, u32)> = BTreeMap::new();
    for used in &job.replacement.used {
        let sum = &mut all.entry(used.part.clone()).or_default().0;
        *sum = sum.saturating_add(used.count);
    }
    if all.is_empty() {
        return all;
    }
    let Ok(planned) = planned_parts(job, option_of(job)) else { return BTreeMap::new() };
    for line in planned {
        if let Some((_, sum)) = all.get_mut(&line.part) {
            *sum = sum.saturating_add(line.quantity);
        }
    }
    all
}

fn step_factors(job: &Job) -> BTreeMap<String, f64> {
    let none = BTreeMap::new();
    if !job.replacement.ticks.iter().any(|tick| tick.done) {
        return none;
    }
    let option = option_of(job);
    let Ok(made) = make(job, None, None, option, &[], Past::NONE, &mut Vec::new()) else { return none };
    let all = steps();
    let mut factors = none;
    for went in step_hours(job, option) {
        let (StepCourse::Done(Some(from), end), Some(step)) = (went.course, all.step(&went.id)) else {
            continue;
        };
        let planned = step.minutes.usual * f64::from(times(step, &made.design)) * f64::from(step.people);
        let taken = went.hours.unwrap_or_default() * 60.0;
        if from.date() == end.date() && is_timed(job, step, from) && 0.0 < planned && 0.0 < taken {
            factors.insert(step.id.clone(), taken / planned);
        }
    }
    factors
}

/// Is it sure that the step began at this time?
fn is_timed(job: &Job, step: &Step, from: DateTime) -> bool {
    let mut ticks = job.replacement.ticks.iter().filter(|tick| tick.at == from);
    ticks.any(|tick| {
        let own = tick.step == step.id && !tick.done;
        own || tick.done && step.visit.is_none() && step.after.contains(&tick.step)
    })
}

fn found(job: &Job) -> BTreeMap<String, bool> {
    let mut found = BTreeMap::new();
    let Ok(list) = surprises() else { return found };
    let panels = job.installation.panels.iter();
    let slots: Vec<_> =
        panels.flat_map(|panel| circuits(job, &panel.id)).map(|circuit| circuit.slot).collect();
    let all = standing(job, &list, &slots);
    for question in &list {
        let own = || all.iter().filter(|one| one.surprise.id == question.id).map(|one| one.found());
        // One yes is a yes of the job; a no needs that nothing is left open.
        if own().any(|found| found == Found::Yes) {
            found.insert(question.id.clone(), true);
        } else if own().next().is_some() && own().all(|found| found == Found::No) {
            found.insert(question.id.clone(), false);
        }
    }
    found
}
