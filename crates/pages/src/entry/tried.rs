//! A protective device or a circuit of the new panel that was tried.

use super::ask::{Ask, Groups};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use model::Space;
use model::install::Trial;
use record::Body;
use record::fact::DeviceTried;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Tried",
    lede: "A device that was not tried is not known to work.",
    show,
    read,
    pairs,
    series: None,
};

fn breakers(ask: &Ask<'_>) -> Groups {
    let Some(job) = ask.cx.settled_job() else { return Vec::new() };
    let now = study::install::prove(job).now;
    let first = |spaces: &str| spaces.split('/').next().unwrap_or_default().to_owned();
    let all = now.breakers.iter().map(|one| (first(&one.spaces), format!("{} · {}", one.spaces, one.words)));
    vec![(String::new(), all.collect())]
}

fn show(ask: &Ask<'_>) -> Markup {
    html! {
        (ask.choose("space", "Breaker", "", "Choose a breaker", breakers(ask), ""))
        (ask.sheet.pick("how", "How", "", &[
            ("button", "Its button", ""),
            ("tester", "A tester", "at a receptacle"),
            ("load", "Its loads", ""),
            ("insulation", "Insulation", "dead, and proven dead"),
        ], "button"))
        (ask.sheet.pick("passed", "It", "", &[("yes", "Passed", ""), ("no", "Failed", "")], ""))
        (ask.sheet.words("words", "What was seen", "", ""))
        (moment(ask))
        (actions("Save"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let space = taking.need::<Space>("space", "Choose the breaker.");
    let how = taking.need::<Trial>("how", "Choose how it was tried.");
    let passed = taking.reader.yes_no("passed");
    if passed.is_none() && taking.text("passed").is_none_or(|text| text == "unknown") {
        taking.wrong("passed", "Say whether it passed.");
    }
    let words = taking.words("words");
    let (Some(space), Some(how), Some(passed)) = (space, how, passed) else { return Vec::new() };
    vec![DeviceTried { space: AsText(space), how: AsText(how), passed, words }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Tried(body) = body else { return Vec::new() };
    vec![
        pair("space", body.space.0.write()),
        pair("how", body.how.0.write()),
        pair("passed", if body.passed { "yes" } else { "no" }),
        pair("words", &body.words),
    ]
}
