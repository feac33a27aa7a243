//! What was found when a joint was opened, proven dead.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::route::Route;
use maud::{Markup, html};
use model::JointId;
use model::job::Condition;
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
    let (mut all, mut why) = (Vec::new(), Vec::new());
    if let (Some(job), Some(installation)) = (ask.cx.settled_job(), ask.installation()) {
        let gate = study::gate(job, Some(ask.cx.now));
        why.extend(gate.stop.clone());
        for joint in joints(installation) {
            if study::closed_by(installation, &gate, &joint.id).is_empty() {
                let words = capital(joint_label(installation, &joint.id).trim_start_matches("the "));
                all.push((joint.id.to_string(), words));
            }
        }
    }
    let wanted = ask.query_slot().map(JointId::Stab);
    if let (Some(joint), Some(job)) = (&wanted, ask.cx.settled_job()) {
        why.extend(study::closed(job, joint, Some(ask.cx.now)));
        why.dedup();
    }
    if all.is_empty() {
        return html! {
            (sheet.error("joint"))
            div.caution {
                p { strong { "Closed: by the record nothing here is proven dead." } }
                @for reason in &why { p { (reason) } }
                p { "A joint is opened only when the utility has cut the service or the panel is isolated, and every pair is \
                     tested dead with a tester proven before and after. A handle position proves nothing. Never pull a breaker \
                     off a live stab." }
            }
            div.actions { a.big href=(Route::Isolation(ask.view.name.clone())) { "Go through the isolation" } }
        };
    }
    let usual = ask.query_slot().map(|slot| JointId::Stab(slot).to_string()).unwrap_or_default();
    html! {
        @if let Some(joint) = wanted.filter(|joint| all.iter().all(|(id, _)| *id != joint.to_string())) {
            div.caution { p { strong { (joint) " stays closed. " } @for reason in &why { (reason) " " } } }
        }
        p.quiet { "Only joints whose parts are proven dead now are in the list. " a href=(Route::Isolation(ask.view.name.clone())) { "The others: isolation" } }
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
    if let Some(joint) = &joint {
        let why = match &taking.view.settled.job {
            Some(job) => study::closed(job, joint, Some(taking.at)),
            None => vec!["There is no panel yet.".to_owned()],
        };
        if !why.is_empty() {
            let why = why.join(" ");
            taking.wrong("joint", format!("Closed: a joint is opened only where it is proven dead. {why}"));
        }
    }
    let (Some(joint), Some(found)) = (joint, found) else { return Vec::new() };
    taking.about = joint.slot().cloned();
    vec![JointOpened { joint: AsText(joint), found: AsText(found), words }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Opening(body) = body else { return Vec::new() };
    vec![pair("joint", &body.joint.0), pair("found", body.found.0.word()), pair("words", &body.words)]
}
