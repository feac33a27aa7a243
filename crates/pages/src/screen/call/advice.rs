//! What to tell the caller.

use super::questions::headline;
use crate::route::encode;
use maud::{Markup, html};
use model::job::CallAnswer;
use study::{CallAdvice, CallUrgency, Triage};

/// The advice on what was answered: to read out, to send, to print.
pub(super) fn told(triage: &Triage, answers: &[CallAnswer]) -> Markup {
    if answers.is_empty() {
        return html! { p.note { "The caller was not asked yet. The questions below say what to tell." } };
    }
    let advice = triage.advise(answers);
    let text = advice.text();
    html! {
        section.verdict data-urgency=(band(advice.urgency)) {
            p.label { "Tell the caller" }
            h2 { (advice.headline) }
            (lines(&advice))
            p { (advice.closing) }
            @if !advice.not_asked.is_empty() {
                details.working {
                    summary { (advice.not_asked.len()) " not asked yet: an answer may make it more urgent" }
                    ul { @for question in open_questions(triage, &advice) { li { (question) } } }
                }
            }
            details.working {
                summary { "Why" }
                ul {
                    @for rule in &advice.rules {
                        li {
                            @if let Some(urgency) = rule.urgency { strong { (urgency.phrase()) } ": " }
                            (rule.reason) br; span.quiet { (rule.cite) }
                        }
                    }
                }
                p.quiet { "Call sheet, version " (triage.version()) }
            }
        }
        details.more {
            summary { "Send it as a text" }
            div.field {
                label for="told-text" { "Text for the caller" }
                textarea #told-text readonly rows="8" { (text) }
            }
            p.links {
                a.plain href=(format!("sms:?&body={}", encode(&text))) { "As a text message" }
                a.plain href=(format!("mailto:?subject={}&body={}", encode("Until we are there"), encode(&text))) { "By mail" }
            }
        }
    }
}

fn lines(advice: &CallAdvice) -> Markup {
    html! {
        @for (title, all) in [("Do", &advice.do_lines), ("Do not", &advice.dont_lines)] {
            @if !all.is_empty() {
                h3 { (title) }
                ul { @for line in all { li { (line) } } }
            }
        }
    }
}

fn open_questions<'a>(triage: &'a Triage, advice: &CallAdvice) -> impl Iterator<Item = &'a str> {
    let open = triage.questions().iter().filter(|question| advice.not_asked.contains(&question.id));
    open.map(|question| question.ask.as_str())
}

/// The weight of the frame around it.
fn band(urgency: CallUrgency) -> &'static str {
    match urgency {
        CallUrgency::Emergency | CallUrgency::UtilityNow => "now",
        CallUrgency::UsTonight | CallUrgency::UsTomorrow => "within-72-hours",
        CallUrgency::PlanVisit => "plan-it",
    }
}

/// The advice on each urgent answer by itself: for a sheet that cannot be sent just now.
pub(super) fn without_network(triage: &Triage) -> Markup {
    let urgent = triage.questions().iter().flat_map(|question| {
        question.answers.iter().map(|answer| {
            let this = CallAnswer { question: question.id.clone(), answer: answer.id.clone() };
            (answer.said.as_str(), triage.advise(&[this]))
        })
    });
    let urgent = urgent.filter(|(_, advice)| advice.urgency <= CallUrgency::UsTonight);
    html! {
        details.more {
            summary { "What to tell, without a network" }
            p.quiet { "One answer at a time; where several hold, the first of them in this list counts." }
            @for urgency in CallUrgency::ALL {
                @let these: Vec<_> = urgent.clone().filter(|(_, advice)| advice.urgency == urgency).collect();
                @if !these.is_empty() {
                    h3 { (headline(triage, urgency).unwrap_or_default()) }
                    @for (said, advice) in &these {
                        details.working {
                            summary { (said) }
                            (lines(advice))
                        }
                    }
                }
            }
        }
    }
}
