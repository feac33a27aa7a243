//! A mark on a photo.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, pair};
use crate::form::{Keypad, Sheet};
use crate::route::{Rendition, Route};
use maud::{Markup, html};
use model::Slot;
use record::Body;
use record::fact::PhotoPinned;
use record::text::AsText;

pub(super) const FORM: Form = Form {
    title: "Pin on a photo",
    lede: "Tap the photo where something is to be seen, then say what. Without a tap, choose the part of the picture.",
    show,
    read,
    pairs,
    series: None,
};

/// Parts of the picture that can be chosen without a script, a side.
const N_PARTS: usize = 5;
/// Digits of a photo's hash.
const HASH_DIGITS: usize = 64;

/// Address of a photo's picture.
pub(crate) fn picture(job: &str, sha256: &str, rendition: Rendition) -> String {
    let word = match rendition {
        Rendition::Thumb => "thumb",
        Rendition::Page => "page",
        Rendition::Original => "original",
    };
    format!("{}/{word}", Route::Photo(job.to_owned(), sha256.to_owned()))
}

/// Is the text the hash of a photo?
pub(crate) fn is_hash(text: &str) -> bool {
    text.len() == HASH_DIGITS
        && text.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
}

fn show(ask: &Ask<'_>) -> Markup {
    let Some(photo) = ask.values.text("photo").filter(|photo| is_hash(photo)) else {
        return html! {
            (ask.sheet.error("photo"))
            div.note { p { "Open a photo first: a pin belongs to one." } }
            div.actions { a.big href=(Route::Photos(ask.view.name.clone())) { "Photos" } }
        };
    };
    let words = ask.standing.live.iter().find_map(|fact| match &fact.body {
        Body::Photo(body) if body.sha256 == photo => Some(body.words.as_str()),
        _ => None,
    });
    html! {
        input type="hidden" name="photo" value=(photo);
        div.photo data-pins {
            img src=(picture(&ask.view.name, photo, Rendition::Page)) alt=(alt(words.unwrap_or_default()));
        }
        (ask.slot("At the space", "No one space"))
        (fields(&ask.sheet))
        (actions("Set pin"))
    }
}

/// Words for people who do not see a picture.
pub(crate) fn alt(words: &str) -> String {
    if words.trim().is_empty() {
        "Photo without words".to_owned()
    } else {
        format!("Photo: {}", words.trim())
    }
}

/// The fields of a pin, without its photo and its space.
pub(crate) fn fields(sheet: &Sheet<'_>) -> Markup {
    let parts: Vec<(String, String)> = (0..N_PARTS * N_PARTS)
        .map(|idx| {
            (idx.to_string(), format!("{}{}", char::from(b'A' + (idx % N_PARTS) as u8), idx / N_PARTS + 1))
        })
        .collect();
    let parts: Vec<(&str, &str, &str)> =
        parts.iter().map(|(idx, word)| (idx.as_str(), word.as_str(), "")).collect();
    let pad = |name: &'static str, label: &'static str| Keypad {
        name,
        label,
        unit: "",
        hint: "0 to 1",
        value: None,
        required: false,
    };
    html! {
        (sheet.text("words", "What is there", "", ""))
        details.more {
            summary { "Place in the picture, without tapping" }
            (sheet.pick_narrow("part", "Part of the picture", "A to E from the left, 1 to 5 from the top.", &parts, ""))
            (sheet.number(&pad("x", "Or from the left, share of the width")))
            (sheet.number(&pad("y", "and from the top, share of the height")))
        }
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let photo = taking.text("photo").filter(|photo| is_hash(photo)).map(str::to_owned);
    if photo.is_none() {
        taking.wrong("photo", "Open a photo and set the pin there.");
    }
    let x = taking.may_number("x", (0.0, 1.0), "");
    let y = taking.may_number("y", (0.0, 1.0), "");
    let part =
        taking.text("part").map(|text| text.parse::<usize>().ok().filter(|&idx| idx < N_PARTS * N_PARTS));
    let middle = |idx: usize| (idx as f64 + 0.5) / N_PARTS as f64;
    let at = match (x, y, part) {
        (Some(x), Some(y), _) => Some((x, y)),
        (_, _, Some(Some(idx))) => Some((middle(idx % N_PARTS), middle(idx / N_PARTS))),
        _ => None,
    };
    if at.is_none() {
        taking.wrong("part", "Tap the photo, or choose a part of it.");
    }
    let words = taking.words("words");
    let slot = taking.may::<Slot>("place");
    let (Some(photo), Some((x, y))) = (photo, at) else { return Vec::new() };
    vec![PhotoPinned { photo, x, y, slot: slot.map(AsText), words }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Pin(body) = body else { return Vec::new() };
    let mut pairs =
        vec![pair("photo", &body.photo), pair("x", body.x), pair("y", body.y), pair("words", &body.words)];
    pairs.extend(body.slot.as_ref().map(|slot| pair("place", &slot.0)));
    pairs
}
