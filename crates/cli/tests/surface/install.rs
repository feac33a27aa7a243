//! A new panel: nothing is offered before the readings are in, and the worked example is what the program makes of it.

use crate::program::{arg, folder, root, run, run_with_input};
use serde_json::Value;

const JOB: &str = "docs/worked-example/job.toml";
const DAY: [&str; 2] = ["--day", "2025-12-10"];

fn prove(file: &str) -> Value {
    let ran = run(&[&["prove", file, "--json"][..], &DAY].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}

/// What is told of the worked example without the tables of a heading.
fn without(heading: &str) -> Value {
    let text = std::fs::read_to_string(root().join(JOB)).expect("the worked example");
    let mut kept = String::new();
    let mut skip = false;
    for line in text.lines() {
        if line.starts_with('[') {
            skip = line.trim() == heading;
        }
        if !skip {
            kept.push_str(line);
            kept.push('\n');
        }
    }
    let ran = run_with_input(&[&["prove", "-", "--json"][..], &DAY].concat(), kept.as_bytes());
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}

#[test]
fn no_branch_is_offered_before_the_readings_are_in() {
    let told = prove(JOB);
    assert_eq!(told["no_branch_yet"], serde_json::json!([]));
    assert_eq!(told["left"], serde_json::json!([]));
    assert!(told["switched_on"].as_array().is_some_and(|steps| steps.len() == 4));
    let told = without("[[energised]]");
    assert_eq!(told["no_branch_yet"].as_array().map(Vec::len), Some(8));
    assert_eq!((&told["next"], &told["then"]), (&Value::Null, &serde_json::json!([])));
}

#[test]
fn every_termination_without_a_torque_is_told() {
    let all = prove(JOB)["torque"].as_array().map(Vec::len);
    let told = without("[[torqued]]");
    let missing = told["torque"].as_array().expect("a list").iter().filter(|one| one["on_record"] == false);
    assert_eq!(Some(missing.count()), all);
}

#[test]
fn the_worked_example_is_what_the_program_makes() {
    let folder = folder("worked-example");
    for command in ["permit", "prove"] {
        let ran = run(&[&[command, JOB, "--out", arg(&folder)][..], &DAY].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
    let before = ["prove", "cases/1-burnt-stabs.toml", "--out", arg(&folder), "--day", "2025-12-08"];
    assert_eq!(run(&before).code, 0);
    for command in [&["price", "--option", "replace-panel"][..], &["outage"]] {
        let offered = ["cases/1-burnt-stabs.toml", "--out", arg(&folder), "--day", "2025-11-24"];
        let ran = run(&[command, &offered].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
    let mut n = 0;
    for entry in std::fs::read_dir(root().join("docs/worked-example/papers")).expect("the papers") {
        let path = entry.expect("a file").path();
        if path.extension().is_some_and(|extension| extension == "txt") {
            let name = path.file_name().expect("a name");
            let made = std::fs::read_to_string(folder.join(name)).unwrap_or_default();
            let kept = std::fs::read_to_string(&path).expect("text");
            assert!(made == kept, "{} is stale: run scripts/worked-example.sh and read it", path.display());
            n += 1;
        }
    }
    assert_eq!(n, 9);
}
