//! A complaint in the caller's words.

use super::ask::Ask;
use super::taking::Taking;
use super::words::complaint_words;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use model::Slot;
use model::job::ComplaintKind;
use record::Body;
use record::fact::ComplaintMade;
use record::text::AsText;

pub(super) const FORM: Form = Form {
    title: "A complaint",
    lede: "In the words of the people who live there. Each gets its own causes side by side.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let kinds: Vec<(&str, &str, &str)> =
        ComplaintKind::ALL.iter().map(|kind| (kind.word(), complaint_words(*kind), "")).collect();
    html! {
        (sheet.pick("of", "What of", "", &kinds, ""))
        (sheet.words("words", "In their words", "", ""))
        (ask.slot("Circuit", "About no one circuit, or not known"))
        (moment(ask))
        (actions("Save complaint"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let of = taking.need::<ComplaintKind>("of", "Choose what the complaint is of.");
    let words = taking.words("words");
    let slot = taking.may::<Slot>("place");
    let Some(of) = of else { return Vec::new() };
    vec![ComplaintMade { of: AsText(of), slot: slot.map(AsText), words }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Complaint(body) = body else { return Vec::new() };
    let mut pairs = vec![pair("of", body.of.0.word()), pair("words", &body.words)];
    pairs.extend(body.slot.as_ref().map(|slot| pair("place", &slot.0)));
    pairs
}
