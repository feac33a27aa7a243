//! Burnt probabilities against an independent sampler (`posterior/`: NumPyro, written from the formulas).

use inference::{JudgeOptions, Judgement, judge};
use model::Date;
use model::job::Job;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// One line of a fixture.
struct Reference {
    prior_burnt: f64,
    burnt: f64,
    error: f64,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("posterior")
}

fn fixture(panel: &str) -> BTreeMap<String, Reference> {
    let text = fs::read_to_string(folder().join(format!("{panel}.csv"))).expect("the fixture is there");
    text.lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |at: usize| cells[at].parse().expect("the fixture holds numbers");
            (cells[0].to_owned(), Reference { prior_burnt: number(1), burnt: number(4), error: number(5) })
        })
        .collect()
}

fn job(panel: &str) -> Job {
    let text = fs::read_to_string(folder().join(format!("{panel}.toml"))).expect("the panel is there");
    let reading = record::read_job(panel, &text, Date::constant(2026, 1, 1));
    let problems = format!("{panel} cannot be read: {:?}", reading.problems);
    reading.job.expect(&problems)
}

fn judgement(job: &Job) -> Judgement {
    judge(job, &JudgeOptions { seed: 7, n_sweeps: 3_000, n_chains: 4, ..JudgeOptions::default() })
        .expect("a panel to judge")
}

/// Compares every joint and every part of the supply; prints the table, then fails on the worst.
fn compare(panel: &str) {
    let (reference, judgement) = (fixture(panel), judgement(&job(panel)));
    let versions = fs::read_to_string(folder().join(format!("{panel}.json"))).expect("what made it is there");
    let versions: serde_json::Value = serde_json::from_str(&versions).expect("it is JSON");
    for version in versions["priors"].as_array().expect("versions of three data files") {
        let version = version.as_str().expect("a version is text");
        let stands = judgement.model_version.contains(version);
        assert!(stands, "made with other data files: run posterior.py again");
    }
    let mut failures = Vec::new();
    let mut largest = (0.0, String::new());
    for finding in &judgement.joints {
        let name = finding.joint.id.to_string();
        let want = &reference[&name];
        assert!((finding.prior_burnt - want.prior_burnt).abs() < 1e-6, "{panel} {name}: prior differs");
        let found = finding.probability;
        let sampling = libm::hypot(found.burnt_standard_error, want.error);
        let difference = found.burnt - want.burnt;
        println!(
            "{panel} {name:22} ours {:.4} ± {:.4}, reference {:.4} ± {:.4}, difference {difference:+.4}",
            found.burnt, found.burnt_standard_error, want.burnt, want.error
        );
        let spread = found.burnt * (1.0 - found.burnt);
        if 0.05 < spread {
            // Draws of the condition itself that would have the same error.
            let worth = |error: f64| spread / (error * error);
            println!("  worth {:.0} and {:.0} draws", worth(found.burnt_standard_error), worth(want.error));
        }
        if largest.0 < difference.abs() {
            largest = (difference.abs(), name.clone());
        }
        if 0.02 + 2.0 * sampling < difference.abs() {
            failures.push(format!("{name}: {:.4} against {:.4}", found.burnt, want.burnt));
        }
    }
    for finding in &judgement.supply {
        let name = format!("supply:{}", finding.path.replace("leg ", "").replace("neutral", "N"));
        let want = &reference[&name];
        let difference = finding.failing - want.burnt;
        println!(
            "{panel} {name:22} ours {:.4}, reference {:.4}, {difference:+.4}",
            finding.failing, want.burnt
        );
        if largest.0 < difference.abs() {
            largest = (difference.abs(), name.clone());
        }
        if 0.02 + 4.0 * want.error < difference.abs() {
            failures.push(format!("{name}: {:.4} against {:.4}", finding.failing, want.burnt));
        }
    }
    println!("{panel}: largest difference {:.4} at {}", largest.0, largest.1);
    assert!(failures.is_empty(), "{panel}: {}", failures.join("; "));
}

/// Source: NumPyro's NUTS, `posterior/SOURCE.md`; 0.02 and two sampling errors.
#[test]
fn val_a_hot_face_agrees_with_an_independent_sampler() {
    compare("panel-a");
}

/// Source: NumPyro's NUTS, `posterior/SOURCE.md`; 0.02 and two sampling errors.
#[test]
fn val_drops_touch_and_sign_agree_with_an_independent_sampler() {
    compare("panel-b");
}

/// Source: NumPyro's NUTS, `posterior/SOURCE.md`; 0.02 and two sampling errors.
#[test]
fn val_leg_voltages_agree_with_an_independent_sampler() {
    compare("panel-c");
}
