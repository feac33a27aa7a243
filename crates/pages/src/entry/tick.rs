//! A step of the day, begun or done.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use record::Body;
use record::fact::StepTicked;

pub(super) const FORM: Form = Form {
    title: "A step of the day",
    lede: "Begun or done, with its time. The times become the hours of the job.",
    show,
    read,
    pairs,
    series: None,
};

/// Most people at a step.
const CREW_MAX: u16 = 6;

fn show(ask: &Ask<'_>) -> Markup {
    let choices: Vec<(String, String)> = study::day_steps();
    let usual = ask.values.text("step").unwrap_or_default().to_owned();
    html! {
        (ask.choose("step", "Which step", "", "Choose the step", vec![(String::new(), choices)], &usual))
        (ask.sheet.pick("done", "It is", "", &[("no", "Begun", ""), ("yes", "Done", "")], "yes"))
        (ask.sheet.whole("people", "People at it", "Left empty: as the step says.", None))
        (ask.sheet.words("words", "What held it up", "Left empty: nothing.", ""))
        div.caution { p { "Done is not proven. What needs a dead part waits for its proof on the page Isolation." } }
        (moment(ask))
        (actions("Save"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let step = taking.text("step").unwrap_or_default().to_owned();
    if !study::day_steps().iter().any(|(id, _)| *id == step) {
        taking.wrong("step", "Choose the step.");
    }
    let done = match taking.text("done") {
        Some("yes") => Some(true),
        Some("no") => Some(false),
        _ => {
            taking.wrong("done", "Begun, or done?");
            None
        }
    };
    let people = taking.reader.whole("people", (1, CREW_MAX)).and_then(|people| u8::try_from(people).ok());
    let words = taking.words("words");
    done.map(|done| StepTicked { step, done, people, words }.into()).into_iter().collect()
}

fn pairs(body: &Body) -> Pairs {
    let Body::Tick(body) = body else { return Vec::new() };
    let mut all = vec![
        pair("step", &body.step),
        pair("done", if body.done { "yes" } else { "no" }),
        pair("words", &body.words),
    ];
    all.extend(body.people.map(|people| pair("people", people)));
    all
}
