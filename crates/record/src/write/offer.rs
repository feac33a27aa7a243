//! Quotes, the booked day, ticks and used parts, as tables and as facts.

use super::Context;
use super::entry::{Entry, quote};
use crate::fact::{Body, Fact, OutageBooked, PartUsed, QuoteGiven, StepTicked};
use crate::text::AsText;
use model::offer::{Clock, Outage, Quote, Tick, Used};

fn ids(entry: &mut Entry, key: &str, all: &[String]) {
    if !all.is_empty() {
        let all: Vec<String> = all.iter().map(|id| quote(id)).collect();
        entry.raw(key, &format!("[{}]", all.join(", ")));
    }
}

/// A fact of price and day as an entry; nothing for other facts.
pub(super) fn entry(cx: &Context<'_>, fact: &Fact) -> String {
    let start = |heading| cx.entry(heading, fact, cx.start, "id");
    let entry = match &fact.body {
        Body::Quote(body) => {
            let mut entry = start("[[quote]]");
            entry.text("option", &body.option);
            ids(&mut entry, "with", &body.with);
            entry.raw("low_usd", &body.low_usd.to_string());
            entry.raw("usual_usd", &body.usual_usd.to_string());
            entry.raw("high_usd", &body.high_usd.to_string());
            entry.raw("valid_until", &body.valid_until.to_string());
            entry.words("book", &body.book);
            entry.words("words", &body.words);
            entry
        }
        Body::Outage(body) => {
            let mut entry = start("[[outage]]");
            entry.text("option", &body.option);
            entry.raw("date", &body.date.to_string());
            if let Some(asked) = body.asked {
                entry.raw("asked", &asked.to_string());
            }
            if let Some(crew) = body.crew {
                entry.raw("crew", &crew.to_string());
            }
            for (key, clock) in [
                ("start", &body.start),
                ("cut_from", &body.cut_from),
                ("cut_to", &body.cut_to),
                ("inspector_from", &body.inspector_from),
                ("inspector_to", &body.inspector_to),
                ("reconnect_from", &body.reconnect_from),
                ("reconnect_to", &body.reconnect_to),
                ("reconnect_by", &body.reconnect_by),
            ] {
                entry.maybe_thing(key, clock.as_ref().map(|clock| &clock.0));
            }
            ids(&mut entry, "done", &body.done);
            entry.words("told", &body.told);
            entry
        }
        Body::Tick(body) => {
            let mut entry = start("[[tick]]");
            entry.text("step", &body.step);
            entry.raw("done", if body.done { "true" } else { "false" });
            if let Some(people) = body.people {
                entry.raw("people", &people.to_string());
            }
            entry.words("words", &body.words);
            entry
        }
        Body::Used(body) => {
            let mut entry = start("[[used]]");
            entry.text("part", &body.part);
            entry.raw("count", &body.count.to_string());
            entry.words("words", &body.words);
            entry
        }
        _ => return String::new(),
    };
    entry.finish()
}

/// The fact of a quote.
pub(super) fn of_quote(from: &Quote) -> QuoteGiven {
    let from = from.clone();
    QuoteGiven {
        option: from.option,
        with: from.with,
        low_usd: from.range_usd.0,
        usual_usd: from.range_usd.1,
        high_usd: from.range_usd.2,
        valid_until: from.valid_until,
        book: from.book,
        words: from.words,
    }
}

/// The fact of a booked day.
pub(super) fn of_outage(from: &Outage) -> OutageBooked {
    let clock = |clock: Option<Clock>| clock.map(AsText);
    OutageBooked {
        option: from.option.clone(),
        date: from.date,
        asked: from.asked,
        start: clock(from.start),
        crew: from.crew,
        cut_from: clock(from.cut.0),
        cut_to: clock(from.cut.1),
        inspector_from: clock(from.inspector.0),
        inspector_to: clock(from.inspector.1),
        reconnect_from: clock(from.reconnect.0),
        reconnect_to: clock(from.reconnect.1),
        reconnect_by: clock(from.reconnect_by),
        done: from.done.clone(),
        told: from.told.clone(),
    }
}

/// The fact of a tick.
pub(super) fn of_tick(from: &Tick) -> StepTicked {
    StepTicked { step: from.step.clone(), done: from.done, people: from.people, words: from.words.clone() }
}

/// The fact of a used part.
pub(super) fn of_used(from: &Used) -> PartUsed {
    PartUsed { part: from.part.clone(), count: from.count, words: from.words.clone() }
}
