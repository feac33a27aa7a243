//! A hand on a breaker face.

use super::ask::Ask;
use super::standing::Series;
use super::taking::Taking;
use super::words::FEELS;
use super::{Form, Pairs, about, moment, pair};
use maud::{Markup, html};
use model::Slot;
use model::evidence::Feel;
use record::Body;
use record::fact::TouchTaken;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Touch a face",
    lede: "Dry bare hand flat on the plastic beside the handle, one to three seconds. One tap saves.",
    show,
    read,
    pairs,
    series: Some(Series::Touches),
};

/// Tiles that each send the form.
pub(crate) fn feel_tiles(label: &str) -> Markup {
    html! {
        fieldset.pick.feel {
            legend.off-screen { (label) }
            div.tiles {
                @for (feel, word, more) in FEELS {
                    button name="feel" value=(feel.write()) { span { (word) " " small.unit { (more) } } }
                }
            }
        }
    }
}

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    html! {
        (about(ask))
        div.caution { p { "Plastic only, cover on. Smoke, crackle or a face you cannot bear: leave it and stop." } }
        // Folded where the space is known: then the answers are on the screen at once, face after face.
        details.more open[ask.query_slot().is_none() || sheet.is_again() || ask.values.text("void").is_some()] {
            summary { "Another face or state, or does not count" }
            (ask.slot("Face of", "Choose a space"))
            (ask.state())
            (sheet.tick("void", "Does not count", "glove, callus, cold or wet hand, less than a second", false))
            (sheet.tick("then", "Then on to the next breaker", "", ask.values.text("supersedes").is_none()))
        }
        (sheet.error("feel"))
        (feel_tiles("It felt"))
        (moment(ask))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let slot = taking.need::<Slot>("place", "Choose the space of the breaker.");
    let feel = taking.need::<Feel>("feel", "Choose what you felt.");
    let void = taking.reader.ticked("void");
    let state = taking.state();
    taking.about = slot.clone();
    let (Some(slot), Some(feel)) = (slot, feel) else { return Vec::new() };
    vec![TouchTaken { slot: AsText(slot), feel: AsText(feel), void, state }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Touch(body) = body else { return Vec::new() };
    let mut pairs =
        vec![pair("place", &body.slot.0), pair("feel", body.feel.0.write()), pair("state", &body.state)];
    if body.void {
        pairs.push(pair("void", "yes"));
    }
    pairs
}
