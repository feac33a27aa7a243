//! The shape is what is promised.

use super::*;
use crate::assess::assessment_of;
use crate::sample::{DAY, job, judgement};
use crate::settings::Settings;
use serde_json::json;

fn value() -> Value {
    let job = job(0);
    let made = assessment_of(&job, &job, judgement(&job, &["15", "16"]), &Settings::on(DAY));
    assessment(&job, &made)
}

#[test]
fn every_promised_key_is_there() {
    let value = value();
    for key in [
        "joints",
        "causes",
        "verdict",
        "options",
        "next_checks",
        "notes",
        "workings",
        "statements",
        "supply",
        "trends",
        "model_version",
        "seed",
        "sampling",
        "job",
        "day",
    ] {
        assert!(value.get(key).is_some(), "{key} is missing");
    }
    for joint in value["joints"].as_array().expect("a list") {
        for key in [
            "id",
            "kind",
            "panel",
            "space",
            "pole",
            "leg",
            "probability",
            "probability_error",
            "prior_burnt",
            "heat_now_w",
            "heat_rated_w",
            "current_now_a",
            "resistance_mohm",
            "hot_spot_c",
            "observed",
            "reasons",
        ] {
            assert!(joint.get(key).is_some(), "{key} is missing in {joint}");
        }
    }
}

#[test]
fn a_joint_is_written_with_rounded_figures() {
    let value = value();
    let joints = value["joints"].as_array().expect("a list");
    let stab = joints.iter().find(|joint| joint["id"] == "main:stab:15").expect("the stab is there");
    assert_eq!(stab["kind"], "stab");
    assert_eq!(stab["space"], "15");
    assert_eq!(stab["leg"], "B");
    assert_eq!(stab["probability"], json!({ "sound": 0.09, "worn": 0.01, "burnt": 0.9 }));
    assert_eq!(stab["heat_now_w"]["median"], json!(1.9));
    assert_eq!(stab["reasons"][0]["weight_db"], json!(12.3));
    let second = joints.iter().find(|joint| joint["id"] == "main:stab:11").expect("the second pole is there");
    assert_eq!((&second["space"], &second["pole"], &second["leg"]), (&json!("11"), &json!(2), &json!("B")));
    let lug = joints.iter().find(|joint| joint["kind"] == "lug").expect("there is a lug");
    assert_eq!((&lug["space"], &lug["pole"], &lug["heat_now_w"]), (&Value::Null, &Value::Null, &Value::Null));
    for joint in joints {
        let sum: f64 =
            ["sound", "worn", "burnt"].iter().filter_map(|key| joint["probability"][key].as_f64()).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{joint}");
    }
}

#[test]
fn a_figure_that_is_no_number_becomes_null() {
    let job = job(0);
    let mut judgement = judgement(&job, &[]);
    judgement.joints[0].resistance_mohm.high = f64::INFINITY;
    judgement.sampling.r_hat = f64::NAN;
    let made = assessment_of(&job, &job, judgement, &Settings::on(DAY));
    let value = assessment(&job, &made);
    assert_eq!(value["joints"][0]["resistance_mohm"], Value::Null);
    assert_eq!(value["sampling"]["r_hat"], Value::Null);
}

#[test]
fn a_failure_names_file_and_errors() {
    let line = failure("x.toml", vec![ProblemOut::other("unreadable", "cannot be read")]);
    let value: Value = serde_json::from_str(&line).expect("JSON");
    assert_eq!(value["file"], "x.toml");
    assert_eq!(value["errors"][0]["code"], "unreadable");
}

#[test]
fn the_schema_names_what_is_written() {
    let schema = schema();
    let text = schema.to_string();
    for key in ["probability_error", "prior_burnt", "next_checks", "would_change"] {
        assert!(text.contains(key), "{key}");
    }
    assert_eq!(schema["anyOf"].as_array().map(Vec::len), Some(2));
}
