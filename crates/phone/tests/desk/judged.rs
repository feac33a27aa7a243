//! The judgement on the phone is that of `study`, and follows the facts.

use crate::ground::{CASES, NOW, facts, question};
use phone::{Shelf, answer_json};
use record::{Body, Fact};
use serde_json::Value;

const SWEEPS: usize = 40;

fn ask(what: &str, rest: &str, job: &str, facts: &[Fact], shelf: &mut Shelf) -> Value {
    let question = question(what, &format!("/jobs/{job}{rest}"), job, facts, SWEEPS);
    serde_json::from_str(&answer_json(&question.to_string(), shelf)).expect("an answer")
}

#[test]
fn a_paper_of_the_phone_is_that_of_the_program() {
    let (name, facts) = facts(CASES[1].1);
    let job = record::settle(&facts, Some(NOW.date())).job.expect("a job");
    let settings = study::Settings { n_sweeps: SWEEPS, ..study::Settings::on(NOW.date()) };
    let assessment = study::assess(&job, &settings).expect("a judgement");
    let address = format!("https://bench.example/jobs/{name}");
    let paper = format!("technical-record-{}.txt", name.to_lowercase());
    let ours = study::paper(&job, &assessment, &study::Press::new(), Some(&address), &paper);
    let ours = ours.expect("it can be set").expect("it is there");
    let theirs = ask("paper", &format!("/papers/{paper}"), &name, &facts, &mut Shelf::default());
    assert_eq!(theirs["body"].as_str(), Some(String::from_utf8_lossy(&ours.bytes).as_ref()));
    let printable = ask(
        "paper",
        &format!("/papers/{}", paper.replace(".txt", ".pdf")),
        &name,
        &facts,
        &mut Shelf::default(),
    );
    assert!(
        printable["body"].as_str().is_some_and(|body| body.starts_with("<!doctype html>")),
        "{printable}"
    );
}

/// The pull list of the first case, which is surveyed and laid out; no judgement is made for it.
#[test]
fn a_paper_of_the_new_panel_is_that_of_the_program() {
    let (name, facts) = facts(CASES[0].1);
    let job = record::settle(&facts, Some(NOW.date())).job.expect("a job");
    let stem = format!("pull-list-{}", name.to_lowercase());
    for (asked, made) in [("pdf", "html"), ("txt", "txt")] {
        let file = format!("{stem}.{made}");
        let ours = study::install::install_paper(&job, NOW.date(), &study::Press::new(), &file);
        let ours = ours.expect("it can be set").expect("it is there");
        let theirs = ask("paper", &format!("/install/{stem}.{asked}"), &name, &facts, &mut Shelf::default());
        assert_eq!(theirs["body"].as_str(), Some(String::from_utf8_lossy(&ours.bytes).as_ref()));
    }
    let none = ask("paper", "/install/no-such-paper.pdf", &name, &facts, &mut Shelf::default());
    assert_eq!(none["status"], 404);
}

#[test]
fn what_was_not_possible_is_tried_again_with_more_facts() {
    let (name, facts) = facts(CASES[2].1);
    let opened: Vec<Fact> = facts.iter().filter(|fact| matches!(fact.body, Body::Job(_))).cloned().collect();
    let mut shelf = Shelf::default();
    let shown = |answer: &Value| answer["body"].as_str().unwrap_or_default().to_owned();
    assert_eq!(ask("page", "", &name, &opened, &mut shelf)["judged"], false);
    assert_eq!(ask("judge", "", &name, &opened, &mut shelf)["judged"], true);
    let page = ask("page", "/verdict", &name, &opened, &mut shelf);
    assert!(shown(&page).contains("Describe the panel first"), "{page}");
    let page = ask("page", "/verdict", &name, &facts, &mut shelf);
    assert!(page["judged"] == false && !shown(&page).contains("Describe the panel first"), "{page}");
    assert_eq!(ask("judge", "", &name, &facts, &mut shelf)["judged"], true);
    // The order of arrival makes no other judgement.
    let turned: Vec<Fact> = facts.iter().rev().cloned().collect();
    assert_eq!(ask("page", "/verdict", &name, &turned, &mut shelf)["judged"], true);
}

#[test]
fn a_fact_of_a_newer_program_is_said_and_not_dropped() {
    let (name, facts) = facts(CASES[2].1);
    let mut question = question("page", &format!("/jobs/{name}"), &name, &facts, SWEEPS);
    let line = facts[0].to_json().replace("\"v\":1", "\"v\":2");
    question["jobs"][0]["facts"][0] = line.into();
    let answer: Value =
        serde_json::from_str(&answer_json(&question.to_string(), &mut Shelf::default())).expect("an answer");
    assert_eq!(answer["status"], 500);
    assert!(answer["why"].as_str().is_some_and(|why| why.contains("newer program")), "{answer}");
}

/// After a further entry the judgement of before is shown while the new one is made, and wherever it is shown it says so.
#[test]
fn a_judgement_of_before_is_never_shown_unmarked() {
    let (name, facts) = facts(CASES[0].1);
    let (_, before) = facts.split_last().expect("facts");
    let mut shelf = Shelf::default();
    assert_eq!(ask("judge", "", &name, before, &mut shelf)["judged"], true);
    let older = "Older than the latest entries";
    for rest in ["", "/verdict", "/spaces/main/15", "/joints/main:stab:15", "/papers", "/moves/main/15"] {
        let page = ask("page", rest, &name, &facts, &mut shelf);
        let shown = page["body"].as_str().unwrap_or_default();
        assert!(page["judged"] == false && shown.contains(older), "{rest}: {page}");
        let current = ask("page", rest, &name, before, &mut shelf);
        assert!(!current["body"].as_str().unwrap_or_default().contains(older), "{rest}");
    }
}

/// Quote, sheet of the day and permit set are made on the phone as by the program, as pages that can be printed.
#[test]
fn papers_that_need_no_judgement_are_printed_without_one() {
    let (name, of_name) = facts(CASES[0].1);
    let mut shelf = Shelf::default();
    for (path, said) in [
        ("/offer/quote-replace-panel.pdf", "Quote"),
        ("/offer/outage-plan.pdf", "Rules of the place"),
        ("/offer/outage-plan.txt", "invented for the demo"),
    ] {
        let paper = ask("paper", path, &name, &of_name, &mut shelf);
        let body = paper["body"].as_str().unwrap_or_default();
        assert!(
            paper["status"] == 200 && body.to_lowercase().contains(&said.to_lowercase()),
            "{path}: {paper}"
        );
        assert_eq!(body.starts_with("<!doctype html>"), path.ends_with(".pdf"), "{path}");
    }
    // The second case names its adopted code.
    let (coded, of_coded) = facts(CASES[1].1);
    let set = record::settle(&of_coded, Some(NOW.date())).job.expect("a job");
    for file in study::install::permit_set_names(&set) {
        let path = format!("/permit/{file}");
        let paper = ask("paper", &path, &coded, &of_coded, &mut shelf);
        assert_eq!(paper["status"], 200, "{path}: {paper}");
    }
    for path in ["/offer/quote-everything.pdf", "/permit/none.pdf"] {
        assert_eq!(ask("paper", path, &name, &of_name, &mut shelf)["status"], 404, "{path}");
    }
}
