//! Quotes, the booked day, ticks and used parts, into the model.

use crate::fact::{Body, Fact};
use model::offer::{Outage, Quote, Tick, Used};
use model::replacement::Replacement;

/// Adds a fact of price and day; other facts add nothing.
pub(super) fn add(to: &mut Replacement, fact: &Fact) {
    let (id, at) = (fact.id().clone(), fact.at);
    match &fact.body {
        Body::Quote(body) => to.quotes.push(Quote {
            fact: id,
            at,
            option: body.option.clone(),
            with: body.with.clone(),
            range_usd: (body.low_usd, body.usual_usd, body.high_usd),
            valid_until: body.valid_until,
            book: body.book.clone(),
            words: body.words.clone(),
        }),
        Body::Outage(body) => to.outages.push(Outage {
            fact: id,
            at,
            option: body.option.clone(),
            date: body.date,
            asked: body.asked,
            start: body.start.as_ref().map(|clock| clock.0),
            crew: body.crew,
            cut: (body.cut_from.as_ref().map(|clock| clock.0), body.cut_to.as_ref().map(|clock| clock.0)),
            inspector: (
                body.inspector_from.as_ref().map(|clock| clock.0),
                body.inspector_to.as_ref().map(|clock| clock.0),
            ),
            reconnect: (
                body.reconnect_from.as_ref().map(|clock| clock.0),
                body.reconnect_to.as_ref().map(|clock| clock.0),
            ),
            reconnect_by: body.reconnect_by.as_ref().map(|clock| clock.0),
            done: body.done.clone(),
            told: body.told.clone(),
        }),
        Body::Tick(body) => to.ticks.push(Tick {
            fact: id,
            at,
            step: body.step.clone(),
            done: body.done,
            people: body.people,
            words: body.words.clone(),
        }),
        Body::Used(body) => to.used.push(Used {
            fact: id,
            at,
            part: body.part.clone(),
            count: body.count,
            words: body.words.clone(),
        }),
        _ => {}
    }
}
