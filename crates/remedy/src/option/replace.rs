//! Replace the interior, the panel, or the panel and the service.

use super::draft::{Draft, named};
use crate::situation::{JointGroup, JointView, Situation};
use model::advice::{Choice, ChoiceKind, Standing};
use model::conductor::Metal;
use model::evidence::Sign;

/// Reasons that speak for new bus bars.
struct BusDamage<'s, 'a> {
    stabs: Vec<&'s JointView<'a>>,
    likely_stabs: usize,
    mains: Vec<&'s JointView<'a>>,
    likely_mains: usize,
    several: bool,
    pitted_aluminium: bool,
    wet: bool,
}

impl<'s, 'a> BusDamage<'s, 'a> {
    fn of(situation: &'s Situation<'a>) -> Self {
        let main = |group| matches!(group, JointGroup::Lug | JointGroup::Feeder | JointGroup::SectionStab);
        let aluminium =
            situation.job.installation.panels.iter().any(|panel| panel.bus.metal == Some(Metal::Aluminium));
        BusDamage {
            stabs: situation.suspect(JointGroup::is_stab),
            likely_stabs: situation.likely_burnt(JointGroup::is_stab).len(),
            mains: situation.suspect(main),
            likely_mains: situation.likely_burnt(main).len(),
            several: situation.two_burnt_stabs(),
            pitted_aluminium: aluminium && situation.is_seen(Sign::PittedStab),
            wet: situation.is_wet(),
        }
    }

    fn none(&self) -> bool {
        self.stabs.is_empty() && self.mains.is_empty() && !self.pitted_aluminium
    }

    fn reasons(&self, draft: &mut Draft, situation: &Situation<'_>) {
        if self.several {
            let expected = situation.expected_burnt_stabs();
            draft.speaks_for(format!(
                "More than one stab is likely burnt: {expected:.1} are expected; {}.",
                named(&self.stabs)
            ));
        } else if !self.stabs.is_empty() {
            draft.speaks_for(format!("Suspect: {}. A stab cannot be repaired.", named(&self.stabs)));
        }
        if self.pitted_aluminium {
            draft.speaks_for(
                "The bus is aluminium and a pitted stab was seen: the metal that is lost does not come back.",
            );
        }
        if 0 < self.likely_mains {
            draft.speaks_for(format!("A main connection is likely burnt: {}.", named(&self.mains)));
        }
    }
}

fn sound(mut draft: Draft) -> Choice {
    draft.standing(Standing::Refused);
    draft.speaks_against("Nothing that was found in the panel asks for it. Age alone is no evidence.");
    draft.done("A burnt stab or main connection, seen or measured; or a wish that has nothing to do with its condition.")
}

pub(super) fn interior(situation: &Situation<'_>) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::ReplaceInterior);
    let damage = BusDamage::of(situation);
    if damage.none() {
        return sound(draft);
    }
    damage.reasons(&mut draft, situation);
    draft.speaks_for("Keeps the cabinet and the wall as they are.");
    if damage.wet {
        draft.standing(Standing::Refused);
        draft.speaks_against(
            "There are water marks in the cabinet: a new interior would go into the same wet box.",
        );
        return draft.done("The way of the water found and closed, and a cabinet that is sound.");
    }
    draft.standing(Standing::Conditional);
    draft.speaks_against("Old cabinets seldom have a listed interior that can still be bought.");
    draft
        .condition("An interior that is listed for this very cabinet, with breakers that are listed for it.");
    draft.condition("The utility has cut the service, and it is proven dead.");
    draft.condition("Permit and inspection, where the place asks for them.");
    draft.leaves("Cabinet, service conductors, meter socket and grounding stay as they are.");
    draft.done("A listed interior that cannot be had: then the panel.")
}

pub(super) fn panel(situation: &Situation<'_>) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::ReplacePanel);
    let damage = BusDamage::of(situation);
    if damage.none() {
        return sound(draft);
    }
    damage.reasons(&mut draft, situation);
    if damage.wet {
        draft.speaks_for("There are water marks in the cabinet.");
    }
    draft.speaks_against("A day without power, a permit, and the largest price but one.");
    if !damage.several && damage.likely_stabs + damage.likely_mains < 2 {
        draft.speaks_against("So far one place is affected. A look at the stabs beside it, proven dead, would tell whether it is only one.");
    }
    let advised = damage.several
        || 0 < damage.likely_mains
        || damage.pitted_aluminium
        || (damage.wet && 0 < damage.likely_stabs);
    draft.standing(if advised { Standing::Recommended } else { Standing::Open });
    draft.condition("The utility cuts and reconnects; permit and inspection.");
    draft.condition("Circuits are traced before the cut, and multiwire partners keep to different legs.");
    draft.leaves(
        "Service conductors, meter socket and drop stay as they are; faults in the branch wiring stay too.",
    );
    draft.done("The stabs seen sound with the bus dead.")
}

pub(super) fn service(situation: &Situation<'_>) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::ReplaceService);
    let damage = BusDamage::of(situation);
    let failing = situation.is_failing(|_| true);
    let lugs = situation.likely_burnt(|group| matches!(group, JointGroup::Lug | JointGroup::NeutralLug));
    if !failing && lugs.is_empty() {
        draft.standing(Standing::Refused);
        draft.speaks_against(
            "Nothing that was found points at the service conductors, the meter socket or the drop.",
        );
        return draft
            .done("A burnt meter socket, a frayed cable jacket, or a load calculation that asks for more.");
    }
    if failing {
        draft.speaks_for("The supply before the panel is failing; what of it is the owner's is known when the utility has looked.");
        draft.condition("The utility has checked its side first: a splice of the drop is its own to repair, without charge in many places.");
    }
    if !lugs.is_empty() {
        draft.speaks_for(format!("Likely burnt: {}.", named(&lugs)));
    }
    draft.condition(
        "The damage reaches the owner's conductors or the meter socket, seen with the service cut.",
    );
    draft.standing(Standing::Conditional);
    draft.speaks_against("The largest price, and the utility's dates.");
    if damage.none() {
        draft.speaks_against("Nothing that was found in the panel itself asks for a new panel.");
    }
    draft.leaves("Faults in the branch wiring.");
    draft.done("What the utility finds on its side.")
}
