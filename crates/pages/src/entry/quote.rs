//! A quote that was given: what for, which range, until when.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, option, pair};
use maud::{Markup, html};
use record::Body;
use record::fact::QuoteGiven;

pub(super) const FORM: Form = Form {
    title: "A quote was given",
    lede: "As it stands on the paper in the owner’s hand. Later prices do not change it; what is built is held against it.",
    show,
    read,
    pairs,
    series: None,
};

/// Most US dollars of a quote.
const USD_MAX: f64 = 1_000_000.0;

const SUMS: [(&str, &str); 3] = [
    ("low_usd", "Lower end, US dollars"),
    ("usual_usd", "Middle, US dollars"),
    ("high_usd", "Upper end, US dollars"),
];

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    html! {
        (crate::screen::invented_prices(&ask.cx.shop.book))
        (option::show(ask, "What was offered", "Choose what was offered"))
        @for (name, label) in SUMS { (sheet.text(name, label, if name == "usual_usd" { "One fixed price: the same in all three." } else { "" }, "")) }
        (sheet.day("valid_until", "It holds until", "The last day.", None))
        (sheet.text("with", "Contested items that are in it", "Their short names with commas. Left empty: none.", ""))
        (sheet.text("book", "Prices from", "Whose price book.", &ask.cx.shop.book.title))
        (sheet.words("words", "What else was said", "", ""))
        (moment(ask))
        (actions("Save the quote"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let option = option::read(taking, "Choose what was offered.");
    let [low, usual, high] = SUMS.map(|(name, label)| {
        let missing = format!("{label}: the sum is missing.");
        taking.number(name, &missing, (0.0, USD_MAX), "USD")
    });
    if let (Some(low), Some(usual), Some(high)) = (low, usual, high)
        && (usual < low || high < usual)
    {
        taking.wrong("high_usd", "The sums are not in their order: lower end, middle, upper end.");
    }
    let valid_until = taking.reader.day("valid_until");
    match valid_until {
        None if taking.text("valid_until").is_none() => {
            taking.wrong("valid_until", "Until when it holds is missing.");
        }
        Some(until) if until < taking.at.date() => {
            taking.wrong(
                "valid_until",
                "It would be over before it was given; write the day it was given, or a later one.",
            );
        }
        _ => {}
    }
    let with = with(taking);
    let book = taking.name("book").unwrap_or_default();
    let words = taking.words("words");
    let (Some(low), Some(usual), Some(high), Some(valid_until)) = (low, usual, high, valid_until) else {
        return Vec::new();
    };
    let [low_usd, usual_usd, high_usd] = [low, usual, high].map(|usd| usd.round() as u32);
    vec![QuoteGiven { option, with, low_usd, usual_usd, high_usd, valid_until, book, words }.into()]
}

fn with(taking: &mut Taking<'_>) -> Vec<String> {
    let known = study::contested_names();
    let text = taking.text("with").unwrap_or_default().to_owned();
    let names: Vec<String> =
        text.split([',', ';', ' ']).filter(|name| !name.is_empty()).map(str::to_owned).collect();
    if let Some(name) = names.iter().find(|name| !known.contains(name)) {
        taking.wrong("with", format!("`{name}` is no contested item: {}.", known.join(", ")));
    }
    names
}

fn pairs(body: &Body) -> Pairs {
    let Body::Quote(body) = body else { return Vec::new() };
    vec![
        pair("option", &body.option),
        pair("low_usd", body.low_usd),
        pair("usual_usd", body.usual_usd),
        pair("high_usd", body.high_usd),
        pair("valid_until", body.valid_until),
        pair("with", body.with.join(", ")),
        pair("book", &body.book),
        pair("words", &body.words),
    ]
}
