//! The course of an isolation as tables, and as facts.

use super::Context;
use super::entry::quote;
use super::number::decimal;
use crate::fact::{Body, DeadProven, Fact, PairRead};
use crate::text::{AsText, Textual};
use model::isolation::Proof;

/// A fact of an isolation as an entry; nothing for other facts.
pub(super) fn entry(cx: &Context<'_>, fact: &Fact) -> String {
    let start = |heading| cx.entry(heading, fact, cx.start, "id");
    let entry = match &fact.body {
        Body::Handle(body) => {
            let mut entry = start("[[handle]]");
            entry.thing("what", &body.what.0);
            entry.thing("to", &body.to.0);
            entry
        }
        Body::Cut(body) => {
            let mut entry = start("[[cut]]");
            entry.maybe_flag("restored", body.restored.then_some(true));
            entry.text("words", &body.words);
            entry
        }
        Body::Source(body) => {
            let mut entry = start("[[source]]");
            entry.text("what", &body.source);
            entry.maybe_flag("found", Some(body.found));
            entry.maybe_flag("cut", body.cut.then_some(true));
            entry.text("looked", &body.looked);
            entry
        }
        Body::Proof(body) => {
            let mut entry = start("[[proof]]");
            entry.thing("part", &body.part.0);
            entry.text("tester", &body.tester);
            entry.maybe_number("live_before", body.live_before);
            entry.maybe_number("live_after", body.live_after);
            let lines: Vec<(String, String)> = body
                .readings
                .iter()
                .map(|reading| (quote(&reading.pair.0.write()), decimal(reading.volts)))
                .collect();
            entry.braces("volts", &lines);
            entry
        }
        _ => return String::new(),
    };
    entry.finish()
}

/// The fact of a proof.
pub(super) fn proof(from: &Proof) -> DeadProven {
    DeadProven {
        part: AsText(from.part.clone()),
        tester: from.tester.clone(),
        live_before: from.live_before.map(|volts| volts.v()),
        live_after: from.live_after.map(|volts| volts.v()),
        readings: from
            .readings
            .iter()
            .map(|reading| PairRead { pair: AsText(reading.pair), volts: reading.value.v() })
            .collect(),
    }
}
