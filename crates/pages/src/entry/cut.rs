//! The utility cut the supply, or gave it back.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use record::Body;
use record::fact::UtilityCutMade;

pub(super) const FORM: Form = Form {
    title: "Cut by the utility",
    lede: "Only the utility makes the lugs and the service conductors dead. Record it when it is cut, and at once when it is given back.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    html! {
        (ask.sheet.pick("supply", "The supply is", "", &[
            ("cut", "Cut", "meter pulled or drop cut"),
            ("back", "Given back", "every test before this no longer counts"),
        ], ""))
        (ask.sheet.words("words", "By whom and how", "The crew, the meter pulled or the drop cut, who said so.", ""))
        (moment(ask))
        (actions("Save the cut"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let restored = match taking.text("supply") {
        Some("cut") => Some(false),
        Some("back") => Some(true),
        _ => {
            taking.wrong("supply", "Choose whether it is cut or given back.");
            None
        }
    };
    let words = taking.words("words");
    if words.is_empty() {
        taking.wrong("words", "Write by whom and how: without it nobody can rely on it.");
    }
    restored.map(|restored| UtilityCutMade { restored, words }.into()).into_iter().collect()
}

fn pairs(body: &Body) -> Pairs {
    let Body::Cut(body) = body else { return Vec::new() };
    vec![pair("supply", if body.restored { "back" } else { "cut" }), pair("words", &body.words)]
}
