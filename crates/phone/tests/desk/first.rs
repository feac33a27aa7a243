//! A first look after a further fact: shown, marked as one, and without a trace in anything that is whole.

use crate::ground::{CASES, facts, question};
use phone::{Ask, Shelf, answer_json, answer_json_with, chain};
use record::Fact;
use serde_json::Value;

/// More than a first look takes.
const SWEEPS: usize = 150;
const MARK: &str = "First look, less exact.";
const OLDER: &str = "Older than the latest entries";

fn asked(what: &str, rest: &str, job: &str, facts: &[Fact]) -> Value {
    question(what, &format!("/jobs/{job}{rest}"), job, facts, SWEEPS)
}

fn ask(what: &str, rest: &str, job: &str, facts: &[Fact], shelf: &mut Shelf) -> Value {
    let question = asked(what, rest, job, facts).to_string();
    serde_json::from_str(&answer_json(&question, shelf)).expect("an answer")
}

/// The chains of the whole judgement, each by an instance of its own, and the judgement concluded from them.
fn conclude(job: &str, facts: &[Fact], shelf: &mut Shelf) {
    let mut question = asked("judge", "", job, facts);
    let read: Ask = serde_json::from_value(question.clone()).expect("a question");
    let chains: Vec<Vec<u8>> =
        (0..4).map(|number| chain(&read, number, &mut Shelf::default()).expect("draws")).collect();
    question["what"] = "conclude".into();
    let answer: Value =
        serde_json::from_str(&answer_json_with(&question.to_string(), &chains, shelf)).expect("an answer");
    assert_eq!(answer["judged"], true, "{answer}");
}

/// Everything that shows the judgement, as answered: pages, the list of jobs, papers.
fn whole(job: &str, facts: &[Fact], shelf: &mut Shelf) -> Vec<String> {
    let stem = job.to_lowercase();
    let papers = [format!("owner-letter-{stem}.txt"), format!("technical-record-{stem}.txt")];
    let mut all = vec![question("page", "/", job, facts, SWEEPS)];
    all.extend(["", "/verdict", "/papers"].map(|rest| asked("page", rest, job, facts)));
    all.extend(papers.map(|paper| asked("paper", &format!("/papers/{paper}"), job, facts)));
    all.iter().map(|question| answer_json(&question.to_string(), shelf)).collect()
}

#[test]
fn a_first_look_leaves_no_trace_in_the_whole_judgement() {
    let mut n_shown = 0;
    for (idx, (_, text)) in CASES.into_iter().enumerate() {
        let (job, facts) = facts(text);
        let (_, before) = facts.split_last().expect("facts");
        let mut plain = Shelf::default();
        ask("judge", "", &job, &facts, &mut plain);
        let wanted = whole(&job, &facts, &mut plain);

        let (mut alone, mut apart, mut paper) = (Shelf::default(), Shelf::default(), Shelf::default());
        for shelf in [&mut alone, &mut apart, &mut paper] {
            // What a look goes on from may have been concluded from chains of others, too.
            match idx {
                0 => conclude(&job, before, shelf),
                _ => _ = ask("judge", "", &job, before, shelf),
            }
            if idx < 2 {
                let rehearsed = ask("rehearse", "", &job, before, shelf);
                assert!(rehearsed["judged"] == true && rehearsed["first"] == false, "{rehearsed}");
            }
            let first = ask("first", "", &job, &facts, shelf);
            assert_eq!(first["judged"], false, "a look is no judgement: {first}");
            let page = ask("page", "", &job, &facts, shelf);
            let body = page["body"].as_str().expect("a page");
            assert!(page["judged"] == false && page["first"] == first["first"], "{page:.300}");
            assert_eq!(first["first"] == true, body.contains(MARK), "marked where it is shown");
            assert_eq!(first["first"] == true, !body.contains(OLDER));
            n_shown += usize::from(first["first"] == true);
        }
        ask("judge", "", &job, &facts, &mut alone);
        conclude(&job, &facts, &mut apart);
        // A paper that is asked for while a look is shown is of the whole judgement, which it waits for.
        let letter =
            asked("paper", &format!("/papers/owner-letter-{}.txt", job.to_lowercase()), &job, &facts);
        assert!(wanted.contains(&answer_json(&letter.to_string(), &mut paper)), "case {idx}: the letter");
        for shelf in [&mut alone, &mut apart, &mut paper] {
            assert!(whole(&job, &facts, shelf) == wanted, "case {idx}: the same to the byte");
        }
    }
    assert!(0 < n_shown, "not one look was shown, so nothing was tried");
}

/// Where pages show the look they say so; what is made from a judgement goes on from the one before, and says that.
#[test]
fn what_shows_a_first_look_says_so_and_nothing_else_uses_it() {
    let (job, facts) = facts(CASES[1].1);
    let (_, before) = facts.split_last().expect("facts");
    let mut shelf = Shelf::default();
    ask("judge", "", &job, before, &mut shelf);
    let list =
        |shelf: &mut Shelf| answer_json(&question("page", "/", &job, &facts, SWEEPS).to_string(), shelf);
    let urgency = list(&mut shelf);
    assert_eq!(ask("first", "", &job, &facts, &mut shelf)["first"], true, "the second case has one");
    assert_eq!(list(&mut shelf), urgency, "the list of jobs is by the judgement of before");
    for (rest, said, not_said) in [
        ("", MARK, OLDER),
        ("/verdict", MARK, OLDER),
        ("/spaces/main/5", MARK, OLDER),
        ("/joints/main:stab:5", MARK, OLDER),
        ("/papers", OLDER, MARK),
        ("/moves/main/5", OLDER, MARK),
    ] {
        let page = ask("page", rest, &job, &facts, &mut shelf);
        let body = page["body"].as_str().unwrap_or_default();
        assert!(body.contains(said) && !body.contains(not_said), "{rest}: {page}");
        // Fewer facts: the judgement is of these, and the look of others.
        let current = ask("page", rest, &job, before, &mut shelf);
        let body = current["body"].as_str().unwrap_or_default();
        assert!(!body.contains(MARK) && !body.contains(OLDER), "{rest}");
    }
}

/// Entries that come quickly one after the other: each look goes on from the last whole judgement, not from another look.
#[test]
fn looks_do_not_go_on_from_looks() {
    let (job, facts) = facts(CASES[0].1);
    let n = facts.len();
    let (mut twice, mut once) = (Shelf::default(), Shelf::default());
    for shelf in [&mut twice, &mut once] {
        ask("judge", "", &job, &facts[..n - 2], shelf);
    }
    ask("first", "", &job, &facts[..n - 1], &mut twice);
    for shelf in [&mut twice, &mut once] {
        ask("first", "", &job, &facts, shelf);
    }
    let page = |shelf: &mut Shelf| ask("page", "", &job, &facts, shelf);
    assert_eq!(page(&mut twice), page(&mut once));
    // Without a judgement of before there is nothing to go on from.
    let none = ask("first", "", &job, &facts, &mut Shelf::default());
    assert!(none["status"] == 200 && none["first"] == false && none["judged"] == false, "{none}");
}
