//! Chains that several instances run give the judgement that one instance makes, and chains of anything else give none.

use crate::ground::{CASES, facts, question};
use phone::{Ask, Shelf, answer_json, answer_json_with, chain};
use record::Body;
use serde_json::Value;

fn read(question: &Value) -> Ask {
    serde_json::from_value(question.clone()).expect("a question")
}

/// Each chain by an instance of its own, that knows nothing of the others.
fn chains(question: &Value) -> Vec<Vec<u8>> {
    (0..4).map(|number| chain(&read(question), number, &mut Shelf::default()).expect("draws")).collect()
}

fn conclude(mut question: Value, chains: &[Vec<u8>], shelf: &mut Shelf) -> Value {
    question["what"] = "conclude".into();
    serde_json::from_str(&answer_json_with(&question.to_string(), chains, shelf)).expect("an answer")
}

#[test]
fn who_runs_the_chains_changes_nothing() {
    for (_, text) in CASES {
        let (job, facts) = facts(text);
        let path = format!("/jobs/{job}");
        let judge = question("judge", &path, &job, &facts, 40);
        let (mut apart, mut alone) = (Shelf::default(), Shelf::default());
        let concluded = conclude(judge.clone(), &chains(&judge), &mut apart);
        let judged: Value =
            serde_json::from_str(&answer_json(&judge.to_string(), &mut alone)).expect("an answer");
        assert_eq!(concluded, judged);
        for rest in ["", "/verdict"] {
            let page = question("page", &format!("{path}{rest}"), &job, &facts, 40).to_string();
            assert_eq!(answer_json(&page, &mut apart), answer_json(&page, &mut alone), "{rest}");
        }
    }
}

#[test]
fn chains_of_other_facts_are_not_concluded_from() {
    let (job, facts) = facts(CASES[1].1);
    let path = format!("/jobs/{job}");
    let judge = question("judge", &path, &job, &facts, 40);
    let (_, before) = facts.split_last().expect("facts");
    let other = chains(&question("judge", &path, &job, before, 40));
    let own = chains(&judge);
    let mut cut = own.clone();
    cut[2].pop();
    for wrong in [&other[..], &own[..3], &[], &cut] {
        let mut shelf = Shelf::default();
        let answer = conclude(judge.clone(), wrong, &mut shelf);
        assert_eq!(answer["status"], 500, "{answer}");
        let page = answer_json(&question("page", &path, &job, &facts, 40).to_string(), &mut shelf);
        assert!(page.contains("\"judged\":false"), "nothing is kept of it");
    }
}

#[test]
fn what_cannot_be_judged_is_known_without_a_chain() {
    let (job, mut facts) = facts(CASES[2].1);
    facts.retain(|fact| matches!(fact.body, Body::Job(_)));
    let begin = question("begin", &format!("/jobs/{job}"), &job, &facts, 40);
    let mut shelf = Shelf::default();
    let answer: Value =
        serde_json::from_str(&answer_json(&begin.to_string(), &mut shelf)).expect("an answer");
    assert_eq!(answer["judged"], true, "{answer}");
    assert!(chain(&read(&begin), 0, &mut shelf).is_err());
}
