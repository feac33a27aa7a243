//! The questions of the call sheet as tiles, and first words that show as soon as an urgent answer is tapped.

use super::ANSWER;
use crate::form::Sheet;
use maud::{Markup, html};
use model::job::CallAnswer;
use std::ops::Range;
use study::{CallUrgency, Triage};

/// Some of the questions, by their numbers; `given` are the answers so far.
pub(super) fn tiles(triage: &Triage, which: Range<usize>, given: &[CallAnswer], sheet: &Sheet<'_>) -> Markup {
    html! {
        @for question in triage.questions().iter().take(which.end).skip(which.start) {
            @let name = format!("{ANSWER}{}", question.id);
            @let id = sheet.id_of(&name);
            @let typed = sheet.all_typed(&name);
            fieldset.pick #(id) tabindex="-1" aria-describedby=[(!question.hint.is_empty()).then(|| format!("{id}-hint"))] {
                legend { (question.ask) }
                @if !question.hint.is_empty() { p.hint id={ (id) "-hint" } { (question.hint) } }
                div.tiles {
                    @for answer in &question.answers {
                        @let this = CallAnswer { question: question.id.clone(), answer: answer.id.clone() };
                        @let on = typed.contains(&answer.id) || (!sheet.is_again() && given.contains(&this));
                        label {
                            input type=(if question.several { "checkbox" } else { "radio" }) name=(name) value=(answer.id)
                                checked[on] data-urgency=(alone(triage, this).word());
                            span { (answer.label) }
                        }
                    }
                }
            }
        }
    }
}

/// What an answer alone asks for.
fn alone(triage: &Triage, answer: CallAnswer) -> CallUrgency {
    triage.advise(&[answer]).urgency
}

/// First words for each urgency that cannot wait; the style sheet shows the most urgent of those tapped, so they need
/// neither script nor network.
pub(super) fn first_words(triage: &Triage) -> Markup {
    let urgencies = [CallUrgency::Emergency, CallUrgency::UtilityNow, CallUrgency::UsTonight];
    html! {
        div.first-words role="status" {
            @for urgency in urgencies {
                @if let Some(headline) = headline(triage, urgency) {
                    p.caution data-urgency=(urgency.word()) { span.label { "Tell the caller: " } (headline) }
                }
            }
        }
    }
}

/// First words of an urgency, where some answer alone asks for it.
pub(super) fn headline(triage: &Triage, urgency: CallUrgency) -> Option<String> {
    let mut advices = triage.questions().iter().flat_map(|question| {
        let of = |answer: &str| CallAnswer { question: question.id.clone(), answer: answer.to_owned() };
        question.answers.iter().map(move |answer| triage.advise(&[of(&answer.id)]))
    });
    advices.find(|advice| advice.urgency == urgency).map(|advice| advice.headline)
}
