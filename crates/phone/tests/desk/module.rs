//! The module of the browser and this build of the same program: the same answers to the last byte.
//!
//! Node is needed, and the module, which `cargo xtask phone` builds. Without them the test says so and passes.

use crate::ground::{CASES, facts, question};
use phone::{Shelf, answer_json};
use serde_json::Value;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const MODULE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../web/built/phone.wasm");

/// Pages and papers that show numbers. Not the pages that list papers: where the whole workspace is built, this side sets
/// PDFs and the module does not.
fn asked() -> Vec<Value> {
    let mut asked = Vec::new();
    for (idx, (_, text)) in CASES.into_iter().enumerate() {
        let (job, facts) = facts(text);
        let mut judge = question("judge", &format!("/jobs/{job}"), &job, &facts, 60);
        // Its chains by an instance each, but for one case.
        judge["apart"] = (idx != 1).into();
        asked.push(judge);
        let mut ask = |what: &str, rest: &str| {
            asked.push(question(what, &format!("/jobs/{job}{rest}"), &job, &facts, 60));
        };
        for rest in ["", "/verdict", "/isolation", "/plan", "/sizes", "/layout", "/price", "/proving", "/log"]
        {
            ask("page", rest);
        }
        let stem = job.to_lowercase();
        for paper in [format!("owner-letter-{stem}.txt"), format!("technical-record-{stem}.txt")] {
            ask("paper", &format!("/papers/{paper}"));
        }
    }
    asked
}

#[test]
fn the_module_answers_as_this_program_does() {
    let module = std::env::var_os("PHONE_MODULE").map_or(PathBuf::from(MODULE), PathBuf::from);
    if !module.is_file() {
        assert!(std::env::var_os("PHONE_MODULE_WANTED").is_none(), "there is no module, and here it must be");
        println!("NOT RUN: there is no module (`cargo xtask phone` builds it)");
        return;
    }
    let asked = asked();
    let Some(answers) = by_module(&module, &asked) else {
        println!("NOT RUN: node is not installed");
        return;
    };
    assert_eq!(answers.len(), asked.len());
    let mut shelf = Shelf::default();
    let mut n_judged = 0;
    for (question, theirs) in asked.iter().zip(&answers) {
        let ours: Value =
            serde_json::from_str(&answer_json(&question.to_string(), &mut shelf)).expect("an answer");
        let what = format!("{} {}", question["what"], question["path"]);
        if ours != *theirs {
            let line = differing(&ours, theirs);
            panic!("{what}: {line}");
        }
        assert_eq!(ours["status"], 200, "{what}: {}", ours["why"]);
        n_judged += usize::from(ours["judged"] == true);
    }
    assert_eq!(n_judged, asked.len(), "all are judged");
}

/// The first line that differs.
fn differing(ours: &Value, theirs: &Value) -> String {
    let lines = |answer: &Value| {
        let text = answer["body"].as_str().unwrap_or_default().replace('>', ">\n");
        text.lines().map(str::to_owned).collect::<Vec<_>>()
    };
    let (one, other) = (lines(ours), lines(theirs));
    for (one, other) in one.iter().zip(&other) {
        if one != other {
            return format!("here `{one}`, in the module `{other}`");
        }
    }
    format!("here {ours:.300}, in the module {theirs:.300}")
}

fn by_module(module: &Path, asked: &[Value]) -> Option<Vec<Value>> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/desk/ask.mjs");
    let node =
        Command::new("node").arg(script).arg(module).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn();
    let mut node = node.ok()?;
    let questions = Value::from(asked.to_vec()).to_string();
    let mut input = node.stdin.take().expect("its input");
    input.write_all(questions.as_bytes()).expect("it reads");
    drop(input);
    let out = node.wait_with_output().expect("it ends");
    assert!(out.status.success(), "node fails");
    serde_json::from_slice(&out.stdout).expect("answers")
}
