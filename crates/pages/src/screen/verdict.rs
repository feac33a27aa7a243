//! The verdict in full: urgency, the rules that fired with their figures, how likely it is to change, and every choice,
//! doing nothing first among them.

use crate::context::Context;
use crate::entry::words::installation;
use crate::route::Route;
use crate::screen::bench::standing_of_judging;
use crate::screen::joint::named;
use crate::shell::{Page, failure_page, shell};
use crate::urgency::bars;
use maud::{Markup, html};
use model::advice::{Choice, ChoiceKind, MayChange, Standing, Verdict};
use study::words::{self, capital, percent};

pub(crate) fn page(job: &str, cx: &Context<'_>) -> Page {
    let route = Route::Verdict(job.to_owned());
    let Some(view) = cx.job else { return failure_page("No such job", "This job is not here.", "") };
    let body = html! {
        div #verdict data-live {
            (standing_of_judging(view))
            @match view.judged.leading() {
                None => section.sheet { p { "The verdict stands here once the panel is judged." } },
                Some(assessment) => {
                    @let words = |text: &str| match installation(view) {
                        Some(installation) => named(text, installation, assessment),
                        None => text.to_owned(),
                    };
                    (verdict(&assessment.verdict, &words))
                    (choices(&assessment.options, &words))
                }
            }
        }
        div.links {
            a.plain href=(Route::Policy) { "The policy, and why" }
            a.plain href=(Route::Plan(view.name.clone())) { "Plan until the replacement" }
            a.plain href=(Route::Papers(view.name.clone())) { "Papers" }
        }
    };
    shell(cx, "Verdict", &route, body)
}

/// With the names of joints in the place of their ids.
type InWords<'a> = dyn Fn(&str) -> String + 'a;

fn verdict(verdict: &Verdict, words: &InWords<'_>) -> Markup {
    html! {
        section.verdict data-urgency=(verdict.urgency.word()) {
            h2.urgency { (bars(verdict.urgency)) (capital(verdict.urgency.phrase())) }
            p { (words(&verdict.summary)) }
            p.quiet { "Policy: " (verdict.policy) "." }
            @if let Some(first) = verdict.cautions.first() { div.caution { p { (first) } } }
        }
        section.sheet {
            h2 { "Why" }
            @if verdict.rules.is_empty() { p { "No rule of the policy fired." } }
            ul.rows {
                @for rule in &verdict.rules {
                    li.row { p.grow {
                        strong { (capital(&rule.rule)) ", " (rule.urgency.phrase()) } br;
                        (capital(&words(&rule.because))) "." br;
                        span.quiet { (words(&rule.reason)) }
                    } }
                }
            }
        }
        section.sheet {
            h2 { "Would more knowledge change it?" }
            @if let Some(change) = &verdict.may_change { (may_change(change, words)) }
            @if !verdict.would_change.is_empty() {
                ul { @for change in &verdict.would_change { li { (words(change)) } } }
            }
        }
        @if 1 < verdict.cautions.len() {
            section.sheet {
                h2 { "Mind" }
                ul { @for caution in &verdict.cautions[1..] { li { (caution) } } }
            }
        }
    }
}

fn may_change(change: &MayChange, words: &InWords<'_>) -> Markup {
    html! {
        @if let Some(told) = words::may_change(change) {
            p {
                strong { "With " (percent(change.more_urgent + change.less_urgent)) }
                " probability: it would be " (told) "."
            }
        }
        @if change.checks.is_empty() { p { "No check that is offered now would change it." } }
        @else {
            p { "What could change it most:" }
            ul { @for check in &change.checks { li { (words(&check.what)) " " span.quiet { "at most " (percent(check.chance)) } } } }
        }
        p.quiet { (capital(&change.basis)) "." }
    }
}

/// Doing nothing first, then what is recommended, open, conditional, refused.
fn choices(options: &[Choice], words: &InWords<'_>) -> Markup {
    let rank = |choice: &Choice| match (choice.kind, choice.standing) {
        (ChoiceKind::LeaveAndWatch, _) => 0,
        (_, Standing::Recommended) => 1,
        (_, Standing::Open) => 2,
        (_, Standing::Conditional) => 3,
        (_, Standing::Refused) => 4,
    };
    let mut all: Vec<&Choice> = options.iter().collect();
    all.sort_by_key(|choice| rank(choice));
    html! {
        section.sheet {
            h2 { "What the owner may choose" }
            ul.rows { @for choice in all { li.row { div.grow { (one(choice, words)) } } } }
        }
    }
}

fn one(choice: &Choice, words: &InWords<'_>) -> Markup {
    let standing = match choice.standing {
        Standing::Recommended => "recommended",
        Standing::Open => "open",
        Standing::Conditional => "only if",
        Standing::Refused => "not offered",
    };
    let list = |title: &str, texts: &[String]| {
        html! { @if !texts.is_empty() { p { strong { (title) } } ul { @for text in texts { li { (words(text)) } } } } }
    };
    html! {
        p { strong { (choice.title) } " " span.tag { (standing) } }
        p { (words(&choice.consequences)) }
        details.more {
            summary { "Reasons" span.off-screen { ": " (choice.title) } }
            (list("For", &choice.reasons_for))
            (list("Against", &choice.reasons_against))
            (list("Only if", &choice.conditions))
            (list("Does not solve", &choice.leaves))
            @if !choice.would_change.is_empty() { p { strong { "Would change this: " } (words(&choice.would_change)) } }
            @if let Some((low, high)) = choice.hours_off { p.quiet { (low) " to " (high) " h without power by the policy." } }
            @if let Some((low, high)) = choice.price_usd { p.quiet { "$" (low) " to $" (high) " by the policy." } }
        }
    }
}
