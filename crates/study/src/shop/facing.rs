//! What had been predicted for each joint before it was opened, beside what was found.

use super::notes::bus_words;
use super::share::Share;
use crate::assess::assess_with;
use crate::settings::{Settings, StudyError};
use inference::Run;
use inference::learning::{Experience, Score};
use model::Date;
use model::assessment::ConditionProbability;
use model::job::{Condition, Job, Opening};
use record::{Body, Fact};
use std::sync::Arc;

/// A joint that was opened, with what was thought of it before.
#[derive(Debug, Clone, PartialEq)]
pub struct Faced {
    /// The job.
    pub job: String,
    /// Invented?
    pub invented: bool,
    /// When it was opened.
    pub day: Date,
    /// The joint, in words.
    pub joint: String,
    /// Bus of its panel in words, never a make.
    pub bus: String,
    /// Probabilities from the facts before the first opening of the job.
    pub given: ConditionProbability,
    /// What was found.
    pub found: Condition,
}

/// How predictions and findings stand to each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Counts and scores of *burnt* over all joints.
    pub score: Score,
    /// The same, after each day on which joints were opened.
    pub trend: Vec<Trend>,
    /// What was found, by bus.
    pub by_bus: Vec<BusCount>,
}

/// The log score up to a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// The day.
    pub day: Date,
    /// Joints opened so far.
    pub n: usize,
    /// Mean of −ln of the probability that was given to what was found, burnt or not; 0.693 is a coin.
    pub log_loss: f64,
}

/// What was found at panels of one description.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BusCount {
    /// The description.
    pub bus: String,
    /// Found burnt, of all that were opened.
    pub burnt: Share,
    /// Found worn, of all that were opened.
    pub worn: Share,
    /// Jobs behind them, in the order of their names; as many as were asked for.
    pub jobs: Vec<Arc<str>>,
    /// How many there are.
    pub n_jobs: usize,
}

/// Openings that stand on a proof.
pub fn openings_of(job: &Job) -> Vec<Opening> {
    crate::plan::trusted(job).openings
}

/// The facts before the first opening, as they were then: nothing that was seen, read or corrected at it or later. `None`
/// where nothing was opened.
pub fn before_openings(facts: &[Fact]) -> Option<Vec<Fact>> {
    let opened = facts.iter().filter(|fact| matches!(fact.body, Body::Opening(_)));
    let first = opened.map(|fact| fact.at).min()?;
    let before = |fact: &&Fact| fact.at < first && !matches!(fact.body, Body::Opening(_));
    Some(facts.iter().filter(before).cloned().collect())
}

/// Judges a job as it was before its first opening, by the program's own chances, and puts what was found beside it: what the
/// shop counted is counted on these very openings, so it must not be scored on them. `job` is what all `facts` come to. Empty where nothing was opened, or the facts before it make no job that can be judged.
///
/// # Errors
/// The inference refuses the job as it was.
pub fn face(
    name: &str,
    facts: &[Fact],
    job: &Job,
    settings: &Settings,
    run: &impl Run,
) -> Result<Vec<Faced>, StudyError> {
    let openings = openings_of(job);
    let (Some(before), Some(first)) = (before_openings(facts), openings.first()) else {
        return Ok(Vec::new());
    };
    let Some(was) = record::settle(&before, None).job else { return Ok(Vec::new()) };
    if was.installation.panels.iter().all(|panel| panel.breakers.is_empty()) {
        return Ok(Vec::new());
    }
    let settings = Settings { day: first.at.date(), experience: Experience::default(), ..settings.clone() };
    let assessment = assess_with(&was, &settings, run)?;
    let faced = openings.iter().filter_map(|opening| {
        let finding = assessment.joints.iter().find(|finding| finding.joint.id == opening.joint)?;
        Some(Faced {
            job: name.to_owned(),
            invented: job.invented,
            day: opening.at.date(),
            joint: opening.joint.to_string(),
            bus: bus_words(job, &opening.joint),
            given: finding.probability,
            found: opening.found,
        })
    });
    Ok(faced.collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{CASES, DAY};

    #[test]
    fn a_prediction_knows_nothing_of_the_opening_or_of_what_came_after_it() {
        let (name, text) = CASES[0];
        let reading = record::read_job(name, text, DAY);
        let mut facts = reading.facts;
        assert_eq!(before_openings(&facts), None);
        let n = facts.len();
        let last = facts.iter().map(|fact| fact.at).max().expect("facts");
        let line = |id: &str, day: &str, body: &str| {
            let json = format!(r#"{{"v":1,"id":"{id}","at":"{day}T09:00:00","by":"JD","body":{body}}}"#);
            Fact::from_json(&json).expect("a fact")
        };
        assert!(last.date() < Date::constant(2026, 2, 1));
        facts.push(line(
            "o1",
            "2026-02-02",
            r#"{"kind":"opening","joint":"main:stab:15","found":"burnt","words":""}"#,
        ));
        facts.push(line("d1", "2026-02-03", r#"{"kind":"decision","words":"later","declined":false}"#));
        let before = before_openings(&facts).expect("one was opened");
        assert_eq!(before.len(), n);
    }

    /// Without the proof that the bus is dead on which the joints are, what was opened does not count.
    #[test]
    fn what_was_opened_without_proof_does_not_count() {
        let text = include_str!("../../../../docs/worked-example/job.toml");
        let unproven = text.replacen("part = \"main/lower\"", "part = \"main\"", 1);
        assert_ne!(unproven, text);
        let reading = record::read_job("job.toml", &unproven, Date::constant(2026, 12, 1));
        assert_eq!(openings_of(&reading.job.expect("a job")), []);
    }

    /// The invented house of the worked example: judged as it was before its stabs were opened, each opening that stands
    /// on a proof has its prediction, and what came after the opening changes none of them.
    #[test]
    fn the_worked_example_faces_its_openings() {
        let text = include_str!("../../../../docs/worked-example/job.toml");
        let reading = record::read_job("job.toml", text, Date::constant(2026, 12, 1));
        let job = reading.job.expect("a job");
        let settings = Settings { n_sweeps: 30, n_chains: 2, ..Settings::on(DAY) };
        let faced = face("w", &reading.facts, &job, &settings, &crate::OneThread).expect("it can be judged");
        assert_eq!(faced.len(), openings_of(&job).len());
        assert!(!faced.is_empty(), "{:?}", crate::not_proven(&job));
        for one in &faced {
            let given = one.given;
            assert!((given.sound + given.worn + given.burnt - 1.0).abs() < 1e-9, "{one:?}");
        }
        let mut later = reading.facts.clone();
        later.retain(|fact| {
            before_openings(&reading.facts).is_some_and(|before| before.contains(fact))
                || matches!(
                    fact.body,
                    Body::Opening(_)
                        | Body::Proof(_)
                        | Body::Cut(_)
                        | Body::Handle(_)
                        | Body::Source(_)
                        | Body::Exposure(_)
                )
        });
        let fewer = face("w", &later, &job, &settings, &crate::OneThread).expect("it can be judged");
        assert_eq!(fewer, faced);
    }
}
