//! What a person reads.

use crate::program::{CASES, command, json_of, run, run_with_input, text_of};
use std::fs;

/// Takes figures of the sampler out, so that the snapshot shows words and order and not the last digits.
fn without_figures(text: &str) -> String {
    let mut out = String::new();
    let mut in_number = false;
    for letter in text.chars() {
        let digit = letter.is_ascii_digit();
        if digit && !in_number {
            out.push('#');
        }
        if !(digit || in_number && letter == '.') {
            out.push(letter);
        }
        in_number = digit || (in_number && letter == '.');
    }
    out
}

#[test]
fn the_verdict_stands_on_top() {
    let verdicts = ["WITHIN 72 HOURS", "NO ACTION NEEDED ON THE PANEL", "NOW, BEFORE"];
    for (case, verdict) in verdicts.into_iter().enumerate() {
        let head: Vec<&str> = text_of(case).lines().filter(|line| line.starts_with("VERDICT")).collect();
        assert!(head.len() == 1 && head[0].contains(verdict), "{}: {head:?}", CASES[case]);
    }
}

#[test]
fn the_demo_case_points_at_the_two_stabs_it_was_made_with() {
    let text = text_of(0);
    let sketch = text.lines().find(|line| line.starts_with("  B   15")).expect("the row is in the sketch");
    // 15 is likely burnt. 16 is suspect at least: whether its drop lies in the stab or in a pole of another make is open, see
    // docs/diagnosis.md, "One drop over a breaker of another make".
    assert!(1 <= sketch.matches("!!").count() && 3 <= sketch.matches('!').count(), "{sketch}");
    assert!(text.contains("of another make"), "{text}");
    assert!(text.contains("Do not pull the breaker"));
}

#[test]
fn the_overload_is_not_sold_a_panel() {
    let text = text_of(1);
    assert!(text.contains("Nothing was found wrong with the panel"), "{text}");
    assert!(text.contains("[RECOMMENDED] Correct the load"));
    assert!(text.contains("No joint is suspect"));
}

#[test]
fn no_line_is_wider_than_eighty_columns_and_none_has_colour() {
    for case in 0..CASES.len() {
        let text = text_of(case);
        for line in text.lines().filter(|line| !line.contains("| at = ")) {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(!text.contains('\u{1b}'));
    }
}

#[test]
fn colour_adds_nothing_but_colour() {
    let plain = run(&["check", CASES[0], "--day", "2025-12-01"]);
    let forced = command(&["check", CASES[0], "--day", "2025-12-01"]).env("CLICOLOR_FORCE", "1").output();
    let forced = String::from_utf8(forced.expect("the program starts").stdout).expect("text");
    assert_eq!(anstream::adapter::strip_str(&forced).to_string(), plain.out);
    let refused = command(&["check", CASES[0], "--day", "2025-12-01", "--no-color"])
        .env("CLICOLOR_FORCE", "1")
        .output();
    assert_eq!(String::from_utf8(refused.expect("the program starts").stdout).expect("text"), plain.out);
}

#[test]
fn every_note_reaches_the_page() {
    for case in 0..CASES.len() {
        let value: serde_json::Value = serde_json::from_str(json_of(case)).expect("one line of JSON");
        let text = text_of(case);
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for note in value["notes"].as_array().expect("a list") {
            let wanted =
                note["text"].as_str().expect("text").split_whitespace().collect::<Vec<_>>().join(" ");
            // A line may be broken after a hyphen; compare without the spaces that this leaves.
            let squeezed = |text: &str| text.replace("- ", "-");
            assert!(squeezed(&flat).contains(&squeezed(&wanted)), "{case}: {wanted}");
        }
        for caution in value["verdict"]["cautions"].as_array().expect("a list") {
            let wanted = caution.as_str().expect("text");
            assert!(
                flat.contains(&wanted.split_whitespace().collect::<Vec<_>>().join(" ")),
                "{case}: {wanted}"
            );
        }
    }
}

#[test]
fn the_text_of_a_case_reads_like_this() {
    let text = text_of(1);
    let options = text.find("\nOptions\n").expect("there are options");
    let computed = text.find("\nHow it was computed").expect("there is a foot");
    insta::assert_snapshot!("overload-options", without_figures(&text[options..computed]));
}

#[test]
fn errors_of_a_file_read_like_this() {
    let good = fs::read_to_string(crate::program::root().join(CASES[1])).expect("the case is there");
    let bad = good.replacen("rating_a = 15", "rating_amps = 15", 1).replacen("c = ", "cc = ", 1);
    let bad = bad.replacen("\"5\" = 33.6", "\"5\" = 1200", 1);
    let run = run_with_input(&["check", "-", "--day", "2025-12-01"], bad.as_bytes());
    assert_eq!(run.code, 1);
    insta::assert_snapshot!("errors-of-a-file", run.out);
}

#[test]
fn a_sub_panel_and_half_width_breakers_are_drawn() {
    let run = run(&["assess", "crates/cli/tests/surface/files/sub-panel.toml", "--day", "2025-12-01"]);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let start = run.out.find("\nPanel main\n").expect("the first panel is drawn");
    let end = run.out.find("\n  !! likely burnt").expect("the marks are explained");
    let sketch =
        run.out[start..end].replace("!!", " *").replace(" !", " *").replace(" ~", " *").replace(" .", " *");
    let sketch = sketch.replace(" ?", " *");
    insta::assert_snapshot!("sketch-of-sub-panel", sketch);
}

#[test]
fn a_split_bus_is_not_dead_by_its_handles() {
    let case = CASES[0];
    let lower = run(&["isolate", case, "--part", "main/lower", "--day", "2025-12-01"]).out;
    assert!(lower.contains("SWITCH OFF\n  1. ") && lower.contains("counts as live"), "{lower}");
    let lugs = run(&["isolate", case, "--part", "main", "--json", "--day", "2025-12-01"]).out;
    let lugs: serde_json::Value = serde_json::from_str(&lugs).expect("one object");
    assert_eq!(lugs["by_hand"], false);
    assert!(lugs["utility"].as_str().is_some_and(|text| text.contains("only the utility can")), "{lugs}");
    let parts = lugs["parts"].as_array().expect("the parts");
    assert!(!parts.is_empty() && parts.iter().all(|part| part["proven_dead"] == false), "{lugs}");
    assert!(run(&["isolate", case, "--part", "main/roof"]).err.contains("does not hold"));
}
