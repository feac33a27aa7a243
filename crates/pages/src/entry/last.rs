//! The last reading of a kind: what it was, a question where it can hardly be, and the way to take it back.

use super::form;
use super::sentence::temperature_words;
use super::standing::state_of;
use super::words::{FEELS, clamp_words, enter, installation, place_words};
use crate::context::{Context, JobView};
use crate::form::form_titled;
use crate::route::{EntryKind, Route};
use maud::{Markup, html};
use model::evidence::ClampPlace;
use model::installation::Installation;
use model::place::Place;
use model::{PanelId, Slot};
use record::fact::ClampTaken;
use record::{Body, Fact};
use study::words::{capital, spaces_label};

/// A steady current of this many times its breaker's rating is asked about: a breaker that works opens at twice its
/// rating within minutes.
const ASKED_FROM: f64 = 2.0;

/// Where the thumb goes on: the part of a form that begins with the last reading.
pub(super) const HERE: &str = "here";

/// The last reading of this kind with its undo; nothing where there is none.
pub(super) fn last(kind: EntryKind, view: &JobView, cx: &Context<'_>) -> Markup {
    let of_kind = |fact: &&Fact| !(form(kind).pairs)(&fact.body).is_empty();
    let stands = |fact: &&Fact| !view.settled.replaced.contains_key(fact.id());
    let Some(fact) = view.facts.iter().rev().filter(of_kind).find(stands) else { return Markup::default() };
    let Some((place, value)) = in_words(view, &fact.body) else { return Markup::default() };
    let asked = match &fact.body {
        Body::Clamp(body) => doubt(installation(view), body),
        _ => None,
    };
    html! {
        div.last {
            @match asked {
                Some(asked) => strong { (asked) },
                None => span { "Last: " strong { (place) } ", " (value) },
            }
            (undo(kind, fact, view, cx))
        }
    }
}

/// The question about the reading entered just now, for the page that follows.
pub(crate) fn question(view: &JobView, cx: &Context<'_>) -> Markup {
    let stands = |fact: &&Fact| !view.settled.replaced.contains_key(fact.id());
    let asked = view.facts.last().filter(stands).and_then(|fact| match &fact.body {
        Body::Clamp(body) => Some((fact, doubt(installation(view), body)?)),
        _ => None,
    });
    html! {
        @if let Some((fact, asked)) = asked {
            div.last { strong { (asked) } (undo(EntryKind::Clamp, fact, view, cx)) }
        }
    }
}

/// What is asked of a current that its breaker cannot carry for long.
fn doubt(installation: Option<&Installation>, body: &ClampTaken) -> Option<String> {
    let ClampPlace::Pole(slot) = &body.place.0 else { return None };
    let breaker = installation?.breaker_at(slot)?;
    let times = body.amps / breaker.rating.a();
    if times < ASKED_FROM {
        return None;
    }
    let times = (times * 10.0).round() / 10.0;
    let (amps, rating, spaces) = (body.amps, breaker.rating.a(), spaces_label(breaker));
    Some(format!("{amps} A is {times} times the {rating} A of breaker {spaces}: right?"))
}

fn undo(kind: EntryKind, fact: &Fact, view: &JobView, cx: &Context<'_>) -> Markup {
    let route = Route::Enter(view.name.clone(), EntryKind::TakeBack);
    let place = text_of(&fact.body).unwrap_or_default();
    let state = state_of(&fact.body).unwrap_or_default();
    let go = format!("{}#{HERE}", enter(view, kind, &[("place", &place), ("state", state)]));
    form_titled(
        cx,
        &route,
        "undo",
        "Undo the last reading",
        html! {
            input type="hidden" name="supersedes" value=(fact.id());
            input type="hidden" name="words" value="entered by mistake";
            input type="hidden" name="go" value=(go);
            button.as-link { "Undo" }
        },
    )
}

/// The place of a reading as its form takes it from an address.
fn text_of(body: &Body) -> Option<String> {
    Some(match body {
        Body::Touch(body) => body.slot.0.to_string(),
        Body::Temperature(body) => body.place.0.to_string(),
        Body::Clamp(body) => match &body.place.0 {
            ClampPlace::Pole(slot) => slot.to_string(),
            _ => return None,
        },
        Body::Drop(body) => body.to.0.slot()?.to_string(),
        _ => return None,
    })
}

/// Place and value of a reading, as short as they can be.
fn in_words(view: &JobView, body: &Body) -> Option<(String, String)> {
    let installation = installation(view);
    let space = |slot: &Slot| space(installation, slot);
    let place = |place: &Place| match place {
        Place::Face(slot) => space(slot),
        place => capital(&place_words(installation, place)),
    };
    Some(match body {
        Body::Touch(body) => {
            let word = FEELS.iter().find(|(feel, ..)| *feel == body.feel.0).map_or("", |(_, word, _)| *word);
            (space(&body.slot.0), word.to_lowercase())
        }
        Body::Temperature(body) => (place(&body.place.0), temperature_words(body.value)),
        Body::Clamp(body) => {
            let at = match &body.place.0 {
                ClampPlace::Pole(slot) => space(slot),
                place => capital(&clamp_words(installation, place)),
            };
            (at, format!("{} A", body.amps))
        }
        Body::Drop(body) => {
            (body.to.0.slot().map_or_else(|| place(&body.to.0), space), format!("{} mV", body.mv))
        }
        _ => return None,
    })
}

fn space(installation: Option<&Installation>, slot: &Slot) -> String {
    let several = installation.is_some_and(|installation| 1 < installation.panels.len());
    let of = |panel: &PanelId| if several { format!("{panel} ") } else { String::new() };
    format!("Space {}{}", of(&slot.panel), slot.space)
}
