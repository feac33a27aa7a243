//! What is due in all jobs of a data folder, and as a calendar file.

use crate::program::{CASES, arg, folder, root, run};
use std::fs;

/// A case with a stop-gap, a plan and a promise on it. Invented.
const MORE: &str = r#"
[[work]]
at = 2025-11-19T12:00
id = "gap"
kind = "stop-gap"
words = "Kitchen breaker switched off and tagged; no load, no smell"
spaces = [15]
expires = 2025-12-19
recheck = 2025-11-22

[[kept]]
at = 2025-11-22T09:00
of = "gap"
what = "recheck"
words = "cool, tag in place"

[[promise]]
at = 2025-11-19T12:10
words = "send the price, with and without arc-fault breakers"
due = 2025-11-24
"#;

#[test]
fn the_board_lists_what_is_due_and_the_calendar_says_the_same() {
    let here = folder("board");
    let (file, data, calendar) = (here.join("job.toml"), here.join("data"), here.join("board.ics"));
    let case = fs::read_to_string(root().join(CASES[0])).expect("the case");
    fs::write(&file, format!("{case}{MORE}")).expect("a file");
    let taken = run(&["import", arg(&file), "--data", arg(&data), "--day", "2025-12-01"]);
    assert_eq!(taken.code, 0, "{}{}", taken.out, taken.err);
    let board = run(&["board", "--data", arg(&data), "--calendar", arg(&calendar), "--day", "2025-12-01"]);
    assert_eq!(board.code, 0, "{}", board.err);
    let lines: Vec<&str> = board.out.lines().collect();
    assert!(lines[0].starts_with("2025-11-24 LATE promise: send the price"), "{lines:?}");
    assert!(lines[1].starts_with("2025-12-19 ends: Stop-gap ends"), "{lines:?}");
    assert_eq!(lines.len(), 2, "the recheck is done: {lines:?}");
    let text = fs::read_to_string(&calendar).expect("it is written");
    assert_eq!(text.matches("BEGIN:VEVENT\r\n").count(), 2);
    assert!(text.contains("DTSTART;VALUE=DATE:20251219\r\n"), "{text}");
    let json = run(&["board", "--data", arg(&data), "--day", "2025-12-01", "--json"]);
    let first: serde_json::Value =
        serde_json::from_str(json.out.lines().next().expect("a line")).expect("JSON");
    assert_eq!((first["late"].as_bool(), first["kind"].as_str()), (Some(true), Some("promise")));
    // A stop-gap without its recheck is no job file.
    let without = format!("{case}{}", MORE.replacen("recheck = 2025-11-22\n", "", 1));
    fs::write(&file, without).expect("a file");
    let told = run(&["check", arg(&file), "--day", "2025-12-01"]);
    assert_eq!(told.code, 1);
    assert!(told.out.contains("stop-gap-without-recheck"), "{}", told.out);
}
