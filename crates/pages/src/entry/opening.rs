//! What was found when a joint was opened, proven dead.

use super::ask::Ask;
use super::taking::Taking;
use super::words::enter;
use super::{Form, Pairs, actions, moment, pair};
use crate::route::EntryKind;
use maud::{Markup, html};
use model::JointId;
use model::job::{Condition, Exposure};
use model::joint::joints;
use record::Body;
use record::fact::JointOpened;
use record::text::AsText;
use study::words::{capital, joint_label};

pub(super) const FORM: Form = Form {
    title: "A joint opened",
    lede: "What was found at a stab, lug or terminal once it was dead and taken apart. Write what you saw, whatever was predicted.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    if ask.standing.exposure != Exposure::ProvenDead {
        return html! {
            (sheet.error("joint"))
            div.caution {
                p { strong { "Closed: the record does not say that this panel is proven dead." } }
                p { "A joint is opened only when the utility has cut the service or the panel is isolated, and every pair is \
                     tested dead with a tester proven before and after. A handle position proves nothing. Never pull a breaker \
                     off a live stab." }
            }
            div.actions { a.big href=(enter(ask.view, EntryKind::Exposure, &[])) { "Record how far it is open" } }
        };
    }
    let mut all: Vec<(String, String)> = Vec::new();
    if let Some(installation) = ask.installation() {
        all = joints(installation)
            .into_iter()
            .map(|joint| {
                (
                    joint.id.to_string(),
                    capital(joint_label(installation, &joint.id).trim_start_matches("the ")),
                )
            })
            .collect();
    }
    let usual = ask.query_slot().map(|slot| JointId::Stab(slot).to_string()).unwrap_or_default();
    html! {
        (ask.choose("joint", "Joint", "", "Choose a joint", vec![(String::new(), all)], &usual))
        (sheet.pick("found", "Found", "", &[
            ("sound", "Sound", "as it should be"),
            ("worn", "Worn", "dull, loose or pitted lightly, no heat damage"),
            ("burnt", "Burnt", "damaged by heat or arcing"),
        ], ""))
        (sheet.words("words", "In words", "Colour, pitting, grip of the clip, insulation. Take a photo, too.", ""))
        (moment(ask))
        (actions("Save what was found"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let joint = taking.need::<JointId>("joint", "Choose the joint.");
    let found = taking.need::<Condition>("found", "Choose what was found.");
    let words = taking.words("words");
    if taking.exposure() != Exposure::ProvenDead {
        taking.wrong(
            "joint",
            "The record does not say that the panel was proven dead at that time. Record that first: a joint is never opened live.",
        );
    }
    let (Some(joint), Some(found)) = (joint, found) else { return Vec::new() };
    taking.about = joint.slot().cloned();
    vec![JointOpened { joint: AsText(joint), found: AsText(found), words }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Opening(body) = body else { return Vec::new() };
    vec![pair("joint", &body.joint.0), pair("found", body.found.0.word()), pair("words", &body.words)]
}
