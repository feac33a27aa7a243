//! The verdict in a few sentences: the supply, the joints, what presses without a suspect joint, the load.

use crate::situation::{JointView, Situation};
use crate::verdict::urgency_of;
use crate::words::{self, percent};
use model::advice::{FiredRule, Urgency};
use model::assessment::Cause;

/// Joints that are named.
const N_NAMED: usize = 3;

/// The summary of a situation in which these rules fired.
pub(crate) fn summary(situation: &Situation<'_>, rules: &[FiredRule]) -> String {
    let mut sentences = Vec::new();
    sentences.extend(supply(situation));
    let suspect = situation.suspect(|_| true);
    let (shown, supposed): (Vec<&JointView<'_>>, Vec<&JointView<'_>>) =
        suspect.into_iter().partition(|view| view.finding.observed);
    sentences.extend(with_evidence(situation, &shown));
    if sentences.is_empty() {
        sentences.push(without_suspect(situation, rules));
        if let Some(view) = situation.only_worn().first() {
            sentences.push(format!("{} is worn rather than sound.", words::capital(&view.label)));
        }
    }
    sentences.extend(without_evidence(&supposed, !shown.is_empty()));
    sentences.extend(load(situation));
    sentences.extend(words::unread_since(situation.job));
    sentences.join(" ")
}

fn supply(situation: &Situation<'_>) -> Option<String> {
    let (path, failing) = situation.supply_failing(|_| true).filter(|_| situation.is_failing(|_| true))?;
    let what = if path == "neutral" {
        "The neutral between the panel and the transformer is failing".to_owned()
    } else {
        format!("The supply of {path} is failing before the panel")
    };
    Some(format!("{what} ({}).", percent(failing)))
}

/// Suspect joints on which observations bear.
fn with_evidence(situation: &Situation<'_>, shown: &[&JointView<'_>]) -> Option<String> {
    let is_likely = |view: &&JointView<'_>| situation.thresholds().likely_burnt <= view.burnt();
    let n_likely = shown.iter().copied().filter(is_likely).count();
    let named: Vec<String> =
        shown.iter().take(N_NAMED).map(|view| format!("{} {}", view.label, percent(view.burnt()))).collect();
    let count = match (n_likely, shown) {
        (_, []) => return None,
        (_, [one]) => {
            let condition = if is_likely(one) { "likely burnt" } else { "suspect" };
            return Some(format!(
                "{} is {condition} ({}).",
                words::capital(&one.label),
                percent(one.burnt())
            ));
        }
        (0, all) => format!("{} joints are suspect, none of them more likely burnt than not", all.len()),
        (1, all) => format!("One of {} suspect joints is likely burnt", all.len()),
        (likely, all) if likely < all.len() => {
            format!("{likely} of {} suspect joints are likely burnt", all.len())
        }
        (_, all) => format!("{} joints are likely burnt", all.len()),
    };
    Some(format!("{count}: {}.", words::listed(&named)))
}

/// Joints that are suspect by their kind and their neighbours only: nothing that was observed bears on them.
fn without_evidence(supposed: &[&JointView<'_>], others: bool) -> Option<String> {
    let more = if others { " more" } else { "" };
    Some(match supposed {
        [] => return None,
        [one] => format!(
            "{} carried too little to be judged, or was not read: it cannot be told sound, and is read under load.",
            words::capital(&one.label)
        ),
        all => format!(
            "{}{more} joints carried too little to be judged, or were not read: they cannot be told sound, and are read under \
             load.",
            all.len()
        ),
    })
}

/// What is said where no joint is suspect by evidence and no supply fails.
fn without_suspect(situation: &Situation<'_>, rules: &[FiredRule]) -> String {
    let n_observed = situation.joints.len() - situation.n_unobserved();
    let checked = format!("{n_observed} of {} joints", situation.joints.len());
    let urgency = urgency_of(rules);
    let pressing = rules.iter().find(|rule| rule.urgency == urgency && urgency <= Urgency::ThisMonth);
    match pressing {
        Some(rule) if n_observed == 0 => format!(
            "Too little was observed to say anything about the panel's joints, but something is to be done: {}.",
            rule.because
        ),
        Some(rule) => format!(
            "No joint is suspect by what was observed (observations bear on {checked}), but something is to be done: {}.",
            rule.because
        ),
        None if n_observed == 0 => {
            "Too little was observed to say anything about the panel's joints.".to_owned()
        }
        None => format!(
            "Nothing was found wrong with the panel as far as it was checked: observations bear on {checked}."
        ),
    }
}

fn load(situation: &Situation<'_>) -> Option<String> {
    if !situation.is_likely_cause(Cause::Overload) {
        return None;
    }
    let (complaint, cause) = situation.cause(Cause::Overload)?;
    let slot = complaint.slot.as_ref();
    let breaker = slot.map(|slot| words::breaker_label(&situation.job.installation, slot));
    let breaker = breaker.unwrap_or_else(|| "a circuit".to_owned());
    Some(format!(
        "The complaint is explained by more load on {breaker} than its rating ({}); the breaker does its job.",
        percent(cause.probability)
    ))
}
