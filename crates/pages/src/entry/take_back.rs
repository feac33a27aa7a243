//! Entries taken back, with nothing in their place.

use super::ask::Ask;
use super::sentence::sentence;
use super::taking::Taking;
use super::words::when;
use super::{Form, Pairs, actions, moment};
use maud::{Markup, html};
use record::fact::Retraction;
use record::{Body, Fact};

pub(super) const FORM: Form = Form {
    title: "Take back",
    lede: "The entry stays in the log, struck through, and no longer counts. To put another value in its place, correct it instead.",
    show,
    read,
    pairs,
    series: None,
};

/// Entries offered where none is named.
const N_LATEST: usize = 12;

fn show(ask: &Ask<'_>) -> Markup {
    let named: Vec<&str> = ask.values.all("supersedes").collect();
    let is_named = |fact: &Fact| named.contains(&fact.id().as_str());
    let may_go = |fact: &Fact| !matches!(fact.body, Body::Job(_) | Body::Retraction(_) | Body::Forgotten(_));
    let mut facts: Vec<&Fact> = ask.standing.live.iter().rev().copied().filter(|fact| may_go(fact)).collect();
    if facts.iter().any(|fact| is_named(fact)) {
        facts.retain(|fact| is_named(fact));
    } else {
        facts.truncate(N_LATEST);
    }
    html! {
        fieldset.pick.list id=(ask.sheet.id_of("supersedes")) tabindex="-1" {
            legend { "Take back" }
            div.tiles {
                @for fact in &facts {
                    label {
                        input type="checkbox" name="supersedes" value=(fact.id()) checked[is_named(fact)];
                        span { (sentence(ask.view, &fact.body)) small { (when(fact.at)) } }
                    }
                }
            }
            (ask.sheet.error("supersedes"))
        }
        (ask.sheet.words("words", "Why", "", ""))
        (moment(ask))
        (actions("Take back"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let words = taking.words("words");
    if taking.text("supersedes").is_none() {
        taking.wrong("supersedes", "Choose what is taken back.");
    }
    let opens = |fact: &&Fact| matches!(fact.body, Body::Job(_)) && taking.supersedes.contains(fact.id());
    if taking.view.facts.iter().any(|fact| opens(&fact)) {
        taking.wrong(
            "supersedes",
            "The entry that opens the job cannot be taken back: without it there is no job.",
        );
    }
    vec![Retraction { words }.into()]
}

fn pairs(_: &Body) -> Pairs {
    Vec::new()
}
