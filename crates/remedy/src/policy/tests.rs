//! The standard policy, and what is said about policies that are wrong.

use super::*;

fn problems(text: &str) -> Vec<String> {
    match Policy::parse("mine.toml", text) {
        Ok(_) => Vec::new(),
        Err(error) => {
            let problem =
                |problem: &PolicyProblem| format!("{}:{} {}", problem.line, problem.column, problem.message);
            error.problems.iter().map(problem).collect()
        }
    }
}

fn with(from: &str, to: &str) -> String {
    assert!(STANDARD.contains(from), "the standard policy no longer has {from}");
    STANDARD.replacen(from, to, 1)
}

#[test]
fn the_standard_policy_is_in_order() {
    let policy = Policy::parse("policy.toml", STANDARD).expect("the standard policy can be used");
    assert_eq!(policy.label(), "standard policy, version 5");
    assert!(policy.rules.iter().all(|rule| !rule.reason.is_empty() && !rule.cite.document.is_empty()));
    assert!(policy.rules.windows(2).all(|pair| pair[0].urgency <= pair[1].urgency));
}

#[test]
fn a_policy_without_days_of_a_plan_takes_the_standard_ones() {
    let standard = Policy::standard();
    assert_eq!(standard.plan, PlanDays::STANDARD);
    let from = STANDARD.find("[plan]").expect("the table");
    let to = from + STANDARD[from..].find("\n\n").expect("its end");
    let without = format!("{}{}", &STANDARD[..from], &STANDARD[to..]);
    assert_eq!(Policy::parse("old.toml", &without).expect("an older policy").plan, PlanDays::STANDARD);
    let found = problems(&with("look_back_days = 365", "look_back_days = 0"));
    assert!(found[0].contains("`look_back_days = 0` is outside 1 to 3650"), "{found:?}");
}

#[test]
fn a_policy_without_the_newer_threshold_takes_the_standard_one() {
    let of = |text: &str| Policy::parse("a.toml", text).expect("a policy").thresholds.may_become_urgent;
    let same = |one: f64, other: f64| (one - other).abs() < 1e-12;
    assert!(same(of(STANDARD), Thresholds::MAY_BECOME_URGENT));
    assert!(same(of(&with("may_become_urgent = 0.33\n", "")), Thresholds::MAY_BECOME_URGENT));
    assert!(same(of(&with("may_become_urgent = 0.33", "may_become_urgent = 0.2")), 0.2));
}

#[test]
fn an_unknown_key_is_named_with_its_place() {
    let found = problems(&with("likely_burnt = 0.5", "likely_burned = 0.5"));
    assert_eq!(found.len(), 1);
    assert!(found[0].contains("unknown field `likely_burned`"), "{found:?}");
    let line = STANDARD.lines().position(|line| line.starts_with("likely_burnt")).expect("a line") + 1;
    assert!(found[0].starts_with(&format!("{line}:1 ")), "{found:?}");
}

#[test]
fn an_unknown_condition_and_an_unknown_word_are_named() {
    assert!(
        problems(&with("{ moisture = true }]", "{ moist = true }]"))[0].contains("unknown variant `moist`")
    );
    let found = problems(&with("urgency = \"now\"", "urgency = \"at once\""));
    assert!(found[0].contains("`at once` is not an urgency: write one of now, within-72-hours"), "{found:?}");
    let found = problems(&with("sign = [\"buzz\"]", "sign = [\"hum\"]"));
    assert!(found[0].contains("`hum` is not a sign"), "{found:?}");
}

#[test]
fn every_wrong_figure_is_named_at_once() {
    let text = with("likely_cause = 0.5", "likely_cause = 50.0")
        .replacen("stop_gap_days = 30", "stop_gap_days = 900", 1)
        .replacen("price_usd = [50.0, 250.0]", "price_usd = [250.0, 50.0]", 1)
        .replacen("[\"neutral\"], at_least = 0.5 } }]", "[\"neutrl\"], at_least = 0.5 } }]", 1);
    let found = problems(&text);
    assert_eq!(found.len(), 4, "{found:?}");
    assert!(found.iter().any(|problem| problem.contains("`likely_cause = 50` is outside 0 to 1")));
    assert!(found.iter().any(|problem| problem.contains("`neutrl` is not a path")));
}

#[test]
fn a_missing_option_and_a_rule_named_twice_are_errors() {
    let found = problems(&with("[option.make-safe]", "[option.made-safe]"));
    assert!(found.iter().any(|problem| problem.contains("`made-safe` is not an option")), "{found:?}");
    assert!(found.iter().any(|problem| problem.contains("`make-safe` has no entry")), "{found:?}");
    let found = problems(&with("name = \"burnt stab\"", "name = \"worn joint\""));
    assert!(found[0].contains("two rules are named"), "{found:?}");
}

#[test]
fn text_that_is_no_policy_gives_an_error_and_no_panic() {
    for text in ["", "\u{0}", "[[[", "name = 3", "é = 1", "[thresholds]\nlikely_burnt = nan"] {
        assert!(!problems(text).is_empty(), "{text:?}");
    }
    let nan = with("likely_burnt = 0.5", "likely_burnt = nan");
    assert!(problems(&nan)[0].contains("outside 0 to 1"));
}
