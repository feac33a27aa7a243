//! Small whole files.

use super::{TODAY, told};
use record::read_job;

const SMALL: &str = r#"
panelwright = 1

[job]
id = "2026-017"
opened = 2026-03-04
exposure = "cover-off"

[[panel]]
spaces = 12
main = "breaker"
main_a = 100

[[panel.breaker]]
space = 5
rating_a = 20
feeds = "kitchen"

[[panel.breaker]]
space = 1
poles = 2
rating_a = 30
feeds = "dryer"

[[state]]
name = "dryer on"
at = 2026-03-04T14:30
amps = { "1" = 22.5, "3" = 22.1, "line:A" = 30 }
faces_c = { "1" = 61.2 }

[[drop]]
from = "lug:A"
to = "load:1"
mv = 120
amps = 22

[[sign]]
what = "smell"

[[complaint]]
kind = "heat"
words = "the panel is warm"
"#;

#[test]
fn a_small_file_gives_a_job() {
    let reading = read_job("job.toml", SMALL, TODAY);
    assert_eq!(told(SMALL), "");
    let job = reading.job.expect("no problem");
    assert_eq!(job.id, "2026-017");
    assert_eq!(job.installation.panels[0].breakers.len(), 2);
    assert_eq!(job.observations.len(), 6);
    assert_eq!(job.load_states[0].name, "dryer on");
    assert_eq!(job.complaints.len(), 1);
}

#[test]
fn an_empty_file_says_what_it_needs() {
    insta::assert_snapshot!(told(""));
}

#[test]
fn json_is_read_like_toml() {
    let json = r#"{
        "panelwright": 1,
        "job": { "id": "2026-017", "opened": "2026-03-04", "exposure": "cover-off" },
        "panel": [{
            "spaces": 12, "main": "breaker", "main_a": 100,
            "breaker": [
                { "space": 5, "rating_a": 20, "feeds": "kitchen" },
                { "space": "1", "poles": 2, "rating_a": 30, "feeds": "dryer" }
            ]
        }],
        "state": [{
            "name": "dryer on", "at": "2026-03-04T14:30",
            "amps": { "1": 22.5, "3": 22.1, "line:A": 30 }, "faces_c": { "1": 61.2 }
        }],
        "drop": [{ "from": "lug:A", "to": "load:1", "mv": 120, "amps": 22 }],
        "sign": [{ "what": "smell" }],
        "complaint": [{ "kind": "heat", "words": "the panel is warm" }]
    }"#;
    assert_eq!(told(json), "");
    assert_eq!(read_job("job", json, TODAY).job, read_job("job", SMALL, TODAY).job);
}

#[test]
fn slips_in_json_are_told_with_their_place() {
    insta::assert_snapshot!(told(
        r#"{
  "panelwright": 1,
  "job": { "id": "a", "opened": "2026-03-04", "id": "b" },
  "panel": [{ "spaces": 12, "main": "lugs", "moisture": null, "breaker": { "space": 5 } }],
  "service": [],
  "face": [{ "space": 5, "c": "61.2" }, 7]
}"#
    ));
    insta::assert_snapshot!("torn", told("{ \"panelwright\": 1, \"job\": { \"id\": \"a\", } }"));
    insta::assert_snapshot!("deep", told(&format!("{{ \"panel\": {}", "[".repeat(100))));
}

#[test]
fn what_would_upset_a_terminal_is_not_printed() {
    let shown = told("panelwright = 1\n\u{1b}[2J = 5\n\"a\\u001b[2J\" = 5\n");
    assert!(!shown.contains('\u{1b}') && shown.contains('\u{fffd}'), "{shown}");
}

#[test]
fn a_file_beyond_all_bounds_is_refused_quickly() {
    let long = format!("{SMALL}\n[[face]]\nspace = 5\nc = 40\n").repeat(200_000);
    assert!(told(&long).contains("error[too-long]"));
    let many = format!("{SMALL}{}", "\n[[face]]\nspace = 5\nc = 40\n".repeat(10_001));
    assert!(told(&many).contains("error[too-many]"));
    let pointers: Vec<String> = (0..9_000).map(|idx| format!("\"no-such-entry-{idx}\"")).collect();
    let lost = format!("{SMALL}\n[[retraction]]\nsupersedes = [{}]\n", pointers.join(", "));
    let reading = read_job("job.toml", &lost, TODAY);
    assert_eq!(reading.problems.len(), record::limits::PROBLEMS_MAX + 1);
    let bad = "= 1\n".repeat(3_000);
    assert!(read_job("job.toml", &bad, TODAY).problems.len() > 50);
}

#[test]
fn a_slip_of_writing_does_not_hide_a_slip_of_measuring() {
    let text = SMALL.replace("feeds = \"kitchen\"", "feeds = kitchen").replace("61.2", "612");
    let codes: Vec<&str> =
        read_job("job.toml", &text, TODAY).problems.iter().map(|problem| problem.code).collect();
    assert_eq!(codes, ["syntax", "implausible-temperature"]);
    let unread = SMALL.replace("name = \"dryer on\"", "name = 5").replace("mv = 120", "mv = 120000");
    let codes: Vec<&str> =
        read_job("job.toml", &unread, TODAY).problems.iter().map(|problem| problem.code).collect();
    assert_eq!(codes, ["wrong-type", "implausible"]);
}
