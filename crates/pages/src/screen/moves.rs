//! Places to which a circuit could be moved as a stop-gap, each condition named; refused ones folded.

use crate::context::Context;
use crate::entry::words::{enter, installation, read_slot};
use crate::route::{EntryKind, Route};
use crate::screen::bench::standing_of_whole;
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::moving::{Met, MoveCandidate};
use study::words::{breaker_label, capital};

pub(crate) fn page(job: &str, panel: &str, space: &str, cx: &Context<'_>) -> Page {
    let route = Route::Moves(job.to_owned(), panel.to_owned(), space.to_owned());
    let found = cx.job.zip(cx.settled_job());
    let slot = cx.job.and_then(|view| read_slot(view, &format!("{panel}/{space}")));
    let (Some((view, settled)), Some(slot)) = (found, slot) else {
        return failure_page("No such circuit", "The record holds no circuit there.", "");
    };
    let Some(assessment) = view.judged.assessment() else {
        return failure_page("Not judged yet", "A move is only thought of once the panel is judged.", "");
    };
    let study = match study::moves(settled, assessment, &slot, cx.policy) {
        Ok(study) => study,
        Err(error) => return failure_page("Not moved", &capital(&error.to_string()), ""),
    };
    let (open, refused): (Vec<_>, Vec<_>) = study.candidates.iter().partition(|candidate| candidate.open);
    let title = installation(view).map(|all| capital(&breaker_label(all, &slot))).unwrap_or_default();
    let body = html! {
        p.lede { "A move is a stop-gap with a last day, by a qualified person, on a bus proven dead. Nothing here is a go-ahead by itself." }
        (standing_of_whole(view))
        @for refusal in &study.refusals { div.caution { p { strong { "Not moved: " } (refusal) } } }
        section.sheet {
            h2 { (title) }
            @if open.is_empty() { p { "No place is open." } }
            ol { @for candidate in &open { li { (place(candidate)) } } }
        }
        @if !refused.is_empty() {
            details.more {
                summary { (refused.len()) " places refused" }
                ul { @for candidate in &refused { li { (place(candidate)) } } }
            }
        }
        section.sheet {
            h2 { "Mind" }
            p { "At most " (study.most_days) " days by the shop’s policy." }
            ul { @for caution in &study.cautions { li { (caution) } } }
            @for note in &study.notes { p.quiet { (note.text) } }
            a.plain href=(Route::Isolation(view.name.clone())) { "Isolation" }
            a.plain href=(enter(view, EntryKind::Work, &[("kind", "stop-gap"), ("slots", &slot.to_string())])) { "Record the stop-gap, with its last day" }
        }
    };
    shell(cx, "Moving a circuit", &route, body)
}

fn place(candidate: &MoveCandidate) -> Markup {
    let spaces: Vec<String> = candidate.spaces.iter().map(ToString::to_string).collect();
    let word = |met| match met {
        Met::Met => "✓ holds",
        Met::Ask => "? ask",
        Met::Prove => "□ to prove",
        Met::NotMet => "■ refuses",
    };
    html! {
        p { strong { "Space " (spaces.join("/")) } " " span.tag { @if candidate.open { "open, once all is answered" } @else { "refused" } } }
        ul.facts {
            @for condition in &candidate.conditions {
                li { span.tag { (word(condition.met)) } " " (condition.name) ": " (condition.says) }
            }
        }
        @if let Some(heat) = &candidate.heat {
            p { "Predicted at " (format!("{:.0}", heat.current_a)) " A: stab " (format!("{:.0}", heat.stab_c)) " °C, terminal "
                (format!("{:.0}", heat.terminal_c)) " °C (limit " (format!("{:.0}", heat.limit_c)) " °C), face " (format!("{:.0}", heat.face_c)) " °C." }
        }
    }
}
