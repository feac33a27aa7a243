//! Facts of the new panel in a sentence, for the log.

use record::Body;
use record::fact::{TorqueAs, TorqueFrom};
use record::text::{AsText, Textual};

fn spaces(all: &[AsText<model::Space>]) -> String {
    all.iter().map(|space| space.0.write()).collect::<Vec<_>>().join("/")
}

/// A sentence; empty for facts of another kind.
pub(super) fn sentence(body: &Body) -> String {
    match body {
        Body::Permit(body) => {
            let day = |words, day: Option<model::Date>| day.map(|day| format!(", {words} on {day}"));
            let stand = day("passed", body.passed).or(day("NOT passed", body.failed)).unwrap_or_default();
            let flagged: Vec<String> = body.flagged.iter().map(|one| one.0.write()).collect();
            let flagged =
                if flagged.is_empty() { String::new() } else { format!(", flagged: {}", flagged.join(", ")) };
            format!("permit {} filed{stand}{flagged}", body.number)
        }
        Body::Installed(body) => {
            let feeds = if body.words.is_empty() { String::new() } else { format!(": {}", body.words) };
            format!("new panel, {}: breaker of {} A{feeds}", spaces(&body.spaces), body.rating_a)
        }
        Body::Torqued(body) => {
            let value = match body.value {
                TorqueAs::LbIn(value) => format!("{value} lb-in"),
                TorqueAs::LbFt(value) => format!("{value} lb-ft"),
                TorqueAs::Nm(value) => format!("{value} N·m"),
            };
            let from = match &body.source {
                TorqueFrom::Label(_) => "by the label",
                TorqueFrom::Sheet(_) => "by the maker’s sheet",
            };
            format!("{} tightened to {value} {from}, with {}", body.terminal.0, body.tool)
        }
        Body::Energised(body) => {
            let what = match body.stage.0 {
                model::install::Stage::Supply => "supply at the open main".to_owned(),
                model::install::Stage::Main => "main closed, branches open".to_owned(),
                model::install::Stage::Branches => format!("branches {} closed", spaces(&body.spaces)),
            };
            let volts: Vec<String> = body
                .readings
                .iter()
                .map(|read| format!("{} {} V", read.pair.0.write(), read.volts))
                .collect();
            let amps: Vec<String> =
                body.legs.iter().map(|read| format!("{} {} A", read.leg.0.write(), read.amps)).collect();
            format!("{what}: {}", volts.into_iter().chain(amps).collect::<Vec<_>>().join(", "))
        }
        Body::Verified(body) => {
            let amps = body.amps.map(|amps| format!(" with {amps} A")).unwrap_or_default();
            format!("new panel, {}: {:.1} °C{amps}", body.terminal.0, body.value.quantity().c())
        }
        Body::SharedNeutral(body) => format!(
            "shared neutral of {}: {} A and {} A, neutral {} A",
            spaces(&body.spaces),
            body.hots[0],
            body.hots[1],
            body.neutral
        ),
        Body::Tried(body) => {
            let passed = if body.passed { "passed" } else { "FAILED" };
            format!("new panel, {} tried by {}: {passed}", body.space.0, body.how.0.word())
        }
        Body::Card(body) => format!("directory card hung up, {} lines", body.lines.len()),
        _ => String::new(),
    }
}
