//! Switch the circuit off and tag it.

use super::draft::{Draft, named};
use crate::pressing::{self, Pressing};
use crate::situation::{JointGroup, Situation};
use crate::words;
use model::advice::{Choice, ChoiceKind, Standing, Urgency};
use std::collections::BTreeSet;

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
    let installation = &situation.job.installation;
    let of_suspect = suspect.iter().filter_map(|view| view.finding.joint.id.slot());
    let slots = of_suspect.chain(pressing.iter().filter_map(Pressing::slot));
    let breakers: BTreeSet<String> = slots.map(|slot| words::breaker_label(installation, slot)).collect();
    let breakers: Vec<String> = breakers.into_iter().collect();
    if !suspect.is_empty() {
        draft.speaks_for(format!("Suspect: {}.", named(&suspect)));
    }
    if !pressing.is_empty() {
        draft.speaks_for(format!("Not settled: what was read at {}.", pressing::named(situation, &pressing)));
    }
    draft.speaks_for("Without current no joint makes heat. It takes minutes and leaves the panel closed.");
    draft.then(format!("It means {}.", words::listed(&breakers)));
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
