//! Several files, bad files, folders, pipes.

use crate::program::{CASES, arg, command, folder, json_of, root, run, run_with_input};
use serde_json::Value;
use std::fs;
use std::process::Stdio;

fn lines(text: &str) -> Vec<Value> {
    text.lines().map(|line| serde_json::from_str(line).expect("each line is JSON")).collect()
}

#[test]
fn one_bad_file_stops_no_other_and_the_order_is_kept() {
    let folder = folder("one-bad-file");
    let bad = folder.join("bad.toml");
    fs::write(&bad, "panelwright = 1\n[job]\nid = \"X\"\nopenned = 2025-01-01\n").expect("a file");
    let missing = folder.join("missing.toml");
    let files = [CASES[2], arg(&bad), CASES[0], arg(&missing), CASES[1]];
    let mut args = vec!["assess", "--json", "--day", "2025-12-01"];
    args.extend(files);
    let run = run(&args);
    let lines = lines(&run.out);
    let named: Vec<&str> = lines.iter().filter_map(|line| line["file"].as_str()).collect();
    assert_eq!(named, files);
    assert_eq!(lines[0]["job"], "Q-0124");
    assert!(
        lines[1]["errors"].as_array().is_some_and(|errors| errors.iter().any(|error| error["line"] == 4))
    );
    assert_eq!(lines[3]["errors"][0]["code"], "unreadable");
    assert_eq!(lines[4]["job"], "Q-0121");
    assert_eq!(run.code, 3, "a file that cannot be read is the worst of it");
}

#[test]
fn a_folder_is_read_in_the_order_of_names() {
    let run = run(&["assess", "--json", "cases", "--day", "2025-12-01"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let lines = lines(&run.out);
    let jobs: Vec<&str> = lines.iter().filter_map(|line| line["job"].as_str()).collect();
    assert_eq!(jobs, ["Q-0117", "Q-0121", "Q-0124"]);
}

#[test]
fn a_file_alone_and_among_others_gives_the_same() {
    let among = run(&["assess", "--json", "cases", "--day", "2025-12-01"]).out;
    assert_eq!(among.lines().nth(1), json_of(1).lines().next());
}

#[test]
fn standard_input_is_a_dash() {
    let text = fs::read(root().join(CASES[1])).expect("the case is there");
    let run = run_with_input(&["assess", "-", "--json", "--day", "2025-12-01"], &text);
    assert_eq!(run.code, 0, "{}", run.err);
    assert_eq!(lines(&run.out)[0]["file"], "-");
}

#[test]
fn garbage_never_panics() {
    let good = fs::read(root().join(CASES[0])).expect("the case is there");
    let mut inputs: Vec<Vec<u8>> = vec![
        Vec::new(),
        vec![0; 4096],
        vec![0xff, 0xfe, 0x00],
        b"[[[[[[[[[[".to_vec(),
        b"panelwright = 99999999999999999999".to_vec(),
        b"{\"panelwright\": 1, \"job\": null}".to_vec(),
        "\u{feff}panelwright = 1".as_bytes().to_vec(),
        b"a = ".repeat(10_000),
    ];
    for cut in (0..good.len()).step_by(good.len() / 12) {
        inputs.push(good[..cut].to_vec());
        let mut turned = good.clone();
        turned[cut] ^= 0x15;
        inputs.push(turned);
    }
    for input in inputs {
        let run = run_with_input(&["check", "-", "--json", "--day", "2025-12-01"], &input);
        assert!(run.code == 0 || run.code == 1, "exit {}: {}", run.code, run.err);
        assert_eq!(run.out.lines().count(), 1, "{}", run.out);
        assert!(!run.err.contains("panicked"), "{}", run.err);
    }
}

#[test]
fn figures_out_of_the_ordinary_give_a_judgement_or_an_error_but_no_panic() {
    let good = fs::read_to_string(root().join(CASES[0])).expect("the case is there");
    for (from, to) in [
        ("held_min = 60", "held_min = 0"),
        ("\"15\" = 13.2", "\"15\" = 0.0"),
        ("\"15\" = 13.2", "\"15\" = 2000"),
        ("\"15\" = 48.4", "\"15\" = 199"),
        ("mv = 263", "mv = 5000"),
        ("mv = 263", "mv = -3"),
        ("room_c = 21.5", "room_c = 60"),
        ("rating_a = 20", "rating_a = 600"),
    ] {
        assert!(good.contains(from), "the case no longer has {from}");
        let run = run_with_input(
            &["assess", "-", "--json", "--day", "2025-12-01"],
            good.replacen(from, to, 1).as_bytes(),
        );
        assert!(run.code == 0 || run.code == 1, "{to}: exit {}: {}", run.code, run.err);
        assert!(!run.err.contains("panicked"), "{to}: {}", run.err);
    }
}

#[test]
fn a_closed_pipe_is_quiet() {
    let mut child = command(&["schema", "policy"])
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the program ends");
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    assert_eq!(output.status.code(), Some(0));
}
