//! Remake a lug or terminal, proven dead.

use super::draft::{Draft, named};
use crate::pressing::{self, Pressing};
use crate::situation::{JointGroup, Situation};
use model::advice::{Choice, ChoiceKind, Standing};

pub(super) fn choice(situation: &Situation<'_>) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::RemakeJoint);
    let screwed = |group: JointGroup| !group.is_stab();
    let suspect = situation.suspect(screwed);
    let hot: Vec<Pressing> = pressing::places(situation).into_iter().filter(Pressing::is_screwed).collect();
    if suspect.is_empty() && hot.is_empty() {
        draft.standing(Standing::Refused);
        draft.speaks_against("No lug and no terminal is suspect. Tightening sound screws again can do harm.");
        return draft.done("Heat at a screw, or a millivolt drop across it, above that of its like.");
    }
    if !suspect.is_empty() {
        draft.speaks_for(format!("Suspect: {}.", named(&suspect)));
    }
    if !hot.is_empty() {
        draft.speaks_for(format!("Not settled: what was read at {}.", pressing::named(situation, &hot)));
    }
    if suspect.is_empty() {
        draft.condition("It reads the same when it is read again under the same load, beside its like.");
    }
    draft.speaks_for("A screw joint can be made new on sound metal, unlike a stab.");
    draft.condition("Proven dead on all pairs, and so kept.");
    if suspect.iter().any(|view| view.group.is_main()) || hot.iter().any(|hot| hot.slot().is_none()) {
        draft.condition("The utility has cut the service: lugs stay live with every handle off.");
    }
    draft.condition("Sound metal is found on both sides; a pitted lug or screw is replaced, not cleaned.");
    draft.condition("Torque of the label, once, with a calibrated tool, and written down.");
    let stabs = situation.suspect(JointGroup::is_stab);
    if stabs.is_empty() {
        let likely = situation.likely_burnt(screwed);
        let small = likely.iter().all(|view| !view.group.is_main());
        draft.standing(match likely.is_empty() {
            false if small => Standing::Recommended,
            _ => Standing::Conditional,
        });
    } else {
        draft.standing(Standing::Conditional);
        draft.speaks_against("A stab is suspect as well, and no stab can be remade.");
        draft.leaves(format!("Stabs: {}.", named(&stabs)));
    }
    draft.leaves(
        "What made it loose, if that was more than a loose screw: measured again under load afterwards.",
    );
    draft.done("Damage seen at the joint that goes beyond it: then the part it belongs to is replaced.")
}
