//! A promise with its day, a look-back among them.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use model::plan::PromiseKind;
use record::Body;
use record::fact::PromiseGiven;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "A promise",
    lede: "What you said you would do, and by when. It stays on the board until it is done.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    html! {
        (sheet.pick("kind", "What kind", "", &[
            ("promise", "Anything", "a call, a quote, a part"),
            ("look-back", "Look-back", "a visit to compare with the first readings"),
        ], "promise"))
        (sheet.words("words", "What was promised", "", ""))
        (sheet.day("due", "By which day", "", None))
        (moment(ask))
        (actions("Save the promise"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let of_kind = taking.may::<PromiseKind>("kind").unwrap_or(PromiseKind::Promise);
    if taking.text("words").is_none() {
        taking.wrong("words", "Write what was promised.");
    }
    let words = taking.words("words");
    let due = taking.reader.day("due");
    match due {
        None if taking.text("due").is_none() => taking.wrong("due", "A promise needs its day."),
        Some(day) if day < taking.at.date() => taking.wrong("due", "That day is over already."),
        _ => {}
    }
    let Some(due) = due else { return Vec::new() };
    vec![PromiseGiven { of_kind: AsText(of_kind), words, due }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Promise(body) = body else { return Vec::new() };
    vec![pair("kind", body.of_kind.0.write()), pair("words", &body.words), pair("due", body.due)]
}
