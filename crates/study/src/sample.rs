//! A job of the demo with a judgement made by hand, for the tests of this crate.

use inference::Judgement;
use model::assessment::{
    Cause, CauseFinding, Class, ComplaintFinding, ConditionProbability, Interval, JointFinding, Reason,
    SamplingReport, SupplyFinding,
};
use model::job::Job;
use model::joint::{JointKind, joints};
use model::{Date, Note};

/// The files of the demo.
pub(crate) const CASES: [(&str, &str); 3] = [
    ("1-burnt-stabs.toml", include_str!("../../../cases/1-burnt-stabs.toml")),
    ("2-overload.toml", include_str!("../../../cases/2-overload.toml")),
    ("3-service-neutral.toml", include_str!("../../../cases/3-service-neutral.toml")),
];

/// A day after all of them.
pub(crate) const DAY: Date = Date::constant(2025, 12, 1);

/// Reads one of the demo's files; it must have no error.
pub(crate) fn job(idx: usize) -> Job {
    let (name, text) = CASES[idx];
    let reading = record::read_job(name, text, DAY);
    let problems: Vec<String> =
        reading.problems.iter().map(|problem| record::render(problem, text)).collect();
    assert!(!reading.problems.iter().any(record::Problem::is_error), "{}", problems.join("\n"));
    reading.job.expect("a file without an error gives a job")
}

/// A judgement made by hand: the stabs of these spaces burnt with 0.9, everything else sound.
pub(crate) fn judgement(job: &Job, burnt_spaces: &[&str]) -> Judgement {
    let interval = |median: f64| Interval { low: median * 0.5, median, high: median * 1.5 };
    let finding = |joint: model::Joint| {
        let space = joint.id.slot().map(|slot| slot.space.to_string());
        let is_burnt = joint.id.kind() == JointKind::Stab
            && space.as_deref().is_some_and(|space| burnt_spaces.contains(&space));
        let burnt = if is_burnt { 0.9 } else { 0.012_345 };
        let reason = Reason {
            text: "face at 48 °C with 13 A: 9 K warmer than a sound joint would make it".to_owned(),
            class: Class::Measured,
            weight_db: 12.34,
            fact: None,
        };
        JointFinding {
            joint,
            probability: ConditionProbability {
                sound: 0.9 - burnt * 0.9,
                worn: 0.1 - burnt * 0.1,
                burnt,
                burnt_standard_error: 0.003,
            },
            prior_burnt: 0.05,
            resistance_mohm: interval(if is_burnt { 10.0 } else { 0.2 }),
            heat_now_w: is_burnt.then(|| interval(1.9)),
            current_now_a: is_burnt.then(|| interval(13.2)),
            heat_rated_w: interval(if is_burnt { 4.4 } else { 0.08 }),
            current_rated_a: 20.0,
            hot_spot_c: is_burnt.then(|| interval(120.0)),
            reasons: if is_burnt { vec![reason] } else { Vec::new() },
            observed: space.is_some(),
        }
    };
    let first = job.complaints.first();
    let cause = |cause, probability| CauseFinding {
        cause,
        probability,
        reasons: vec!["made by hand".to_owned()],
        joints: Vec::new(),
    };
    Judgement {
        joints: joints(&job.installation).into_iter().map(finding).collect(),
        supply: vec![SupplyFinding {
            path: "neutral".to_owned(),
            resistance_mohm: interval(40.0),
            failing: 0.01,
            reasons: Vec::new(),
        }],
        causes: first
            .map(|complaint| ComplaintFinding {
                kind: complaint.kind,
                words: complaint.words.clone(),
                slot: complaint.slot.clone(),
                causes: vec![cause(Cause::BurntStab, 0.8), cause(Cause::Overload, 0.2)],
                separates: None,
            })
            .into_iter()
            .collect(),
        next_checks: Vec::new(),
        unexplained: Vec::new(),
        trends: Vec::new(),
        notes: vec![Note::new("cabinet", "A note from the inference.")],
        workings: Vec::new(),
        sampling: SamplingReport {
            seed: 7,
            n_chains: 4,
            n_draws: 4000,
            n_sweeps: 1000,
            effective_draws: 2345.678,
            r_hat: 1.003_21,
            worst_standard_error: 0.004,
            converged: true,
            problem: None,
        },
        model_version: "by hand".to_owned(),
    }
}
