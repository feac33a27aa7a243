//! What is said of a job of the demo.

use super::*;
use crate::sample::{job, judgement};

fn texts(job: &Job, judgement: &Judgement, class: Class) -> String {
    let all = statements(job, judgement, &Policy::standard());
    let wanted = all.iter().filter(|statement| statement.class == class);
    wanted.map(|statement| statement.text.as_str()).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_classes_come_in_order() {
    let job = job(0);
    let all = statements(&job, &judgement(&job, &["15"]), &Policy::standard());
    let order: Vec<Class> = all.iter().map(|statement| statement.class).collect();
    let mut classes = order.clone();
    classes.dedup();
    assert_eq!(classes, [Class::Seen, Class::Measured, Class::Inferred, Class::Unknown]);
}

#[test]
fn what_was_seen_and_what_was_not_is_said() {
    let job = job(0);
    let text = texts(&job, &judgement(&job, &[]), Class::Seen);
    assert!(
        text.contains("We were told about breaker 15 (kitchen receptacles, east): “The kitchen breaker"),
        "{text}"
    );
    assert!(text.contains("A fishy or acrid smell at breaker 15"), "{text}");
    assert!(text.contains("Breaker 16 (laundry receptacle) is of another make"), "{text}");
    assert!(
        text.contains("Looked for and not found: a melted or browned breaker case at panel main"),
        "{text}"
    );
}

#[test]
fn what_a_caller_said_is_seen_by_the_caller() {
    let mut job = job(0);
    let answer = |question: &str, answer: &str| model::job::CallAnswer {
        question: question.to_owned(),
        answer: answer.to_owned(),
    };
    job.calls.push(model::job::Call {
        fact: FactId::new("call-1"),
        at: job.opened.at(7, 0, 0, 0),
        answers: vec![answer("spread", "circuit"), answer("smell", "earlier")],
        words: "it smelt of fish".to_owned(),
    });
    let text = texts(&job, &judgement(&job, &[]), Class::Seen);
    let heard = "The caller told us by telephone: it smelt earlier, not now and one room, outlet or breaker is affected.";
    assert!(text.contains(heard), "{text}");
    assert!(text.contains("The caller’s words: “it smelt of fish”"), "{text}");
}

#[test]
fn readings_are_given_with_their_conditions() {
    let job = job(0);
    let text = texts(&job, &judgement(&job, &[]), Class::Measured);
    assert!(
        text.contains(
            "Breaker faces in the load state “breakfast”, room 21.5 °C, after 60 min: breaker 15 (kitchen \
                       receptacles, east) 48.4 °C with 13.2 A"
        ),
        "{text}"
    );
    assert!(
        text.contains("263 mV from the load terminal of space 23 to the load terminal of space 15 at 13.1 A"),
        "{text}"
    );
    assert!(
        text.contains(
            "Breaker 15 (kitchen receptacles, east) opened by itself at 18.4 A (rated 20 A) after 25 min."
        ),
        "{text}"
    );
}

#[test]
fn inference_comes_with_its_probability_and_reason() {
    let job = job(0);
    let text = texts(&job, &judgement(&job, &["15", "16"]), Class::Inferred);
    assert!(
        text.contains(
            "The stab under breaker 15 (kitchen receptacles, east) is burnt: very likely, about 9 in 10."
        ),
        "{text}"
    );
    assert!(text.contains("With 13 A it makes 0.9 to 2.8 W of heat, at 20 A 2.2 to 6.6 W."), "{text}");
    assert!(text.contains("That a breaker opens (breaker 15"), "{text}");
    assert!(
        text.contains("Next: more load on the circuit than its rating (unlikely, about 2 in 10)"),
        "{text}"
    );
}

#[test]
fn what_is_unknown_is_said() {
    let job = job(0);
    let text = texts(&job, &judgement(&job, &[]), Class::Unknown);
    assert!(text.contains("The stabs were not seen"), "{text}");
    assert!(text.contains("No reading and no sign says anything about"), "{text}");
    assert!(text.contains("No other source is recorded"), "{text}");
    assert!(text.contains("Leg voltages under load were not measured"), "{text}");
}

#[test]
fn every_case_reads_without_an_error() {
    for idx in 0..crate::sample::CASES.len() {
        assert!(job(idx).invented);
    }
}
