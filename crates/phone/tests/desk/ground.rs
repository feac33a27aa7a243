//! Questions about the invented cases.

use jiff::civil::{DateTime, date};
use record::Fact;
use serde_json::{Value, json};

pub(crate) const CASES: [(&str, &str); 3] = [
    ("Q-0117", include_str!("../../../../cases/1-burnt-stabs.toml")),
    ("Q-0121", include_str!("../../../../cases/2-overload.toml")),
    ("Q-0124", include_str!("../../../../cases/3-service-neutral.toml")),
];

pub(crate) const NOW: DateTime = date(2025, 12, 1).at(9, 0, 0, 0);

/// The facts of a case and the name of its job.
pub(crate) fn facts(text: &str) -> (String, Vec<Fact>) {
    let reading = record::read_job("case", text, NOW.date());
    let name = reading.job.as_ref().map(|job| job.id.clone()).expect("the case has a job");
    (name, reading.facts)
}

pub(crate) fn desk(sweeps: usize) -> Value {
    json!({
        "name": "phone", "seed": study::Settings::on(NOW.date()).seed.to_string(), "sweeps": sweeps, "chains": 4,
        "policy": study::Policy::standard_text(), "address": "https://bench.example",
    })
}

/// A question about kept facts.
pub(crate) fn question(what: &str, path: &str, job: &str, facts: &[Fact], sweeps: usize) -> Value {
    let lines: Vec<String> = facts.iter().map(Fact::to_json).collect();
    json!({
        "what": what, "path": path, "now": NOW, "entry": "0123", "desk": desk(sweeps),
        "jobs": [{ "job": job, "facts": lines, "changed": NOW }],
    })
}
