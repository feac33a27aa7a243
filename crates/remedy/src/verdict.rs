//! Urgency: the rules that fired, and what would change the advice.

use crate::caution;
use crate::condition;
use crate::situation::{JointGroup, JointView, Situation};
use crate::turned::{Turning, turn};
use model::Note;
use model::advice::{FiredRule, Urgency, Verdict};
use model::assessment::ConditionProbability;

/// How many joints are turned over, one at a time, to see whether the advice hangs on them.
const N_TURNED_OVER: usize = 4;

/// A check that tells less than this is not named among what would change the advice, bits.
const TELLING_BITS: f64 = 0.05;

/// The verdict of a situation.
pub(crate) fn verdict(situation: &Situation<'_>) -> Verdict {
    let rules = fired(situation);
    let urgency = urgency_of(&rules);
    Verdict {
        urgency,
        summary: crate::summary::summary(situation, &rules),
        would_change: would_change(situation, urgency),
        may_change: Some(crate::knowledge::may_change(situation, urgency)),
        policy: situation.policy.label(),
        cautions: caution::cautions(situation, urgency),
        rules,
    }
}

pub(crate) fn fired(situation: &Situation<'_>) -> Vec<FiredRule> {
    let mut fired = Vec::new();
    for rule in &situation.policy.rules {
        if let Some(figures) = condition::figures(&rule.when, situation) {
            fired.push(FiredRule {
                rule: rule.name.clone(),
                urgency: rule.urgency,
                because: figures,
                reason: format!("{} [{}]", rule.reason, rule.cite),
                owner: rule.owner.clone(),
            });
        }
    }
    fired
}

pub(crate) fn urgency_of(rules: &[FiredRule]) -> Urgency {
    rules.iter().map(|rule| rule.urgency).min().unwrap_or(Urgency::NoAction)
}

/// Turns the most telling joints over, one at a time, and looks whether the urgency changes.
fn would_change(situation: &Situation<'_>, urgency: Urgency) -> Vec<String> {
    let mut texts = Vec::new();
    let turning = Turning::of(situation);
    let mut joints = situation.worst_first(|_| true);
    joints.truncate(N_TURNED_OVER);
    for view in &joints {
        let sound = urgency_if(&turning, situation, view, ConditionProbability { sound: 1.0, ..ZERO });
        if sound != urgency {
            texts.push(format!("If {} proves sound: {}.", view.label, sound.phrase()));
        }
    }
    if situation.is_failing(|_| true) {
        let sound = urgency_with_sound_supply(&turning, situation);
        if sound != urgency {
            texts.push(format!(
                "If the leg voltages stay steady while each leg is loaded in turn, or once the supply is repaired: {}.",
                sound.phrase()
            ));
        }
    }
    if situation.suspect(|_| true).len() > 1 {
        let all = urgency_without_suspects(&turning, situation);
        if all != urgency {
            texts.push(format!("If all suspect joints prove sound: {}.", all.phrase()));
        }
    }
    for view in joints.iter().filter(|view| view.burnt() < situation.thresholds().likely_burnt).take(2) {
        let burnt = urgency_if(&turning, situation, view, ConditionProbability { burnt: 1.0, ..ZERO });
        if burnt != urgency {
            texts.push(format!("If {} proves burnt: {}.", view.label, burnt.phrase()));
        }
    }
    if let Some(check) =
        situation.findings.next_checks.first().filter(|check| TELLING_BITS <= check.gain_bits)
    {
        let readings = check.expects.iter().map(|(rival, reading)| format!("{reading} if {rival}"));
        let readings: Vec<String> = readings.collect();
        let expected =
            if readings.is_empty() { String::new() } else { format!(" Expected: {}.", readings.join("; ")) };
        texts.push(format!("The next check: {}{expected}", check.what));
    }
    if texts.is_empty() {
        texts.push("Heat at a face under load, a smell, a buzz, or a breaker that opens again.".to_owned());
    }
    texts
}

const ZERO: ConditionProbability =
    ConditionProbability { sound: 0.0, worn: 0.0, burnt: 0.0, burnt_standard_error: 0.0 };

fn urgency_if(
    turning: &Turning<'_, '_>,
    situation: &Situation<'_>,
    view: &JointView<'_>,
    probability: ConditionProbability,
) -> Urgency {
    let found = situation.findings;
    let mut joints = found.joints.to_vec();
    for (finding, was) in joints.iter_mut().zip(found.joints) {
        if was.joint.id == view.finding.joint.id {
            turn(finding, was, probability);
        }
    }
    turning.urgency(&joints, found.supply)
}

fn urgency_without_suspects(turning: &Turning<'_, '_>, situation: &Situation<'_>) -> Urgency {
    let found = situation.findings;
    let mut joints = found.joints.to_vec();
    for (finding, was) in joints.iter_mut().zip(found.joints) {
        if situation.thresholds().suspect_burnt <= was.probability.burnt {
            turn(finding, was, ConditionProbability { sound: 1.0, ..ZERO });
        }
    }
    turning.urgency(&joints, found.supply)
}

fn urgency_with_sound_supply(turning: &Turning<'_, '_>, situation: &Situation<'_>) -> Urgency {
    let mut supply = situation.findings.supply.to_vec();
    supply.iter_mut().for_each(|path| path.failing = 0.0);
    turning.urgency(situation.findings.joints, &supply)
}

/// Remarks that must reach the page.
pub(crate) fn notes(situation: &Situation<'_>) -> Vec<Note> {
    let mut notes = Vec::new();
    let n_unobserved = situation.n_unobserved();
    if 0 < n_unobserved {
        notes.push(Note::new(
            "joints",
            format!(
                "No observation bears on {n_unobserved} of {} joints. Their probabilities come from the description \
                 of the panel and from their neighbours; unknown is not sound.",
                situation.joints.len()
            ),
        ));
    }
    notes.push(Note::new(
        "options",
        format!(
            "Hours and prices of the options are data of the policy “{}”, not computed for this house.",
            situation.policy.label()
        ),
    ));
    let main = situation.suspect(JointGroup::is_main);
    if let Some(view) = main.first().filter(|view| view.group == JointGroup::SectionStab) {
        notes.push(Note::new(
            view.finding.joint.id.to_string(),
            "Every circuit of the section that this breaker feeds hangs on this one stab.",
        ));
    }
    notes
}
