//! What was found: suspect joints, supply, causes, and what is unknown.

use super::layout::Page;
use model::assessment::{Assessment, Class, Interval, JointFinding, Reason};
use model::job::Job;
use model::trend::NO_DATE;
use study::words::{breaker_label, capital, joint_label};
use study::{Policy, in_words};

/// Joints shown where none is suspect.
const N_LEAST_SURE: usize = 3;
/// Reasons shown with each joint.
const N_REASONS: usize = 6;

/// Suspect joints with their figures and reasons, or the least sure ones where none is suspect.
pub(super) fn suspects(page: &mut Page, job: &Job, assessment: &Assessment, policy: &Policy) {
    let mut joints: Vec<&JointFinding> = assessment.joints.iter().collect();
    joints.sort_by(|one, other| other.probability.burnt.total_cmp(&one.probability.burnt));
    let n_suspect =
        joints.iter().filter(|finding| policy.suspect_burnt() <= finding.probability.burnt).count();
    if n_suspect == 0 {
        page.heading("No joint is suspect. The least sure of them");
        joints.truncate(N_LEAST_SURE);
    } else {
        page.heading("Suspect joints");
        joints.truncate(n_suspect);
    }
    for finding in joints {
        joint(page, job, finding);
    }
    page.line("");
    page.paragraph("dB: weight of evidence; +10 dB makes burnt ten times as likely, -10 dB a tenth.");
}

fn joint(page: &mut Page, job: &Job, finding: &JointFinding) {
    let probability = &finding.probability;
    let leg = finding.joint.leg.map(|leg| format!(", leg {leg}")).unwrap_or_default();
    page.item(
        "*",
        &format!(
            "{}{leg} [{}]",
            capital(&joint_label(&job.installation, &finding.joint.id)),
            finding.joint.id
        ),
    );
    page.inner(
        "burnt: ",
        &format!(
            "{} (worn {:.0} %, sound {:.0} %; before any observation burnt {:.1} %)",
            in_words(probability.burnt),
            probability.worn * 100.0,
            probability.sound * 100.0,
            finding.prior_burnt * 100.0
        ),
    );
    let now = match (finding.heat_now_w, finding.current_now_a) {
        (Some(heat), Some(current)) => format!("{} at {:.1} A; ", range(heat, "W", 1), current.median),
        _ => "current not known; ".to_owned(),
    };
    let rated = format!("{} at {:.0} A", range(finding.heat_rated_w, "W", 1), finding.current_rated_a);
    page.inner("heat:  ", &format!("{now}{rated}; {}", range(finding.resistance_mohm, "mΩ", 2)));
    if let Some(spot) = finding.hot_spot_c {
        page.inner(
            "metal: ",
            &format!("{} in the contact spot, not the metal around it", range(spot, "°C", 0)),
        );
    }
    if !finding.observed {
        page.inner(
            "-",
            "No observation bears on it: this is the description of the panel and its neighbours.",
        );
    }
    reasons(page, &finding.reasons);
}

fn reasons(page: &mut Page, reasons: &[Reason]) {
    for reason in reasons.iter().take(N_REASONS) {
        let class = match reason.class {
            Class::Seen => "seen",
            Class::Measured => "measured",
            Class::Inferred => "inferred",
            Class::Unknown => "unknown",
        };
        page.inner(&format!("{:>+5.1} dB", reason.weight_db), &format!("{class}: {}", reason.text));
    }
    if N_REASONS < reasons.len() {
        page.inner("        ", &format!("and {} smaller ones", reasons.len() - N_REASONS));
    }
}

fn range(interval: Interval, unit: &str, decimals: usize) -> String {
    format!(
        "{:.decimals$} {unit} ({:.decimals$} to {:.decimals$})",
        interval.median, interval.low, interval.high
    )
}

/// The supply, where voltages say something.
pub(super) fn supply(page: &mut Page, assessment: &Assessment) {
    if assessment.supply.is_empty() {
        return;
    }
    page.heading("Supply before the panel");
    for path in &assessment.supply {
        page.item(
            "*",
            &format!(
                "{}: {}; failing: {}",
                path.path,
                range(path.resistance_mohm, "mΩ", 0),
                in_words(path.failing)
            ),
        );
        if 0.1 <= path.failing {
            reasons(page, &path.reasons);
        }
    }
}

/// What was read at two visits.
pub(super) fn trends(page: &mut Page, assessment: &Assessment) {
    if assessment.trends.is_empty() {
        return;
    }
    page.heading("Then and now");
    for trend in &assessment.trends {
        page.item("*", &trend.sentence);
    }
    page.item("", NO_DATE);
}

/// Causes of each complaint side by side.
pub(super) fn causes(page: &mut Page, job: &Job, assessment: &Assessment) {
    if assessment.causes.is_empty() {
        return;
    }
    page.heading("Causes");
    for complaint in &assessment.causes {
        let about =
            complaint.slot.as_ref().map(|slot| format!(", {}", breaker_label(&job.installation, slot)));
        let words =
            if complaint.words.is_empty() { String::new() } else { format!(": “{}”", complaint.words) };
        page.item("*", &format!("{}{}{words}", complaint.kind.word(), about.unwrap_or_default()));
        for (idx, cause) in complaint.causes.iter().filter(|cause| 0.02 <= cause.probability).enumerate() {
            page.inner(&format!("{:>3.0} %", cause.probability * 100.0), cause.cause.phrase());
            if idx < 2 {
                for reason in cause.reasons.iter().take(2) {
                    page.inner("      -", reason);
                }
            }
        }
        if let Some(separates) = &complaint.separates {
            page.inner("     ?", separates);
        }
    }
}

/// What is not known.
pub(super) fn unknown(page: &mut Page, assessment: &Assessment) {
    let mut unknown =
        assessment.statements.iter().filter(|statement| statement.class == Class::Unknown).peekable();
    if unknown.peek().is_some() {
        page.heading("Not known");
        for statement in unknown {
            page.item("-", &statement.text);
        }
    }
}
