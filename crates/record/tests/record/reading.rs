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
