//! Something due was done: a recheck, a look-back, a promise, or the end of a stop-gap.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use model::FactId;
use model::plan::KeptWhat;
use record::Body;
use record::fact::DueKept;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Done",
    lede: "What was due, and what was found or done. It leaves the board with this.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let due = ask.cx.settled_job().map(|job| study::board(job, ask.cx.policy)).unwrap_or_default();
    let choices: Vec<(String, String)> = due
        .iter()
        .map(|one| {
            let what = one.settles.write();
            (format!("{what}:{}", one.of), format!("{}: {} ({})", one.day, one.words, settled(one.settles)))
        })
        .collect();
    let usual = match (ask.values.text("what"), ask.values.text("of")) {
        (Some(what), Some(of)) if !of.contains(':') => format!("{what}:{of}"),
        (_, Some(of)) => of.to_owned(),
        _ => String::new(),
    };
    html! {
        @if choices.is_empty() && usual.is_empty() { div.note { p { "Nothing is due in this job." } } }
        (ask.choose("of", "What was due", "", "Choose what is done", vec![(String::new(), choices)], &usual))
        (sheet.words("words", "What was found or done", "For a recheck: readings, smell, colour, and the load it ran with.", ""))
        div.caution { p { "A recheck is made with the cover as the record says. A cool handle at no load says nothing." } }
        (moment(ask))
        (actions("Save"))
    }
}

fn settled(what: KeptWhat) -> &'static str {
    match what {
        KeptWhat::Recheck => "recheck done",
        KeptWhat::End => "ended, something lasting is in its place",
        KeptWhat::LookBack => "look-back done",
        KeptWhat::Promise => "promise kept",
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let sent = taking.text("of").unwrap_or_default().to_owned();
    let known = taking.view.settled.job.as_ref();
    let (what, of) = match sent.split_once(':') {
        Some((what, of)) => (KeptWhat::read(what, None).ok(), FactId::read(of, None).ok()),
        None => (None, None),
    };
    let is_there = |of: &FactId| {
        known.is_some_and(|job| {
            job.work.iter().any(|one| one.fact == *of)
                || job.interims.iter().any(|one| one.fact == *of)
                || job.promises.iter().any(|one| one.fact == *of)
        })
    };
    if !of.as_ref().is_some_and(is_there) || what.is_none() {
        taking.wrong("of", "Choose what is done.");
    }
    if taking.text("words").is_none() {
        taking.wrong("words", "Write what was found or done.");
    }
    let words = taking.words("words");
    let (Some(what), Some(of)) = (what, of) else { return Vec::new() };
    vec![DueKept { of: AsText(of), what: AsText(what), words }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Kept(body) = body else { return Vec::new() };
    let of = format!("{}:{}", body.what.0.write(), body.of.0);
    vec![pair("of", of), pair("words", &body.words)]
}
