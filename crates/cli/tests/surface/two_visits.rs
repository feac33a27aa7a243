//! A panel read twice: the last visit is judged, and then is held against now at equal load.

use crate::program::{arg, folder, root, run};
use serde_json::Value;
use std::fs;

/// A second visit to the demo's panel, eight months later, invented: the drop under 15 has grown, the face of 17 has not.
const LATER: &str = r#"
[[state]]
name = "second visit"
at = 2026-07-20T10:00
words = "As at breakfast in November."
held_min = 60
room_c = 26
unloaded = [1, 3, 2, 4, 5, 7, 6, 8, 23]
clamp = "clamp 2"
amps = { "15" = 12.0, "17" = 12.6 }
thermometer = "camera 1"
faces_c = { "17" = 43.5 }

[[drop]]
state = "second visit"
from = "load:23"
to = "load:15"
mv = 391
amps = 12.0
instrument = "meter 4"
"#;

#[test]
fn two_visits_are_held_against_one_another() {
    let folder = folder("two-visits");
    let case = fs::read_to_string(root().join("cases/1-burnt-stabs.toml")).expect("the demo's file");
    let file = folder.join("twice.toml");
    fs::write(&file, case + LATER).expect("written");
    let ask = ["assess", arg(&file), "--day=2026-07-20", "--sweeps", "40"];

    let text = run(&ask);
    assert_eq!(text.code, 0, "{}", text.err);
    let told: String = text.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // 391 mV at 12 A are 32.6 mΩ, 263 mV at 13.1 A are 20.1: 1.6 times, and 150 mV more at 12 A.
    for words in [
        "Then and now",
        "drop from load terminal 23 to load terminal 15: 263.0 mV at 13.1 A on",
        "391.0 mV at 12.0 A on 2026-07-20. At equal load",
        "1.6 times the resistance",
        "+150 mV at 12 A. It grows",
        "face 17",
        "No change that these readings can show.",
        "When a joint will fail cannot be told from them.",
        "no longer weighed",
    ] {
        assert!(told.contains(words), "{words}: {}", text.out);
    }

    let json = run(&[&ask[..], &["--json"]].concat());
    let value: Value = serde_json::from_str(&json.out).expect("JSON");
    let trends = value["trends"].as_array().expect("a list");
    let changes: Vec<&str> = trends.iter().filter_map(|trend| trend["change"].as_str()).collect();
    assert!(changes.contains(&"more") && changes.contains(&"not-shown"), "{changes:?}");

    // One visit has nothing to compare.
    let once = run(&["assess", "cases/1-burnt-stabs.toml", "--day=2025-11-18", "--sweeps", "40"]);
    assert!(!once.out.contains("Then and now"), "{}", once.out);
}
