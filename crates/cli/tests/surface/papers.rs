//! Papers on the disk, and the demo.

use crate::program::{CASES, arg, folder, json_of, run};
use serde_json::Value;
use std::fs;
use std::path::Path;

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("the folder is there");
    let mut names: Vec<String> =
        entries.filter_map(|entry| entry.ok()?.file_name().into_string().ok()).collect();
    names.sort();
    names
}

#[test]
fn the_papers_of_a_case_are_written_the_same_each_time() {
    let (first, second) = (folder("papers-once"), folder("papers-again"));
    for out in [&first, &second] {
        let run = run(&["papers", CASES[1], "--out", arg(out), "--day", "2025-12-01"]);
        assert_eq!(run.code, 0, "{}", run.err);
    }
    let written = names(&first);
    assert_eq!(written, names(&second));
    for ending in [".pdf", ".txt", ".svg"] {
        assert!(written.iter().any(|name| name.ends_with(ending)), "{written:?}");
    }
    assert_eq!(
        written.iter().filter(|name| name.ends_with(".pdf")).count(),
        3,
        "letter, record, crew's sheet"
    );
    for name in &written {
        let (one, other) = (fs::read(first.join(name)), fs::read(second.join(name)));
        assert!(one.expect("readable") == other.expect("readable"), "{name} differs");
    }
    for name in written.iter().filter(|name| name.ends_with(".pdf")) {
        assert!(fs::read(first.join(name)).expect("readable").starts_with(b"%PDF-"));
    }
}

#[test]
fn every_note_reaches_the_technical_record() {
    let out = folder("papers-notes");
    let value: Value = serde_json::from_str(json_of(0)).expect("JSON");
    assert_eq!(run(&["papers", CASES[0], "--out", arg(&out), "--day", "2025-12-01"]).code, 0);
    let mut texts = String::new();
    for name in names(&out).iter().filter(|name| name.ends_with(".txt")) {
        texts.push_str(&fs::read_to_string(out.join(name)).expect("text"));
    }
    let squeezed = |text: &str| text.split_whitespace().collect::<String>().replace('-', "");
    let page = squeezed(&texts);
    for note in value["notes"].as_array().expect("a list") {
        let wanted = note["text"].as_str().expect("text");
        assert!(page.contains(&squeezed(wanted)), "{wanted}");
    }
    for caution in value["verdict"]["cautions"].as_array().expect("a list") {
        let wanted = caution.as_str().expect("text");
        assert!(page.contains(&squeezed(wanted)), "{wanted}");
    }
}

#[test]
fn papers_as_json_name_what_was_written() {
    let out = folder("papers-json");
    let run = run(&["papers", CASES[2], "--json", "--out", arg(&out), "--day", "2025-12-01"]);
    let value: Value = serde_json::from_str(&run.out).expect("one line of JSON");
    assert_eq!(value["job"], "Q-0124");
    for path in value["written"].as_array().expect("a list") {
        assert!(Path::new(path.as_str().expect("a path")).is_file(), "{path}");
    }
}

#[test]
fn the_papers_of_the_demo_are_written_and_it_says_what_to_open() {
    let out = folder("demo");
    let run = run(&["demo", "--papers", "--out", arg(&out), "--day", "2025-12-01"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.contains("Q-0117   9 Kiln Row, Quenmarsh   INVENTED CASE"));
    let open = run.out.lines().find(|line| line.starts_with("Open ")).expect("it says what to open");
    let letter = open.trim_start_matches("Open ").split(" first:").next().expect("a path");
    assert!(Path::new(letter).is_file(), "{letter}");
    let written = names(&out);
    assert_eq!(written.iter().filter(|name| name.ends_with(".toml")).count(), 3);
    assert_eq!(written.iter().filter(|name| name.ends_with(".pdf")).count(), 9);
    let case = fs::read_to_string(out.join("1-burnt-stabs.toml")).expect("the case is written");
    assert_eq!(case, fs::read_to_string(crate::program::root().join(CASES[0])).expect("the case is there"));
}

#[test]
fn two_files_of_one_job_do_not_overwrite_each_other() {
    let out = folder("papers-same-job");
    let copy = out.join("copy.toml");
    fs::copy(crate::program::root().join(CASES[2]), &copy).expect("a copy");
    let papers = out.join("papers");
    let args = ["papers", CASES[2], arg(&copy), "--json", "--out", arg(&papers), "--day", "2025-12-01"];
    let run = run(&args);
    assert_eq!(run.code, 1);
    let second: Value = serde_json::from_str(run.out.lines().nth(1).expect("a second line")).expect("JSON");
    assert_eq!(second["errors"][0]["code"], "same-job");
    assert_eq!(second["file"], arg(&copy));
}
