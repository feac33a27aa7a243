//! What openings teach, counted and judged by.

use crate::program::{arg, folder, run};
use serde_json::Value;
use std::fs;

const DAY: &str = "--day=2026-11-26";

/// Its bus was proven dead, and three of its stabs opened.
const OPENED: &str = "docs/worked-example/job.toml";

#[test]
fn what_was_opened_is_counted_and_judged_by() {
    let folder = folder("learn");
    let learned = run(&["learn", OPENED, DAY, "--sweeps", "30"]);
    assert_eq!(learned.code, 0, "{}", learned.err);
    assert!(
        learned.out.contains("made = \"2026-11-26\"") && learned.out.contains("[[odds]]"),
        "{}",
        learned.out
    );
    let experience = folder.join("experience.toml");
    fs::write(&experience, &learned.out).expect("written");

    let version = |more: &[&str]| {
        let args: Vec<&str> = ["assess", "cases/2-overload.toml", DAY, "--sweeps", "30", "--json"]
            .iter()
            .chain(more)
            .copied()
            .collect();
        let ran = run(&args);
        assert_eq!(ran.code, 0, "{}", ran.err);
        let told: Value = serde_json::from_str(&ran.out).expect("JSON");
        told["model_version"].as_str().unwrap_or_default().to_owned()
    };
    let (own, with) = (version(&[]), version(&["--experience", arg(&experience)]));
    assert!(!own.is_empty() && !own.contains("experience"), "{own}");
    assert!(with.starts_with(&own) && with.contains("experience of 2026-11-26"), "{with}");

    // A slip is told with its file, and nothing is judged.
    fs::write(&experience, learned.out.replace("of = \"stab\"", "of = \"make\"")).expect("written");
    let refused = run(&["assess", "cases/2-overload.toml", "--experience", arg(&experience)]);
    assert_eq!(refused.code, 1, "{}", refused.err);
    assert!(refused.err.contains("`make` is no kind of joint"), "{}", refused.err);
}

#[test]
fn without_a_proven_opening_there_is_nothing_to_count() {
    let ran = run(&["learn", "cases/1-burnt-stabs.toml", DAY]);
    assert_eq!((ran.code, ran.out.starts_with("# No joint was opened")), (0, true), "{}{}", ran.out, ran.err);
}
