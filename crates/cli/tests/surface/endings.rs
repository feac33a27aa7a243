//! Exit codes, as documented in the manual.

use crate::program::{CASES, arg, folder, run};
use std::fs;

fn code(args: &[&str]) -> i32 {
    run(args).code
}

#[test]
fn all_is_well_is_zero() {
    assert_eq!(code(&["check", CASES[0], "--day", "2025-12-01"]), 0);
    assert_eq!(code(&["schema"]), 0);
    assert_eq!(code(&["--help"]), 0);
    assert_eq!(code(&["--version"]), 0);
}

#[test]
fn errors_in_a_file_are_one() {
    let folder = folder("errors-are-one");
    let bad = folder.join("bad.toml");
    fs::write(&bad, "panelwright = 1\n").expect("a file");
    for verb in ["check", "assess"] {
        let run = run(&[verb, arg(&bad)]);
        assert_eq!(run.code, 1, "{verb}");
        assert!(run.out.contains("bad.toml"), "{}", run.out);
    }
}

#[test]
fn a_day_before_the_readings_is_an_error_of_the_file() {
    assert_eq!(code(&["check", CASES[0], "--day", "2020-01-01"]), 1);
}

#[test]
fn errors_in_the_policy_are_one_and_named_with_their_line() {
    let folder = folder("policy-errors");
    let policy = folder.join("shop.toml");
    let text = run(&["schema", "policy"]).out.replacen("likely_burnt = 0.5", "likely_burnt = 50", 1);
    fs::write(&policy, text).expect("a file");
    let run = run(&["assess", CASES[1], "--policy", arg(&policy)]);
    assert_eq!(run.code, 1);
    assert!(run.err.contains("shop.toml:") && run.err.contains("outside 0 to 1"), "{}", run.err);
}

#[test]
fn a_policy_of_the_shop_is_used_and_named() {
    let folder = folder("policy-used");
    let policy = folder.join("shop.toml");
    let text =
        run(&["schema", "policy"]).out.replacen("name = \"standard policy\"", "name = \"our shop\"", 1);
    fs::write(&policy, &text).expect("a file");
    let run = run(&["assess", CASES[1], "--policy", arg(&policy), "--day", "2025-12-01"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let flat = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let version = text.lines().find_map(|line| line.strip_prefix("version = ")).expect("a version");
    assert!(flat.contains(&format!("our shop, version {}", version.trim_matches('"'))), "{flat}");
}

#[test]
fn a_wrong_command_line_is_two() {
    for args in
        [&["asess"][..], &["assess"], &["check", "--day", "yesterday", "x.toml"], &["schema", "invoice"]]
    {
        let run = run(args);
        assert_eq!(run.code, 2, "{args:?}");
        assert!(run.out.is_empty() && !run.err.is_empty());
    }
}

#[test]
fn what_cannot_be_read_or_written_is_three() {
    let folder = folder("three");
    assert_eq!(code(&["assess", "no-such-file.toml"]), 3);
    assert_eq!(code(&["check", arg(&folder)]), 3, "a folder without a job file");
    assert_eq!(code(&["assess", CASES[1], "--policy", "no-such-policy.toml"]), 3);
    let file = folder.join("a-file");
    fs::write(&file, "in the way").expect("a file");
    let run = run(&["papers", CASES[1], "--out", arg(&file), "--day", "2025-12-01"]);
    assert_eq!(run.code, 3);
    assert!(run.err.contains("cannot be written"), "{}", run.err);
}
