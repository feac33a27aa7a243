//! How far the panel is open.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use model::job::Exposure;
use record::Body;
use record::fact::ExposureReached;
use record::text::AsText;

pub(super) const FORM: Form = Form {
    title: "How far open",
    lede: "It decides which checks are offered. When it changes, say so at once, also when the dead front is back on.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let choices = [
        ("cover-on", "Dead front on", "nothing live can be touched"),
        ("cover-off", "Dead front off", "parts live: a qualified person with protective gear only"),
        ("proven-dead", "Proven dead", "cut by the utility or isolated, and tested on all pairs"),
    ];
    html! {
        (sheet.pick_list("reached", "The panel is now", "", &choices, ask.standing.exposure.word()))
        fieldset.group {
            legend { "If it is open" }
            div.caution {
                p { "Before taking it off: dry floor, protective gear, a second person, the phone put away from the opening. \
                     Loose filler plates and long screws fall onto live lugs." }
                p { "The upper section of a split-bus panel and the service lugs stay live with every handle off. Only the \
                     utility can make them dead." }
                p { "Never pull a breaker off a live stab." }
            }
            (sheet.text("who", "Opened by", "The qualified person who took the dead front off, or who proved dead.", ask.cx.viewer.name))
            (sheet.tick("qualified", "A qualified person", "with protective gear for this voltage", false))
        }
        fieldset.group {
            legend { "If it is proven dead" }
            (sheet.tick("pairs", "All pairs tested", "leg to leg, each leg to neutral, each leg to earth", false))
            (sheet.tick("tester", "Tester proven before and after", "on a known live source", false))
        }
        (moment(ask))
        (actions("Save"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let reached = taking.need::<Exposure>("reached", "Choose how far the panel is open now.");
    let who = taking.name("who");
    let Some(reached) = reached else { return Vec::new() };
    if reached != Exposure::CoverOn {
        if !taking.reader.ticked("qualified") {
            taking.wrong(
                "qualified",
                "Only a qualified person may open the panel: confirm it, or leave the dead front on.",
            );
        }
        if who.is_none() {
            taking.wrong("who", "Write who took the dead front off.");
        }
    }
    if reached == Exposure::ProvenDead {
        if !taking.reader.ticked("pairs") {
            taking.wrong("pairs", "Not proven dead until all pairs are tested.");
        }
        let is_proven = |job| study::allowed(job, Some(taking.at)) == Exposure::ProvenDead;
        if !taking.view.settled.job.as_ref().is_some_and(is_proven) {
            taking.wrong(
                "reached",
                "No bus and no lugs are proven dead on record. Go through the isolation and save its tests first; then say so here.",
            );
        }
        if !taking.reader.ticked("tester") {
            taking.wrong(
                "tester",
                "One tester proves nothing: it must work on a known source before and after.",
            );
        }
    }
    taking.by = who.or(taking.by.take());
    vec![ExposureReached { reached: AsText(reached) }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Exposure(body) = body else { return Vec::new() };
    vec![pair("reached", body.reached.0.word())]
}
