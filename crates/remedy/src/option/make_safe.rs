//! Switch the circuit off and tag it.

use super::draft::{Draft, named};
use crate::pressing::{self, Pressing};
use crate::situation::{JointGroup, JointView, Situation};
use crate::words;
use model::advice::{Choice, ChoiceKind, Standing, Urgency};
use model::id::Slot;
use model::plan::Answer;

pub(super) fn choice(situation: &Situation<'_>) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::MakeSafe);
    let branch =
        |group| matches!(group, JointGroup::Stab | JointGroup::Terminal | JointGroup::NeutralTerminal);
    let switchable = |group: JointGroup| branch(group) || group == JointGroup::SectionStab;
    let suspect = situation.suspect(switchable);
    let likely = situation.likely_burnt(switchable);
    let main = situation.suspect(|group| !switchable(group));
    let pressing: Vec<Pressing> =
        pressing::places(situation).into_iter().filter(|pressing| pressing.slot().is_some()).collect();
    if suspect.is_empty() && pressing.is_empty() {
        draft.standing(Standing::Refused);
        draft.speaks_against("No joint is suspect that a handle could take out of use.");
        return draft.done("A joint of a circuit that becomes suspect.");
    }
    let slots_of = |views: &[&JointView<'_>]| -> Vec<Slot> {
        views.iter().filter_map(|view| view.finding.joint.id.slot().cloned()).collect()
    };
    let read = pressing.iter().filter_map(|pressing| pressing.slot().cloned());
    let surely = each_once(situation, slots_of(&likely));
    let all = each_once(situation, slots_of(&suspect).into_iter().chain(read).collect());
    if !suspect.is_empty() {
        draft.speaks_for(format!("Suspect: {}.", named(&suspect)));
    }
    if !pressing.is_empty() {
        draft.speaks_for(format!("Not settled: what was read at {}.", pressing::named(situation, &pressing)));
    }
    draft.speaks_for("Without current no joint makes heat. It takes minutes and leaves the panel closed.");
    let (first, others) = all.split_at(surely.len());
    draft.then(if first.is_empty() || others.is_empty() {
        format!("It means {}.", labels(situation, &all))
    } else {
        let (first, others) = (labels(situation, first), labels(situation, others));
        format!("It means {first}, likely burnt; to be on the safe side also {others}.")
    });
    for sentence in planned(situation, first, others) {
        draft.then(sentence);
    }
    draft.condition("Switch off large loads at their own switches first; then one firm movement of the handle, standing beside the panel.");
    draft.condition("The breaker is not pulled: it may be fused to the stab.");
    draft.condition("A tag with the date, the reason, and who may switch it on again.");
    if suspect.iter().any(|view| view.group == JointGroup::SectionStab) {
        draft.speaks_against("The breaker that feeds a section takes every circuit of the section with it.");
    }
    if !main.is_empty() {
        draft.speaks_against(format!("No handle takes the load off {}.", named(&main)));
    }
    draft.leaves(if suspect.is_empty() {
        "What made the reading is not known yet, and the bus stays live."
    } else {
        "The joint stays damaged, and the bus under it stays live."
    });
    draft.leaves("What the circuit fed is without power until the repair.");
    let is_urgent = pressing.iter().any(|pressing| pressing.urgency <= Urgency::Within72Hours);
    draft.standing(if likely.is_empty() && !is_urgent { Standing::Open } else { Standing::Recommended });
    draft.done(if suspect.is_empty() {
        "The same reading, taken again with care, as it is with a sound one."
    } else {
        "A look at the stab, proven dead, that shows it sound."
    })
}

/// First poles of the breakers in these slots, in the order in which they come: the worst joint first.
fn each_once(situation: &Situation<'_>, slots: Vec<Slot>) -> Vec<Slot> {
    let mut all: Vec<Slot> = Vec::new();
    for slot in slots {
        let first = situation.breaker(&slot).and_then(|breaker| breaker.spaces.first().copied());
        let first = first.map_or_else(|| slot.clone(), |space| Slot::new(slot.panel.clone(), space));
        if !all.contains(&first) {
            all.push(first);
        }
    }
    all
}

fn labels(situation: &Situation<'_>, slots: &[Slot]) -> String {
    let label = |slot| words::breaker_label(&situation.job.installation, slot);
    words::listed(&slots.iter().map(label).collect::<Vec<String>>())
}

/// What the plan until the replacement, if the customer agreed to one, makes of these breakers.
fn planned(situation: &Situation<'_>, likely: &[Slot], others: &[Slot]) -> Vec<String> {
    let Some(plan) = situation.job.interims.last().filter(|plan| plan.answer == Answer::Accepted) else {
        return Vec::new();
    };
    let left_on = |slots: &[Slot]| {
        let on: Vec<Slot> = slots.iter().filter(|slot| !plan.off.contains(slot)).cloned().collect();
        (!on.is_empty()).then(|| labels(situation, &on))
    };
    let day = plan.at.date();
    let (likely, others) = (left_on(likely), left_on(others));
    let mut said = Vec::new();
    if let Some(likely) = &likely {
        said.push(format!("The plan of {day} leaves {likely} on: we advise to switch that off, too."));
    }
    if let Some(others) = &others {
        said.push(format!("The plan of {day} leaves {others} on: ask us whether that may stay so."));
    }
    if said.is_empty() {
        said.push(format!("By the plan of {day} that is off already."));
    }
    said
}
