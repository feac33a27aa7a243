//! Calls with what they must come to, and what no line may say.

use super::CallUrgency::{Emergency, PlanVisit, UsTomorrow, UsTonight, UtilityNow};
use super::FirstCall::{EmergencyServices, Us, Utility};
use super::{CallAdvice, CallUrgency, FirstCall, Triage};
use model::job::CallAnswer;

fn answers(text: &str) -> Vec<CallAnswer> {
    let one = |pair: &str| {
        let (question, answer) = pair.split_once(':').expect("question and answer");
        CallAnswer { question: question.to_owned(), answer: answer.to_owned() }
    };
    text.split_whitespace().map(one).collect()
}

/// What the caller says, what the call comes to, who is called first, and a line that must be told.
const CALLS: &[(&str, CallUrgency, FirstCall, &str)] = &[
    ("danger:smoke", Emergency, EmergencyServices, "Get everyone out of the house now."),
    (
        "danger:flame smell:burning people:frail",
        Emergency,
        EmergencyServices,
        "Call 911 once you are outside.",
    ),
    ("danger:crackle spread:circuit", Emergency, EmergencyServices, "Do not touch the panel or open it."),
    (
        "danger:smoke danger:none lights:see-saw",
        Emergency,
        EmergencyServices,
        "Do not go back in for things.",
    ),
    ("danger:none alarms:sounding", Emergency, EmergencyServices, "Get everyone out of the house now."),
    ("smell:gas danger:none", Emergency, EmergencyServices, "Do not touch any switch, plug or phone inside."),
    ("panel:hot smell:fishy danger:none", Emergency, EmergencyServices, "Get everyone out of the house now."),
    (
        "danger:none lights:see-saw spread:whole",
        UtilityNow,
        Utility,
        "Unplug the TV, computers and other things",
    ),
    ("danger:none lights:see-saw", UtilityNow, Utility, "Do not plug things back in until we say so."),
    ("danger:tingle", UtilityNow, Utility, "Do not touch taps, pipes or wet metal."),
    (
        "danger:none spread:whole lights:flicker",
        UtilityNow,
        Utility,
        "Call the power company and tell them what your lights do.",
    ),
    ("danger:none spread:half lights:out", UtilityNow, Utility, "Do not run the dryer, oven or heaters."),
    ("danger:none spread:half lights:unknown", UtilityNow, Utility, "Unplug the TV"),
    ("danger:none spread:neighbours lights:dim", UtilityNow, Utility, "Call the power company"),
    ("danger:none panel:water", UtilityNow, Utility, "Stay in dry rooms, away from the wet floor."),
    (
        "danger:none smell:burning spread:circuit",
        UsTonight,
        Us,
        "Turn off the dryer, oven and heaters at the machine",
    ),
    ("danger:none smell:none panel:hot", UsTonight, Us, "If you see smoke or hear a crackle, get out"),
    ("danger:unknown", UsTonight, Us, "If you see smoke or hear a crackle, get out"),
    (
        "danger:none spread:circuit lights:out people:machine",
        UsTonight,
        Us,
        "If a machine keeps someone alive",
    ),
    (
        "danger:none spread:half lights:dim people:infant",
        UsTonight,
        Utility,
        "Keep the baby and anyone ill in a safe",
    ),
    ("danger:none spread:half lights:flicker people:none", UsTomorrow, Utility, "Call the power company"),
    ("danger:none smell:earlier", UsTomorrow, Us, "Write down what was on when it went wrong."),
    (
        "danger:none panel:trips spread:circuit smell:none",
        UsTomorrow,
        Us,
        "Do not push the breaker back on again",
    ),
    ("danger:none spread:circuit lights:flicker", UsTomorrow, Us, "Write down what was on"),
    ("danger:none spread:unknown lights:normal", UsTomorrow, Us, "Write down what was on"),
    (
        "danger:none smell:none spread:none lights:normal panel:none people:none sources:none alarms:yes",
        PlanVisit,
        Us,
        "Take a photo of the closed panel",
    ),
    ("danger:none alarms:unknown", PlanVisit, Us, "If you see smoke or hear a crackle, get out"),
    ("", PlanVisit, Us, "Do not touch the panel or open it."),
];

#[test]
fn calls_come_to_what_they_must() {
    let triage = Triage::standard();
    for (said, urgency, first_call, line) in CALLS {
        let advice = triage.advise(&answers(said));
        assert_eq!((advice.urgency, advice.first_call), (*urgency, *first_call), "{said}: {advice:#?}");
        assert!(advice.text().contains(line), "{said}: {}", advice.text());
        assert!((1..=3).contains(&advice.do_lines.len()), "{said}: {:?}", advice.do_lines);
        assert!((1..=3).contains(&advice.dont_lines.len()), "{said}: {:?}", advice.dont_lines);
        assert!(advice.rules.iter().all(|rule| !rule.reason.is_empty()), "{said}");
        assert_eq!(advice.rules[0].urgency, Some(*urgency), "{said}: the first rule gives the urgency");
    }
    for urgency in CallUrgency::ALL {
        assert!(CALLS.iter().any(|call| call.1 == urgency), "no call of {}", urgency.word());
    }
}

#[test]
fn every_rule_fires_in_some_call_of_the_table_or_adds_lines() {
    let triage = Triage::standard();
    let fired: Vec<String> =
        CALLS.iter().flat_map(|call| triage.advise(&answers(call.0)).rules).map(|rule| rule.name).collect();
    for rule in &triage.rules {
        assert!(fired.contains(&rule.name) || rule.urgency.is_none(), "`{}` never fires", rule.name);
    }
}

#[test]
fn another_answer_never_makes_a_call_less_urgent() {
    let triage = Triage::standard();
    for (said, ..) in CALLS {
        let before = triage.advise(&answers(said));
        for question in triage.questions() {
            for answer in &question.answers {
                let more = format!("{said} {}:{}", question.id, answer.id);
                let after = triage.advise(&answers(&more));
                assert!(after.urgency <= before.urgency, "{more}");
            }
        }
    }
}

#[test]
fn smoke_flame_or_crackle_is_out_whatever_else_is_said() {
    let triage = Triage::standard();
    for danger in ["danger:smoke", "danger:flame", "danger:crackle"] {
        for question in triage.questions() {
            for answer in &question.answers {
                let advice = triage.advise(&answers(&format!("{}:{} {danger}", question.id, answer.id)));
                assert_eq!(advice.urgency, Emergency);
                assert!(advice.headline.starts_with("Get everyone out now."), "{}", advice.headline);
                assert!(advice.do_lines[0].starts_with("Get everyone out"), "{:?}", advice.do_lines);
                assert!(advice.text().contains("Do not touch the panel or open it."), "{}", advice.text());
            }
        }
    }
}

/// All words that a caller may be told.
fn all_lines(triage: &Triage) -> Vec<String> {
    let rules = triage.rules.iter().chain([&triage.otherwise]);
    let mut lines: Vec<String> =
        rules.flat_map(|rule| rule.do_lines.iter().chain(&rule.dont_lines)).cloned().collect();
    lines.extend(triage.headlines.values().cloned());
    lines.push(triage.closing.clone());
    lines.sort();
    lines.dedup();
    lines
}

#[test]
fn no_line_sends_anybody_to_the_panel() {
    let triage = Triage::standard();
    for line in all_lines(&triage) {
        let low = line.to_lowercase();
        for bad in ["the main", "main breaker", "cover", "all breakers", "dead", "meter"] {
            assert!(!low.contains(bad), "`{line}` speaks of `{bad}`");
        }
        let touches = ["touch", "open", "push", "switch"].iter().any(|verb| low.contains(verb));
        let is_warning = low.starts_with("do not ");
        let of_doors = low == "leave doors open as you go.";
        assert!(!touches || is_warning || of_doors, "`{line}` tells to touch something");
        assert!(
            !low.contains("panel")
                || is_warning
                || low.contains("not at the panel")
                || low.contains("near the panel")
                || low.contains("closed panel from six feet"),
            "`{line}` sends somebody to the panel"
        );
    }
}

/// Syllables of a word, counted by groups of vowels, without a silent `e` at the end. Rough, and rather too many
/// than too few.
fn syllables(word: &str) -> usize {
    let word = word.to_lowercase();
    let is_vowel = |c: char| "aeiouy".contains(c);
    let mut count = 0;
    let mut was_vowel = false;
    for c in word.chars() {
        count += usize::from(is_vowel(c) && !was_vowel);
        was_vowel = is_vowel(c);
    }
    let silent = word.ends_with('e') && !word.ends_with("le") && !word.ends_with("ee");
    if word.chars().all(|c| c.is_ascii_digit()) {
        // Read digit by digit: only zero and seven have two.
        return word.chars().map(|c| if matches!(c, '0' | '7') { 2 } else { 1 }).sum();
    }
    (count - usize::from(silent && 1 < count)).max(1)
}

/// Grade of Flesch and Kincaid: 0.39 words a sentence + 11.8 syllables a word - 15.59 (Kincaid et al. 1975, US Navy
/// report 8-75; value from memory).
fn grade(text: &str) -> f64 {
    let sentences = text.matches(['.', '!', '?', ':']).count().max(1) as f64;
    let words: Vec<&str> =
        text.split(|c: char| !c.is_alphanumeric() && c != '\'').filter(|word| !word.is_empty()).collect();
    let n_syllables: usize = words.iter().map(|word| syllables(word)).sum();
    0.39 * words.len() as f64 / sentences + 11.8 * n_syllables as f64 / words.len() as f64 - 15.59
}

#[test]
fn the_grade_is_that_of_a_known_text() {
    assert_eq!(["cat", "table", "utility", "smoke", "people", "911"].map(syllables), [1, 2, 4, 1, 2, 3]);
    // Six words of one syllable in one sentence: 0.39 * 6 + 11.8 - 15.59.
    assert!((grade("The cat sat on the mat.") - -1.45).abs() < 1e-9);
}

#[test]
fn a_frightened_person_can_read_every_line() {
    let triage = Triage::standard();
    let hard: Vec<String> = all_lines(&triage).into_iter().filter(|line| 8.0 < grade(line)).collect();
    assert_eq!(hard, Vec::<String>::new());
    for (said, ..) in CALLS {
        let text = triage.advise(&answers(said)).text();
        assert!(grade(&text) <= 6.0, "grade {:.1}: {text}", grade(&text));
        assert!(text.chars().count() <= 600, "{}: {text}", text.chars().count());
    }
    for question in triage.questions() {
        assert!(grade(&question.ask) <= 8.0, "grade {:.1}: {}", grade(&question.ask), question.ask);
    }
}

#[test]
fn what_was_not_asked_is_said_and_foreign_answers_are_kept() {
    let triage = Triage::standard();
    let given = answers("danger:none smell:earlier later-question:yes");
    let CallAdvice { not_asked, .. } = triage.advise(&given);
    assert_eq!(not_asked, ["spread", "lights", "panel", "people", "sources", "alarms"]);
    assert_eq!(
        triage.said(&given),
        ["no smoke, flame, crackle or shock", "it smelt earlier, not now", "later-question: yes"]
    );
    assert!((6..=8).contains(&triage.questions().len()));
}
