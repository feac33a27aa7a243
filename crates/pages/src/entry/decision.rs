//! A decision, by whom it is to be made.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use record::Body;
use record::fact::DecisionMade;

pub(super) const FORM: Form = Form {
    title: "A decision",
    lede: "In the words of who decided. Doing nothing for now is a decision, too.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    html! {
        (sheet.words("words", "What was decided", "", ""))
        (sheet.text_among("who", "By", "Role rather than name.", "owner", &["owner", "tenant", "electrician", "utility", "inspector"]))
        (sheet.tick("declined", "Advice was declined", "The letter then says what was advised, and what follows from leaving it.", false))
        (moment(ask))
        (actions("Save decision"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let words = taking.words("words");
    if taking.text("words").is_none() {
        taking.wrong("words", "Write what was decided.");
    }
    taking.by = taking.name("who").or(taking.by.take());
    vec![DecisionMade { words, declined: taking.reader.ticked("declined") }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Decision(body) = body else { return Vec::new() };
    let mut pairs = vec![pair("words", &body.words)];
    if body.declined {
        pairs.push(pair("declined", "yes"));
    }
    pairs
}
