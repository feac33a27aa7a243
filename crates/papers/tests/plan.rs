//! The papers of the days until the replacement: what they say, how hard they are to read, and that a label is a label.

mod fixtures;

use fixtures::{at, slot, split_bus};
use model::job::Job;
use model::plan::{Alarms, Answer, Interim};
use model::{Date, FactId};
use papers::{CrewSheet, Language, Paper, PlanWords, crew_sheet, owner_sheet, stop_gap_tag};

/// A plan with every line of the phrase book on it.
fn whole(job: &mut Job) -> Interim {
    let words = PlanWords::new();
    let ids = |all: Vec<(String, String)>| all.into_iter().map(|(id, _)| id).collect::<Vec<_>>();
    let plan = Interim {
        fact: FactId::new("f90"),
        at: at(11, 0),
        by: Some("electrician".to_owned()),
        off: vec![slot("5")],
        limits: ids(words.limits),
        limits_words: String::new(),
        done: "We switched the dryer off at its breaker and put a tag on it.".to_owned(),
        watch: ids(words.watch),
        watch_words: String::new(),
        alarms: Alarms::Tested,
        alarms_words: "hall and bedroom".to_owned(),
        medical: "none".to_owned(),
        food: "insulin in the refrigerator".to_owned(),
        heat: "none".to_owned(),
        expires: Date::constant(2026, 10, 28),
        recheck: Date::constant(2026, 10, 1),
        replacement: None,
        slip: ids(words.slip),
        answer: Answer::Declined,
        answer_words: "I need the dryer on Sunday.".to_owned(),
        answer_by: "owner".to_owned(),
        reasons: "The joint gets hot when the dryer runs.".to_owned(),
    };
    job.interims.push(plan.clone());
    plan
}

/// Syllables by the usual rule of thumb: groups of vowels, a silent e at the end not counted.
fn syllables(word: &str) -> usize {
    let letters: Vec<char> = word.to_lowercase().chars().filter(|c| c.is_alphabetic()).collect();
    let is_vowel = |c: &char| "aeiouy".contains(*c);
    let mut n = 0;
    for (idx, letter) in letters.iter().enumerate() {
        if is_vowel(letter) && (idx == 0 || !is_vowel(&letters[idx - 1])) {
            n += 1;
        }
    }
    // `ia` and `io` are two sounds, but for `cia`, `tio` and the like.
    for three in letters.windows(3) {
        if three[1] == 'i' && "ao".contains(three[2]) && !"cst".contains(three[0]) {
            n += 1;
        }
    }
    let silent = letters.len() > 2
        && letters.last() == Some(&'e')
        && !is_vowel(&letters[letters.len() - 2])
        && letters[letters.len() - 2] != 'l';
    if silent && 1 < n {
        n -= 1;
    }
    n.max(1)
}

/// Flesch–Kincaid grade: 0.39 words a sentence + 11.8 syllables a word − 15.59 (Kincaid and others, 1975, value from
/// memory).
fn grade(text: &str) -> f64 {
    let sentences: Vec<&str> =
        text.split(['.', '!', '?']).filter(|one| one.chars().any(char::is_alphabetic)).collect();
    let words: Vec<&str> =
        text.split_whitespace().filter(|word| word.chars().any(char::is_alphabetic)).collect();
    let n_syllables: usize = words.iter().map(|word| syllables(word)).sum();
    0.39 * words.len() as f64 / sentences.len() as f64 + 11.8 * n_syllables as f64 / words.len() as f64
        - 15.59
}

/// The words of a paper, one sentence or cell a line.
fn prose(paper: &Paper) -> String {
    fn collect(value: &serde_json::Value, out: &mut String) {
        match value {
            serde_json::Value::Object(pairs) => {
                for (key, value) in pairs {
                    if !matches!(key.as_str(), "kind" | "svg" | "align" | "lines") {
                        collect(value, out);
                    }
                }
            }
            serde_json::Value::Array(all) => all.iter().for_each(|value| collect(value, out)),
            serde_json::Value::String(text) => {
                out.push_str(text);
                out.push('\n');
            }
            _ => {}
        }
    }
    let mut out = String::new();
    collect(&serde_json::to_value(&paper.body).expect("a page tree is data"), &mut out);
    out
}

/// Whole sentences only: headings and cells of a word or two would make it look easier than it is.
fn sentences(text: &str) -> String {
    text.lines().filter(|line| line.trim_end().ends_with(['.', '!', '?'])).collect::<Vec<_>>().join(" ")
}

#[test]
fn the_grade_is_that_of_known_sentences() {
    assert_eq!(
        ["the", "panel", "table", "smoke", "appliance", "electrician"].map(syllables),
        [1, 2, 2, 1, 3, 4]
    );
    // One word of one syllable: 0.39 + 11.8 − 15.59.
    assert!((grade("Out.") + 3.4).abs() < 1e-9);
    assert!(
        12.0 < grade(
            "The authority having jurisdiction necessitates documentation of overcurrent protective equipment."
        )
    );
}

#[test]
fn the_owners_sheet_is_read_at_grade_eight_or_below() {
    let (mut job, _) = split_bus();
    let plan = whole(&mut job);
    let paper = owner_sheet(&job, &plan, Language::English);
    let text = prose(&paper);
    let grade_of_all = grade(&sentences(&text));
    println!("grade of the owner's sheet: {grade_of_all:.1}");
    assert!(grade_of_all <= 8.0, "{grade_of_all}");
    let tag = stop_gap_tag(&job, Some(&plan), None).expect("a tag");
    let tag = sentences(&prose(&tag));
    println!("grade of the tag: {:.1}", grade(&tag));
    assert!(grade(&tag) <= 8.0);
    // No sentence that a person gets lost in.
    for sentence in text.split(['.', '\n', ':']) {
        assert!(sentence.split_whitespace().count() <= 25, "{sentence}");
    }
}

#[test]
fn the_owner_is_never_sent_into_the_panel() {
    let (mut job, _) = split_bus();
    let plan = whole(&mut job);
    let text = owner_sheet(&job, &plan, Language::English).text();
    for wrong in ["open the panel door", "remove", "take off the cover", "reset", "flip"] {
        assert!(!text.to_lowercase().contains(wrong), "{wrong}");
    }
    for caution in [
        "Only a qualified person",
        "still live",
        "no single main",
        "Call 911 from outside",
        "not a guarantee",
    ] {
        assert!(text.to_lowercase().contains(&caution.to_lowercase()), "{caution}: {text}");
    }
    assert!(
        text.contains("You chose not to follow this plan") && text.contains("I need the dryer on Sunday")
    );
}

#[test]
fn a_tag_needs_something_that_ends() {
    let (mut job, _) = split_bus();
    assert!(stop_gap_tag(&job, None, None).is_some(), "the stop-gap of the record");
    job.work.clear();
    assert!(stop_gap_tag(&job, None, None).is_none());
    let plan = whole(&mut job);
    let address = "http://192.168.7.20:7117/jobs/J-0148";
    let tag = stop_gap_tag(&job, Some(&plan), Some(address)).expect("a tag").text();
    for part in [address, "2026-10-28", "OFF", "No single main", "Never pull a breaker off a live stab"] {
        assert!(tag.contains(part), "{part}: {tag}");
    }
}

#[test]
fn the_crews_sheet_marks_what_was_opened_without_proof() {
    let (mut job, _) = split_bus();
    job.openings.push(model::job::Opening {
        fact: FactId::new("f91"),
        at: at(12, 0),
        joint: model::JointId::Stab(slot("5")),
        found: model::job::Condition::Burnt,
        words: String::new(),
    });
    let not_proven = [FactId::new("f91")];
    let from = CrewSheet {
        job: &job,
        plan: None,
        isolation: None,
        parts: &[],
        not_proven: &not_proven,
        day: Date::constant(2026, 9, 28),
    };
    let text = crew_sheet(&from).text();
    assert!(text.contains("not trusted") && text.contains("No plan until the replacement"), "{text}");
}

#[cfg(feature = "pdf")]
#[test]
fn a_tag_is_one_label_and_a_sheet_two_pages_at_most() {
    let fonts = papers::Fonts::embedded();
    let (mut job, _) = split_bus();
    job.place = "a very long name of a place that nobody would write on a label".repeat(3);
    let plan = whole(&mut job);
    let tag = stop_gap_tag(&job, Some(&plan), Some("http://192.168.7.20:7117/jobs/J-0148")).expect("a tag");
    let pdf = tag.pdf(&fonts).expect("it can be set");
    fixtures::keep("tag", &pdf);
    assert_eq!(fixtures::pages(&pdf), 1);
    for language in Language::ALL {
        let pdf = owner_sheet(&job, &plan, language).pdf(&fonts).expect("it can be set");
        fixtures::keep(&format!("owner-sheet-{language:?}"), &pdf);
        assert!(fixtures::pages(&pdf) <= 2, "{language:?}");
    }
}
