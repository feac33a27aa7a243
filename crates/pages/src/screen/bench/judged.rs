//! What is thought of the job: verdict, how far judging is, suspects, contradictions.

use crate::context::{JobView, Judged};
use crate::entry::sentence::sentence;
use crate::entry::words::installation;
use crate::route::Route;
use crate::screen::bench::mark_words;
use crate::screen::joint::named;
use crate::urgency::bars;
use maud::{Markup, html};
use model::FactId;
use model::assessment::{Assessment, JointFinding};
use model::trend::NO_DATE;
use study::words::{capital, joint_label};
use study::{Mark, Marks, Policy, in_words};

/// Suspects listed.
const N_SUSPECTS: usize = 6;
/// Heat below this is printed as nothing, W.
const HEAT_SHOWN_W: f64 = 0.05;

/// Verdict, or how far judging is.
pub(super) fn strip(view: &JobView) -> Markup {
    html! {
        (standing_of_judging(view))
        @if let Some(assessment) = view.judged.leading() {
            (verdict(view, assessment))
            a.plain.small href=(Route::Verdict(view.name.clone())) { "Verdict in full, with every choice" }
        }
    }
}

fn verdict(view: &JobView, assessment: &Assessment) -> Markup {
    let verdict = &assessment.verdict;
    let words = |text: &str| match installation(view) {
        Some(installation) => named(text, installation, assessment),
        None => text.to_owned(),
    };
    html! {
        section.verdict data-urgency=(verdict.urgency.word()) {
            h2.urgency { (bars(verdict.urgency)) (capital(verdict.urgency.phrase())) }
            p { (verdict.summary) }
            @if !verdict.rules.is_empty() || !verdict.would_change.is_empty() || !verdict.cautions.is_empty() {
                details.working {
                    summary { "Why, and what would change it" }
                    @for rule in &verdict.rules {
                        p { strong { (capital(rule.urgency.phrase())) ": " } (words(&rule.because)) " " span.quiet { (words(&rule.reason)) } }
                    }
                    @if !verdict.would_change.is_empty() {
                        h3 { "Would change the advice" }
                        ul { @for change in &verdict.would_change { li { (words(change)) } } }
                    }
                    @for caution in &verdict.cautions { div.caution { p { (caution) } } }
                }
            }
            p.quiet { "Policy: " (verdict.policy) "." }
        }
    }
}

/// How far judging is, on a page that shows a first look where there is one.
pub(crate) fn standing_of_judging(view: &JobView) -> Markup {
    let Some(first) = view.judged.first_look() else { return standing_of_whole(view) };
    let is_earlier =
        view.judged.leading().is_some_and(|leading| leading.verdict.urgency < first.verdict.urgency);
    html! {
        div.note.first-look {
            p role="status" {
                strong { "First look, less exact. " }
                "The whole judgement of the latest entries follows here by itself, and papers wait for it."
                @if is_earlier { " The verdict is still the earlier one: it is the more urgent of the two." }
            }
        }
    }
}

/// Is the whole judgement computed, awaited, not possible, or older than the facts?
pub(crate) fn standing_of_whole(view: &JobView) -> Markup {
    html! {
        @match &view.judged {
            Judged::Waiting => div.note { p role="status" { "Being judged. The result appears here by itself." } },
            Judged::NotPossible(why) => div.note {
                p { strong { "Not judged yet. " } (why) }
                @for problem in &view.settled.missing { p.quiet { "Still missing: " (problem.message) "." } }
            },
            Judged::Done { current: false, .. } => div.note { p role="status" { "Older than the latest entries: a new judgement is being computed." } },
            Judged::Done { .. } => {},
        }
    }
}

/// The joints most likely burnt or worn, then those that the policy counts as suspect though they are less likely so than not: the
/// verdict speaks of them.
pub(super) fn suspects(view: &JobView, policy: &Policy) -> Markup {
    let (Some(assessment), Some(installation)) = (view.judged.shown(), installation(view)) else {
        return html! { h2 { "Suspect joints" } p.quiet { "They are listed here when the panel is judged." } };
    };
    let marks = Marks::of(assessment);
    let mut open: Vec<&(&JointFinding, Mark)> = marks
        .all
        .iter()
        .filter(|(finding, mark)| !mark.is_finding() && policy.suspect_burnt() <= finding.probability.burnt)
        .collect();
    open.sort_by(|(one, _), (other, _)| other.probability.burnt.total_cmp(&one.probability.burnt));
    let found = marks.findings().map(|(_, finding, mark)| (finding, mark));
    let findings: Vec<(&JointFinding, Mark)> = found.chain(open.into_iter().copied()).collect();
    let (first, rest) = findings.split_at(findings.len().min(N_SUSPECTS));
    let row = |finding: &JointFinding, mark: Mark| {
        html! {
            li.row {
                a.whole href=(Route::Joint(view.name.clone(), finding.joint.id.to_string())) {
                    span class={ "mark " (mark.word()) } { (capital(called(finding, mark))) }
                    span.grow { (capital(joint_label(installation, &finding.joint.id).trim_start_matches("the "))) }
                    span.quiet { (said(finding, mark)) }
                }
            }
        }
    };
    let unknown = marks.count(Mark::Unknown);
    html! {
        h2 { "Suspect joints" }
        @if findings.is_empty() { p { "No joint is suspect, nor more likely burnt or worn than not." } }
        ul.rows { @for (finding, mark) in first { (row(finding, *mark)) } }
        @if !rest.is_empty() {
            details.more {
                summary { (rest.len()) " more" }
                ul.rows { @for (finding, mark) in rest { (row(finding, *mark)) } }
            }
        }
        p.quiet {
            (marks.count(Mark::Sound)) " joints are probably sound; of " (unknown) " too little is known, which never means sound."
        }
    }
}

/// What was read at two visits, held against itself at equal load.
pub(super) fn trends(view: &JobView) -> Markup {
    let trends = view.judged.shown().map(|assessment| assessment.trends.as_slice()).unwrap_or_default();
    html! {
        @if !trends.is_empty() {
            section.sheet {
                h2 { "Then and now" }
                ul { @for trend in trends { li { (capital(&trend.sentence)) } } }
                p.quiet { (NO_DATE) }
            }
        }
    }
}

/// What a suspect is called. Its mark may be that of a worn joint though burnt is the likelier of the two.
fn called(finding: &JointFinding, mark: Mark) -> &'static str {
    match mark {
        Mark::Worn if finding.probability.worn < finding.probability.burnt => "burnt or worn",
        Mark::Burnt | Mark::Worn => mark_words(mark),
        Mark::Sound | Mark::Unknown => "suspect",
    }
}

/// Probability in words and heat now.
fn said(finding: &JointFinding, mark: Mark) -> String {
    let chance = match mark {
        Mark::Worn => {
            format!("worn or burnt is {}", in_words(finding.probability.burnt + finding.probability.worn))
        }
        _ => format!("burnt is {}", in_words(finding.probability.burnt)),
    };
    match (finding.heat_now_w, finding.current_now_a) {
        (Some(heat), Some(amps)) if HEAT_SHOWN_W <= heat.high => {
            format!("{chance}; {:.1} to {:.1} W of heat at {:.0} A", heat.low, heat.high, amps.median)
        }
        _ => chance,
    }
}

/// What is set aside because it contradicts something, and warnings about what is used.
pub(super) fn contradictions(view: &JobView) -> Markup {
    let settled = &view.settled;
    let words = |id: &FactId| {
        let fact = view.facts.iter().find(|fact| fact.id() == id);
        fact.map(|fact| sentence(view, &fact.body)).unwrap_or_else(|| id.to_string())
    };
    html! {
        @if !settled.set_aside.is_empty() {
            section.sheet {
                h2 { "Set aside" }
                p.quiet { "These entries contradict others, or cannot be. They are kept and not used." }
                ul.facts {
                    @for aside in &settled.set_aside {
                        li.set-aside {
                            span.words { (words(&aside.fact)) }
                            br; strong { "Not used: " } (aside.why) "."
                            @if let Some(other) = &aside.in_favour_of { br; span.quiet { "Used instead: " (words(other)) } }
                        }
                    }
                }
                a.plain.small href=(Route::Log(view.name.clone())) { "Open the log" }
            }
        }
        @if !settled.warnings.is_empty() {
            section.sheet {
                h2 { "Look at again" }
                ul.facts {
                    @for problem in &settled.warnings {
                        li { (capital(&problem.message)) "." @if let Some(hint) = &problem.hint { " " span.quiet { (capital(hint)) "." } } }
                    }
                }
            }
        }
    }
}
