//! Another source that was looked for.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use model::isolation::IsolationGoal;
use record::Body;
use record::fact::SourceLooked;

pub(super) const FORM: Form = Form {
    title: "Another source",
    lede: "Name every supply you looked for. One that was not looked for counts as live.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let plan = ask.cx.settled_job().and_then(|job| study::isolation(job, &IsolationGoal::Everything).ok());
    let sources = plan.map(|plan| plan.sources).unwrap_or_default();
    let mut names: Vec<(String, String)> =
        sources.iter().map(|one| (one.source.clone(), one.source.clone())).collect();
    names.dedup();
    let chosen = ask.values.text("what");
    let look = sources.iter().find(|one| Some(one.source.as_str()) == chosen).map(|one| one.look.clone());
    html! {
        (ask.choose("what", "Looked for", look.as_deref().unwrap_or(""), "Choose a source", vec![(String::new(), names)], ""))
        (ask.sheet.pick("found", "Found", "", &[
            ("none", "There is none", "looked for, as written below"),
            ("cut", "There is one, and it is cut", "shut down and cut off at its own switch, locked"),
            ("live", "There is one, not cut", "nothing counts as dead"),
        ], ""))
        (ask.sheet.words("looked", "How", "Where you looked and whom you asked, or how it was cut.", ""))
        (moment(ask))
        (actions("Save the source"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let source = taking.name("what");
    if source.is_none() {
        taking.wrong("what", "Choose what was looked for.");
    }
    let found = match taking.text("found") {
        Some("none") => Some((false, false)),
        Some("cut") => Some((true, true)),
        Some("live") => Some((true, false)),
        _ => {
            taking.wrong("found", "Choose what was found.");
            None
        }
    };
    let looked = taking.words("looked");
    if looked.is_empty() {
        taking.wrong("looked", "Write how it was looked for, or how it was cut.");
    }
    let (Some(source), Some((found, cut))) = (source, found) else { return Vec::new() };
    vec![SourceLooked { source, found, cut, looked }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Source(body) = body else { return Vec::new() };
    let found = match (body.found, body.cut) {
        (false, _) => "none",
        (true, true) => "cut",
        (true, false) => "live",
    };
    vec![pair("what", &body.source), pair("found", found), pair("looked", &body.looked)]
}
