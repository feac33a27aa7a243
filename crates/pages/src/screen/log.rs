//! The log: all facts of a job, newest first, with what became of each.

use crate::context::{Context, JobView};
use crate::entry::form_of;
use crate::entry::sentence::sentence;
use crate::entry::words::{enter, when, with_query};
use crate::fields::{Fields, Refusal};
use crate::route::{EntryKind, Route};
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use record::{Body, Fact};
use std::collections::BTreeSet;
use study::words::capital;

/// Facts on one page.
const PAGE: usize = 100;

pub(crate) fn page(job: &str, query: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let Some(view) = cx.job else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let kinds: BTreeSet<&'static str> = view.facts.iter().map(|fact| fact.body.kind()).collect();
    let kind = query.text("kind").and_then(|kind| kinds.iter().copied().find(|one| *one == kind));
    let mut facts: Vec<&Fact> =
        view.facts.iter().filter(|fact| kind.is_none_or(|kind| fact.body.kind() == kind)).collect();
    facts.sort_by_key(|fact| std::cmp::Reverse((fact.at, fact.id().clone())));
    let from = query.text("from").and_then(|from| from.parse::<usize>().ok()).unwrap_or(0).min(facts.len());
    let route = Route::Log(job.to_owned());
    let body = html! {
        p.lede { "Every entry stays. What was replaced or taken back is struck through, what is set aside says why." }
        nav.chips aria-label="Kinds" {
            a.chip href=(route) aria-current=[kind.is_none().then_some("page")] { "All " (view.facts.len()) }
            @for one in &kinds {
                a.chip href=(with_query(&route, &[("kind", one)])) aria-current=[(kind == Some(one)).then_some("page")] { (kind_words(one)) }
            }
        }
        section.sheet #log data-live {
            @if facts.is_empty() { p.quiet { "Nothing yet." } }
            ul.facts { @for fact in facts.iter().skip(from).take(PAGE) { (fact_line(view, fact, cx)) } }
            @if from + PAGE < facts.len() {
                a.plain href=(with_query(&route, &[("kind", kind.unwrap_or_default()), ("from", &(from + PAGE).to_string())])) { "Older entries" }
            }
        }
    };
    shell(cx, "Log", &route, body)
}

fn kind_words(kind: &str) -> String {
    match kind {
        "state" => "Load state".to_owned(),
        "clamp" => "Current".to_owned(),
        "exposure" => "Open".to_owned(),
        "retraction" => "Taken back".to_owned(),
        other => capital(other),
    }
}

/// One fact: its sentence, who and when, what became of it, and what can be done with it.
pub(crate) fn fact_line(view: &JobView, fact: &Fact, _cx: &Context<'_>) -> Markup {
    let id = fact.id();
    let replaced = view.settled.replaced.get(id);
    let by_retraction = replaced.is_some_and(|by| {
        view.facts.iter().any(|other| other.id() == by && matches!(other.body, Body::Retraction(_)))
    });
    let aside = view.settled.set_aside.iter().find(|aside| aside.fact == *id);
    let class = match (replaced, aside) {
        (Some(_), _) => "taken-back",
        (None, Some(_)) => "set-aside",
        (None, None) => "used",
    };
    let words = sentence(view, &fact.body);
    let may_go =
        replaced.is_none() && !matches!(fact.body, Body::Job(_) | Body::Retraction(_) | Body::Forgotten(_));
    let correct = form_of(&fact.body).filter(|_| may_go);
    html! {
        li class=(class) {
            span.when {
                time datetime=(fact.at.strftime("%Y-%m-%dT%H:%M:%S")) { (when(fact.at)) }
                @if let Some(by) = &fact.by { " · " (by) }
            }
            br;
            @if replaced.is_some() { s.words { (words) } } @else { span.words { (words) } }
            @if replaced.is_some() {
                " " span.tag { @if by_retraction { "taken back" } @else { "replaced" } }
            }
            @if let Some(aside) = aside {
                br; strong { "Not used: " } (aside.why) "."
            }
            @if may_go {
                div.acts {
                    @if let Some(kind) = correct {
                        a href=(enter(view, kind, &[("supersedes", id.as_str())])) { "Correct" span.off-screen { ": " (words) } }
                    }
                    a href=(enter(view, EntryKind::TakeBack, &[("supersedes", id.as_str())])) { "Take back" span.off-screen { ": " (words) } }
                }
            }
        }
    }
}
