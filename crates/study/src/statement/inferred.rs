//! What is inferred, each with its probability in words and its strongest reasons.

use super::statement;
use crate::chance::in_words;
use inference::Judgement;
use model::assessment::{Class, JointFinding, Statement};
use model::id::FactId;
use model::job::{ComplaintKind, Job};
use remedy::Policy;
use remedy::words::{breaker_label, capital, joint_label};

/// Suspect joints named one by one.
const N_JOINTS_NAMED: usize = 6;
/// Reasons given with each.
const N_REASONS: usize = 3;

pub(super) fn statements(job: &Job, judgement: &Judgement, policy: &Policy) -> Vec<Statement> {
    let mut all = Vec::new();
    let mut joints: Vec<&JointFinding> = judgement.joints.iter().collect();
    joints.sort_by(|one, other| other.probability.burnt.total_cmp(&one.probability.burnt));
    let (suspect, others): (Vec<_>, Vec<_>) =
        joints.into_iter().partition(|finding| policy.suspect_burnt() <= finding.probability.burnt);
    for finding in suspect.iter().take(N_JOINTS_NAMED) {
        all.push(joint(job, finding));
    }
    if N_JOINTS_NAMED < suspect.len() {
        let more = suspect.len() - N_JOINTS_NAMED;
        all.push(statement(
            Class::Inferred,
            format!("{more} more joints are suspect; they are in the technical record."),
            Vec::new(),
        ));
    }
    for path in judgement.supply.iter().filter(|path| 0.2 <= path.failing) {
        let what = if path.path == "neutral" {
            "The neutral between the panel and the transformer is failing".to_owned()
        } else {
            format!("The supply of {} is failing before the panel", path.path)
        };
        let reasons: Vec<&str> =
            path.reasons.iter().take(N_REASONS).map(|reason| reason.text.as_str()).collect();
        let because = because(&reasons);
        let facts = path.reasons.iter().filter_map(|reason| reason.fact.clone()).collect();
        all.push(statement(Class::Inferred, format!("{what}: {}.{because}", in_words(path.failing)), facts));
    }
    for complaint in &judgement.causes {
        all.extend(cause(job, complaint));
    }
    let observed: Vec<&&JointFinding> = others.iter().filter(|finding| finding.observed).collect();
    if let Some(worst) = observed.first() {
        let others = if suspect.is_empty() { "" } else { "other " };
        let text = format!(
            "None of the {} {others}joints on which an observation bears is suspect. The least sure of them is {}: burnt \
             is {}.",
            observed.len(),
            joint_label(&job.installation, &worst.joint.id),
            in_words(worst.probability.burnt)
        );
        all.push(statement(Class::Inferred, text, Vec::new()));
    }
    all
}

fn joint(job: &Job, finding: &JointFinding) -> Statement {
    let label = capital(&joint_label(&job.installation, &finding.joint.id));
    let mut text = format!("{label} is burnt: {}.", in_words(finding.probability.burnt));
    if let (Some(heat), Some(current)) = (finding.heat_now_w, finding.current_now_a) {
        text.push_str(&format!(
            " With {:.0} A it makes {} of heat, at {:.0} A {}.",
            current.median,
            watts(heat.low, heat.high),
            finding.current_rated_a,
            watts(finding.heat_rated_w.low, finding.heat_rated_w.high)
        ));
    }
    if let Some(spot) = finding.hot_spot_c {
        text.push_str(&format!(
            " In the contact spot itself, not in the metal around it, it is then between {:.0} and {:.0} °C.",
            spot.low, spot.high
        ));
    }
    let reasons: Vec<&str> = finding
        .reasons
        .iter()
        .filter(|reason| 0.0 < reason.weight_db)
        .take(N_REASONS)
        .map(|reason| reason.text.as_str())
        .collect();
    text.push_str(&because(&reasons));
    let facts: Vec<FactId> = finding.reasons.iter().filter_map(|reason| reason.fact.clone()).collect();
    statement(Class::Inferred, text, facts)
}

fn cause(job: &Job, complaint: &model::assessment::ComplaintFinding) -> Option<Statement> {
    let first = complaint.causes.first()?;
    let what = match complaint.kind {
        ComplaintKind::Trips => "That a breaker opens",
        ComplaintKind::Flicker => "The flicker",
        ComplaintKind::Heat => "The heat",
        ComplaintKind::Smell => "The smell",
        ComplaintKind::HalfHouse => "That half of the house is dead or dim",
        ComplaintKind::DimBright => "That some lights brighten while others dim",
        ComplaintKind::Noise => "The noise",
        ComplaintKind::Inspection if complaint.words.is_empty() => return None,
        ComplaintKind::Inspection => "What was asked",
    };
    let about = complaint.slot.as_ref().map(|slot| format!(" ({})", breaker_label(&job.installation, slot)));
    let about = about.unwrap_or_default();
    let next = complaint.causes.get(1).filter(|second| 0.1 <= second.probability);
    let next =
        next.map(|second| format!(" Next: {} ({}).", second.cause.phrase(), in_words(second.probability)));
    let reasons: Vec<&str> = first.reasons.iter().take(2).map(String::as_str).collect();
    let text = format!(
        "{what}{about} is best explained by {}: {}.{}{}",
        first.cause.phrase(),
        in_words(first.probability),
        because(&reasons),
        next.unwrap_or_default()
    );
    Some(statement(Class::Inferred, text, Vec::new()))
}

fn because(reasons: &[&str]) -> String {
    if reasons.is_empty() {
        return String::new();
    }
    let reasons: Vec<&str> = reasons.iter().map(|reason| reason.trim_end_matches('.')).collect();
    format!(" Why: {}.", reasons.join("; "))
}

fn watts(low: f64, high: f64) -> String {
    if high < 0.05 {
        return "almost none".to_owned();
    }
    format!("{low:.1} to {high:.1} W")
}
