//! One joint: how likely it is sound, worn or burnt, why, and how that was computed.

use super::bench::{mark_words, standing_of_judging};
use crate::context::{Context, JobView};
use crate::entry::words::{installation, space_route, with_query};
use crate::fields::{Fields, Refusal};
use crate::route::Route;
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::JointId;
use model::assessment::{Assessment, Class, Interval, JointFinding, Reason};
use model::installation::Installation;
use model::working::Working;
use record::text::Textual;
use study::words::{capital, joint_label, percent};
use study::{Marks, in_words};

pub(crate) fn page(
    job: &str,
    joint: &str,
    _query: &Fields,
    _again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    let route = Route::Joint(job.to_owned(), joint.to_owned());
    let found = cx.job.and_then(|view| Some((view, installation(view)?)));
    let home = cx.settled_job().and_then(|job| job.default_panel.clone());
    let id = JointId::read(joint, home.as_ref()).ok();
    let (Some((view, installation)), Some(id)) = (found, id) else {
        return failure_page(
            "No such joint",
            "The panel of this job has no such joint.",
            "Open the bench and tap a space.",
        );
    };
    if model::joint::joints(installation).iter().all(|one| one.id != id) {
        return failure_page(
            "No such joint",
            "The panel of this job has no such joint.",
            "Open the bench and tap a space.",
        );
    }
    let title = capital(joint_label(installation, &id).trim_start_matches("the "));
    let finding = view.judged.shown().and_then(|assessment| {
        let finding = assessment.joints.iter().find(|finding| finding.joint.id == id)?;
        Some((assessment, finding))
    });
    let back = match id.slot() {
        Some(slot) => (space_route(view, slot).to_string(), format!("Space {}", slot.space)),
        None => {
            let bench = Route::Bench(view.name.clone());
            (with_query(&bench, &[("panel", id.panel().as_str())]), "Panel".to_owned())
        }
    };
    let body = html! {
        p.lede { (what_it_is(&id)) }
        nav.chips aria-label="Back" { a.chip href=(back.0) { (back.1) } }
        div #judged data-live {
            (standing_of_judging(view))
            @match finding {
                Some((assessment, finding)) => {
                    (show(assessment, finding, installation))
                    @for caution in view.judged.leading().iter().flat_map(|leading| &leading.verdict.cautions) {
                        div.caution { p { (caution) } }
                    }
                },
                None => section.sheet { p { "Not judged yet." } },
            }
        }
    };
    shell(cx, &title, &route, body)
}

/// What meets what there.
const fn what_it_is(id: &JointId) -> &'static str {
    match id {
        JointId::Stab(_) => "Where the clip of the breaker grips the finger of the bus bar.",
        JointId::Terminal(_) => "Where the branch wire is screwed to the breaker.",
        JointId::NeutralTerminal(_) => "Where the neutral wire of the circuit is screwed to the bar.",
        JointId::Lug(..) => "Where a service conductor is screwed to the bus.",
        JointId::NeutralLug(_) => "Where the service neutral is screwed to the neutral bar.",
        JointId::Feeder(..) => "The connection that carries the whole section.",
    }
}

/// A joint as one row: mark, name, probability, the strongest reason.
pub(crate) fn line(view: &JobView, marks_of: &Assessment, id: &JointId) -> Markup {
    let marks = Marks::of(marks_of);
    let (Some(finding), Some(mark), Some(installation)) =
        (marks.finding(id), marks.mark(id), installation(view))
    else {
        return Markup::default();
    };
    let what = match id {
        JointId::Stab(_) => "On the stab".to_owned(),
        JointId::Terminal(_) => "Load terminal".to_owned(),
        JointId::NeutralTerminal(_) => "Neutral terminal".to_owned(),
        other => capital(&joint_label(installation, other)),
    };
    html! {
        li.row {
            a.whole href=(Route::Joint(view.name.clone(), id.to_string())) {
                span.grow { strong { (what) } }
                span class={ "mark " (mark.word()) } { (capital(mark_words(mark))) }
                span.quiet {
                    "Burnt is " (in_words(finding.probability.burnt)) "."
                    @if let Some(heat) = finding.heat_now_w { " Heat now " (range(heat, "W", 1)) "; at rating " (range(finding.heat_rated_w, "W", 1)) "." }
                    @if let Some(reason) = finding.reasons.first().filter(|_| mark.is_finding() || matches!(id, JointId::Stab(_))) {
                        " " (capital(&named(&reason.text, installation, marks_of))) "."
                    }
                    @if !finding.observed { " Nothing recorded bears on it yet." }
                }
            }
        }
    }
}

/// A text with the names of joints in the place of their ids.
pub(crate) fn named(text: &str, installation: &Installation, assessment: &Assessment) -> String {
    let mut ids: Vec<(String, &JointId)> =
        assessment.joints.iter().map(|finding| (finding.joint.id.to_string(), &finding.joint.id)).collect();
    // The longer first: `main:stab:1` is the head of `main:stab:15`.
    ids.sort_by_key(|(text, _)| std::cmp::Reverse(text.len()));
    let mut out = text.to_owned();
    for (written, id) in ids.iter().filter(|(written, _)| text.contains(written.as_str())) {
        out = out.replace(written.as_str(), &joint_label(installation, id));
    }
    out
}

/// An interval as printed.
fn range(interval: Interval, unit: &str, digits: usize) -> String {
    format!("{:.digits$} to {:.digits$} {unit}", interval.low, interval.high)
}

fn show(assessment: &Assessment, finding: &JointFinding, installation: &Installation) -> Markup {
    let marks = Marks::of(assessment);
    let chance = &finding.probability;
    html! {
        section.sheet {
            @if let Some(mark) = marks.mark(&finding.joint.id) {
                p { span class={ "mark " (mark.word()) } { (capital(mark_words(mark))) } }
            }
            p.figure { (percent(chance.burnt)) small { "burnt" } }
            p { "That it is burnt is " (in_words(chance.burnt)) ". Worn: " (percent(chance.worn)) ", sound: " (percent(chance.sound)) "." }
            p.quiet {
                "Before any observation: " (percent(finding.prior_burnt)) ". The sampling alone leaves ± "
                (format!("{:.1}", chance.burnt_standard_error * 100.0)) " points."
                @if !finding.observed { " No observation bears on this joint: this is the description of the panel and its neighbours alone." }
            }
        }
        section.sheet { h2 { "Figures" } (figures(finding)) }
        section.sheet { h2 { "Reasons" } (reasons(&finding.reasons, installation, assessment)) }
        (workings(assessment, finding))
        section.sheet { h2 { "How it was computed" } (sampling(assessment)) }
    }
}

fn figures(finding: &JointFinding) -> Markup {
    let resistance = finding.resistance_mohm;
    html! {
        dl {
            dt { "Resistance, 90 % interval" }
            dd { (range(resistance, "mΩ", 2)) ", most likely near " (format!("{:.2} mΩ", resistance.median)) }
            dt { "Heat in it now" }
            dd {
                @match (finding.heat_now_w, finding.current_now_a) {
                    (Some(heat), Some(amps)) => { (range(heat, "W", 2)) " at " (format!("{:.1} A", amps.median)) }
                    (Some(heat), None) => { (range(heat, "W", 2)) }
                    (None, _) => "Not known: no current is known or assumed.",
                }
            }
            dt { "Heat at the rating, " (format!("{:.0} A", finding.current_rated_a)) }
            dd { (range(finding.heat_rated_w, "W", 2)) }
            dt { "In the contact spot, not the metal around it, in the most loaded state" }
            dd {
                @match finding.hot_spot_c {
                    Some(spot) => (range(spot, "°C", 0)),
                    None => "Refused: the relation of voltage and temperature does not hold here, or no current is known.",
                }
            }
        }
    }
}

fn class_words(class: Class) -> &'static str {
    match class {
        Class::Seen => "seen",
        Class::Measured => "measured",
        Class::Inferred => "inferred",
        Class::Unknown => "unknown",
    }
}

/// Decibans and the factor on the odds that each stands for, rounded.
const FACTORS: [(f64, &str); 11] = [
    (1.0, "less than 2"),
    (2.5, "about 2"),
    (4.0, "about 3"),
    (5.5, "about 4"),
    (6.5, "about 5"),
    (8.5, "about 10"),
    (11.5, "about 20"),
    (14.0, "about 30"),
    (16.0, "about 50"),
    (18.5, "about 100"),
    (25.0, "several hundred"),
];

/// Weight of evidence in words: ten decibans are odds of ten to one.
fn weight_words(weight_db: f64) -> String {
    let size = weight_db.abs();
    if size < FACTORS[0].0 {
        return "hardly counts either way".to_owned();
    }
    let factor = FACTORS.iter().rev().find(|(from, _)| *from <= size).map_or("", |(_, factor)| factor);
    let verb = if 0.0 < weight_db { "multiplies" } else { "divides" };
    format!("{verb} the odds of burnt by {factor}")
}

fn reasons(reasons: &[Reason], installation: &Installation, all: &Assessment) -> Markup {
    html! {
        @if reasons.is_empty() { p { "None: nothing recorded bears on this joint by itself." } }
        ul.rows {
            @for reason in reasons {
                li.row {
                    div.grow {
                        span class={ "tag " (class_words(reason.class)) } { (class_words(reason.class)) }
                        br; (capital(&named(&reason.text, installation, all)))
                        br; span.quiet { (capital(&weight_words(reason.weight_db))) " (" (format!("{:+.1}", reason.weight_db)) " decibans)" }
                    }
                }
            }
        }
        @if !reasons.is_empty() { p.quiet { "Ten decibans for burnt multiply its odds by ten." } }
    }
}

fn workings(assessment: &Assessment, finding: &JointFinding) -> Markup {
    let subject = finding.joint.id.to_string();
    let own: Vec<&Working> =
        assessment.workings.iter().filter(|working| working.subject == subject).collect();
    html! {
        @if !own.is_empty() {
            section.sheet {
                h2 { "Workings" }
                @for working in own {
                    details.working {
                        summary { (capital(&working.title)) ": " (working.result) }
                        p.mono { (working.formula) }
                        table {
                            thead { tr { th { "Symbol" } th { "Value" } th { "From" } } }
                            tbody {
                                @for input in &working.inputs {
                                    tr { td { (input.symbol) br; span.quiet { (input.meaning) } } td { (input.value) } td { (input.from) } }
                                }
                            }
                        }
                        p { strong { "Holds: " } (working.validity) }
                        p.quiet { "Source: " (working.cite) }
                    }
                }
            }
        }
    }
}

fn sampling(assessment: &Assessment) -> Markup {
    let report = &assessment.sampling;
    html! {
        @if let Some(problem) = &report.problem {
            div.caution { p { strong { "Not to be relied on yet: " } (problem) } }
        } @else if !report.converged {
            div.caution { p { "The sampling did not converge: these figures are not to be relied on." } }
        }
        p.quiet {
            (report.n_chains) " chains of " (report.n_sweeps) " sweeps, " (report.n_draws) " draws kept, at least " (format!("{:.0}", report.effective_draws))
            " effective; largest R-hat " (format!("{:.3}", report.r_hat)) "; largest standard error "
            (format!("{:.3}", report.worst_standard_error)) "; seed " (report.seed) "; model " (assessment.model_version)
            "; for " (assessment.day) "."
        }
    }
}
