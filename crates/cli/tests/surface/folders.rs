//! Data folders: served, backed up, restored, moved job by job.

use crate::killed::{Serving, ask};
use crate::program::{CASES, arg, folder, run};
use serde_json::Value;
use std::fs;

#[test]
fn a_job_goes_in_and_out_and_a_folder_into_one_file_and_back() {
    let folder = folder("folders");
    let (data, other, restored) = (folder.join("data"), folder.join("other"), folder.join("restored"));
    let (zip, backup) = (folder.join("job.zip"), folder.join("all.backup"));
    let took = run(&["import", CASES[0], "--data", arg(&data), "--day", "2025-12-01"]);
    assert_eq!(took.code, 0, "{}{}", took.out, took.err);
    assert!(took.out.contains("job Q-0117, 107 new facts"), "{}", took.out);
    let again = run(&["import", CASES[0], "--data", arg(&data), "--day", "2025-12-01", "--json"]);
    let again: Value = serde_json::from_str(&again.out).expect("JSON");
    assert_eq!((&again["job"], &again["new_facts"]), (&"Q-0117".into(), &0.into()));

    assert_eq!(run(&["export", "Q-0117", arg(&zip), "--data", arg(&data)]).code, 0);
    let exists = run(&["export", "Q-0117", arg(&zip), "--data", arg(&data)]);
    assert!(exists.code == 1 && exists.err.contains("is there already"), "{}", exists.err);
    let took = run(&["import", arg(&zip), "--data", arg(&other)]);
    assert!(took.code == 0 && took.out.contains("107 new facts"), "{}{}", took.out, took.err);

    let made = run(&["backup", arg(&backup), "--data", arg(&data), "--json"]);
    assert_eq!(made.code, 0, "{}", made.err);
    assert_eq!(run(&["restore", arg(&backup), "--data", arg(&restored)]).code, 0);
    let refused = run(&["restore", arg(&backup), "--data", arg(&data)]);
    assert!(refused.code == 1 && refused.err.contains("not empty"), "{}", refused.err);
    // What comes out of the restored folder is all there already, and nothing is missing.
    let again = folder.join("again.zip");
    let exported = run(&["export", "Q-0117", arg(&again), "--data", arg(&restored), "--json"]);
    let exported: Value = serde_json::from_str(&exported.out).expect("JSON");
    assert_eq!(exported["facts"], 107);
    let took = run(&["import", arg(&again), "--data", arg(&other)]);
    assert!(took.code == 0 && took.out.contains("0 new facts"), "{}{}", took.out, took.err);
}

#[test]
fn what_cannot_be_taken_in_is_said_and_nothing_is_stored() {
    let folder = folder("not-taken-in");
    let data = folder.join("data");
    let bad = folder.join("bad.toml");
    fs::write(&bad, "panelwright = 1\n").expect("a file");
    let refused = run(&["import", arg(&bad), "--data", arg(&data)]);
    assert!(refused.code == 1 && refused.out.contains("not taken in"), "{}", refused.out);
    assert!(!data.exists(), "no folder was made for it");
    assert_eq!(run(&["import", "no-such-file.zip", "--data", arg(&data)]).code, 3);
    let torn = folder.join("torn.zip");
    fs::write(&torn, "PK but no archive").expect("a file");
    let refused = run(&["import", arg(&torn), "--data", arg(&data)]);
    assert_eq!(refused.code, 1, "{}", refused.err);
    let nothing = run(&["backup", arg(&folder.join("b")), "--data", arg(&folder.join("none"))]);
    assert!(nothing.code == 1 && nothing.err.contains("no database"), "{}", nothing.err);
}

#[test]
fn the_demo_opens_the_bench_with_three_cases_again_and_again() {
    let folder = folder("demo-bench");
    let data = folder.join("data");
    let args =
        ["demo", "--data", arg(&data), "--port", "0", "--json", "--sweeps", "20", "--day", "2025-12-01"];
    for round in 0..2 {
        let serving = Serving::by(&args);
        let (cookie, _) = serving.join("laptop");
        let list =
            ask(&serving.address(), "GET", "/", &format!("cookie: {cookie}\r\n"), "").expect("an answer");
        for place in ["Kiln Row", "Q-0121", "Q-0124"] {
            assert!(list.contains(place), "round {round}: {place}");
        }
        let bench = ask(&serving.address(), "GET", "/jobs/Q-0117", &format!("cookie: {cookie}\r\n"), "");
        assert!(bench.expect("an answer").starts_with("HTTP/1.1 200"));
    }
}

#[test]
fn a_bench_that_cannot_be_served_says_why() {
    let folder = folder("not-served");
    let data = folder.join("data");
    let serving = Serving::of(&data);
    let address = serving.address();
    let port = address.rsplit(':').next().expect("a port");
    let (elsewhere, here) = (folder.join("elsewhere"), ["--host", "127.0.0.1"]);
    let taken = run(&[&["serve", "--port", port, "--data", arg(&elsewhere)], &here[..]].concat());
    assert!(taken.code == 3 && taken.err.contains("--port"), "{}", taken.err);
    assert!(!elsewhere.exists(), "the folder is not touched");
    let locked = run(&[&["serve", "--port", "0", "--data", arg(&data)], &here[..]].concat());
    assert!(locked.code == 3 && locked.err.contains("in use"), "{}", locked.err);
    let import = run(&["import", CASES[0], "--data", arg(&data)]);
    assert!(import.code == 3 && import.err.contains("in use"), "{}", import.err);
    // A backup is made beside it.
    let backup = run(&["backup", arg(&folder.join("b")), "--data", arg(&data)]);
    assert_eq!(backup.code, 0, "{}", backup.err);
    let file = folder.join("a-file");
    fs::write(&file, "in the way").expect("a file");
    let no_folder = run(&[&["serve", "--port", "0", "--data", arg(&file)], &here[..]].concat());
    assert!(no_folder.code == 3 && no_folder.err.contains("not a folder"), "{}", no_folder.err);
}

#[cfg(unix)]
#[test]
fn told_to_stop_it_stops_in_good_order() {
    let folder = folder("stopped");
    let mut serving = Serving::of(&folder.join("data"));
    let id = serving.child.id().to_string();
    let told = std::process::Command::new("kill").args(["-TERM", &id]).status().expect("kill is there");
    assert!(told.success());
    let ended = serving.child.wait().expect("it ends");
    assert_eq!(ended.code(), Some(0));
}
