//! The bench: the panel, what is thought of it, and what to do next.

mod advice;
mod drawing;
mod glyph;
mod judged;

use crate::context::{Context, JobView};
use crate::entry::question;
use crate::entry::standing::Standing;
use crate::entry::words::{enter, exposure_words, installation, with_query};
use crate::fields::{Fields, Refusal};
use crate::form::form_as;
use crate::route::{EntryKind, Route};
use crate::shell::{Page, failure_page, wide_shell};
pub(crate) use glyph::{fit, mark_words};
pub(crate) use judged::{standing_of_judging, standing_of_whole};
use maud::{Markup, html};
use model::job::Exposure;
use model::panel::Panel;
use study::Marks;

pub(crate) fn page(job: &str, query: &Fields, _again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let Some(view) = cx.job else {
        return failure_page(
            "No such job",
            "This job is not here.",
            "It may have been taken from this machine.",
        );
    };
    let route = Route::Bench(job.to_owned());
    let title = match &view.settled.job {
        Some(job) if !job.place.is_empty() => &job.place,
        _ => &view.name,
    };
    let mut standing = Standing::of(view);
    let chosen = query.text("state").filter(|state| standing.has_state(state)).unwrap_or_default().to_owned();
    if !chosen.is_empty() {
        standing.state.clone_from(&chosen);
    }
    let installation = installation(view);
    let panels = installation.map(|installation| installation.panels.as_slice()).unwrap_or_default();
    let named = query.text("panel").and_then(|name| panels.iter().find(|panel| panel.id.as_str() == name));
    let Some(panel) = named.or(panels.first()) else {
        return wide_shell(cx, title, &route, no_panel(view));
    };
    let marks = view.judged.shown().map(Marks::of);
    let body = html! {
        @if view.settled.job.as_ref().is_some_and(|job| job.invented) {
            p.quiet { "An invented example: no such house, panel or person exists." }
        }
        div #asked data-live { (question(view, cx)) }
        div #judged data-live { (judged::strip(view)) }
        div #now data-live { (now(view, &standing, &chosen, panel, cx)) }
        div.two.drawing-left {
            section #panel data-live {
                h2 { "Panel " (panel.id) @if !panel.place.is_empty() { span.quiet { ", " (panel.place) } } }
                @if 1 < panels.len() { (tabs(view, panels, panel, &chosen)) }
                @if let Some(installation) = installation {
                    div.drawing { (drawing::drawing(view, installation, panel, marks.as_ref(), &standing, &chosen)) }
                }
                (legend(marks.is_some()))
                div.links {
                    a.plain.small href=(Route::Fill(view.name.clone(), panel.id.to_string())) { "Fill spaces" }
                    a.plain.small href=(Route::Panel(view.name.clone(), panel.id.to_string())) { "Describe panel" }
                    a.plain.small href=(Route::Panel(view.name.clone(), String::new())) { "Another panel" }
                    a.plain.small href=(Route::Code(view.name.clone())) { "Load and code" }
                }
            }
            div {
                section.sheet #checks data-live { (advice::checks(view, &standing)) }
                section.sheet #suspects data-live { (judged::suspects(view, cx.policy)) }
                div #trends data-live { (judged::trends(view)) }
                section.sheet #enter { (advice::entries(view, &standing)) }
                div #aside data-live { (judged::contradictions(view)) }
            }
        }
        div.actions #next data-live { (advice::actions(view, &standing)) }
    };
    wide_shell(cx, title, &route, body)
}

/// A single clear next step.
fn no_panel(view: &JobView) -> Markup {
    html! {
        div #judged data-live {
            section.sheet {
                h2 { "Describe the panel" }
                p { "Rows, main or split, then what each space feeds. Two minutes for a panel of 24 spaces; everything else \
                     begins with it." }
                a.big.full href=(Route::Panel(view.name.clone(), String::new())) { "Describe the panel" }
            }
            div.links {
                a.plain href=(Route::Call(view.name.clone())) { "Call notes" }
                a.plain href=(Route::Photos(view.name.clone())) { "Photos" }
                a.plain href=(enter(view, EntryKind::Complaint, &[])) { "Complaint" }
            }
            (judged::contradictions(view))
        }
    }
}

fn tabs(view: &JobView, panels: &[Panel], here: &Panel, state: &str) -> Markup {
    let bench = Route::Bench(view.name.clone());
    html! {
        nav.chips aria-label="Panels" {
            @for panel in panels {
                a.chip href=(with_query(&bench, &[("panel", panel.id.as_str()), ("state", state)]))
                    aria-current=[(panel.id == here.id).then_some("page")] { (panel.id) }
            }
        }
    }
}

/// Loads that run and how far the panel is open, each one tap from being changed.
fn now(view: &JobView, standing: &Standing<'_>, chosen: &str, panel: &Panel, cx: &Context<'_>) -> Markup {
    let bench = Route::Bench(view.name.clone());
    let others: Vec<&str> = standing.states().iter().map(|state| state.name.as_str()).collect();
    html! {
        details.more {
            summary { span { span.quiet { "Loads: " } (standing.state) } }
            nav.chips aria-label="Load states" {
                @for name in others.iter().filter(|name| **name != standing.state) {
                    a.chip href=(with_query(&bench, &[("panel", panel.id.as_str()), ("state", name)])) { (name) }
                }
                a.chip href=(enter(view, EntryKind::State, &[])) { "New load state" }
            }
            @if !chosen.is_empty() { p.quiet { "Chosen for what you enter from here; it stays with the next reading." } }
        }
        details.more {
            summary { span { span.quiet { "Open: " } (exposure_words(standing.exposure)) } }
            nav.chips aria-label="How far open" {
                @for other in [Exposure::CoverOn, Exposure::CoverOff, Exposure::ProvenDead] {
                    @if other == Exposure::CoverOn && standing.exposure != other {
                        (form_as(cx, &Route::Enter(view.name.clone(), EntryKind::Exposure), "closed", html! {
                            button.small name="reached" value=(other.word()) { "Dead front is back on" }
                        }))
                    } @else if other != standing.exposure {
                        a.chip href=(enter(view, EntryKind::Exposure, &[("reached", other.word())])) { (exposure_words(other)) }
                    }
                }
            }
        }
    }
}

fn legend(judged: bool) -> Markup {
    html! {
        @if judged {
            p.quiet {
                span.mark.burnt { "burnt" } " " span.mark.worn { "worn" } " " span.mark.sound { "sound" } " "
                span.mark.unknown { "not known" }
            }
            p.quiet { "Each mark is the more likely state of the joint on the stab. Not known never means sound. Tap a space." }
        } @else {
            p.quiet { "Tap a space to record there. Marks appear when the panel is judged." }
        }
    }
}
