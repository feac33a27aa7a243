//! Facts of price and day, each in one sentence.

use record::fact::{Body, OutageBooked};
use record::text::Textual;

/// The sentence of a fact of price and day; empty for other facts.
pub(super) fn sentence(body: &Body) -> String {
    match body {
        Body::Quote(body) => format!(
            "quote for {} given: {} to {} USD, holds until {}",
            option(&body.option),
            body.low_usd,
            body.high_usd,
            body.valid_until
        ),
        Body::Outage(body) => outage(body),
        Body::Tick(body) => {
            let words =
                if body.words.is_empty() { String::new() } else { format!(": {}", body.words.trim()) };
            format!("step “{}” {}{words}", body.step, if body.done { "done" } else { "begun" })
        }
        Body::Used(body) => format!("{} × {} used", body.count, body.part),
        _ => String::new(),
    }
}

pub(super) fn option(word: &str) -> String {
    study::option_of_word(word)
        .map_or_else(|| word.to_owned(), |option| study::option_words(option).to_lowercase())
}

fn outage(body: &OutageBooked) -> String {
    let mut parts = vec![format!("day without power booked: {}, {}", body.date, option(&body.option))];
    parts.extend(body.asked.map(|day| format!("the utility was asked on {day}")));
    for (words, from, to) in [
        ("cut", &body.cut_from, &body.cut_to),
        ("inspector", &body.inspector_from, &body.inspector_to),
        ("supply back", &body.reconnect_from, &body.reconnect_to),
    ] {
        if let (Some(from), Some(to)) = (from, to) {
            parts.push(format!("{words} {} to {}", from.0.write(), to.0.write()));
        }
    }
    parts.extend(body.reconnect_by.as_ref().map(|clock| format!("supply back by {}", clock.0.write())));
    parts.join("; ")
}
