//! Call the utility: for its own side, or to cut the service so that hands can go in.

use super::draft::{Draft, named};
use crate::pressing;
use crate::situation::{JointGroup, Situation};
use crate::words::{capital, percent};
use model::advice::{Choice, ChoiceKind, Standing};
use model::assessment::Cause;
use model::job::ComplaintKind;

pub(super) fn choice(situation: &Situation<'_>) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::CallUtility);
    let failing = situation.is_failing(|_| true);
    let outside = [Cause::ServiceNeutral, Cause::LostLeg, Cause::UtilitySide];
    let cause = outside
        .into_iter()
        .filter(|cause| situation.is_likely_cause(*cause))
        .find_map(|cause| situation.cause(cause));
    let behind_cut = situation.suspect(JointGroup::is_main);
    let above_split = situation.suspect(|group| group == JointGroup::Stab).iter().any(|view| {
        view.finding.joint.id.slot().is_some_and(|slot| {
            !situation.is_below_split(slot)
                && situation
                    .job
                    .installation
                    .panel(&slot.panel)
                    .is_some_and(|panel| panel.lacks_single_main())
        })
    });
    if let Some((path, probability)) = situation.supply_failing(|_| true).filter(|_| failing) {
        draft.speaks_for(format!("The supply path “{path}” is failing ({}).", percent(probability)));
        draft.standing(Standing::Recommended);
        if path == "neutral" {
            draft.then(
                "Call now and say `partial loss of neutral`. Until they come: unplug electronics, leave 120 V loads off, \
                 and open no neutral and no bond.",
            );
        } else {
            draft.then("Say that one leg drops under load.");
        }
    }
    if let Some((_, finding)) = cause {
        draft.speaks_for(format!(
            "The complaint points before the panel: {}, {}.",
            finding.cause.phrase(),
            percent(finding.probability)
        ));
        draft.standing(Standing::Recommended);
    }
    let pressing = pressing::supply(situation).filter(|_| !failing);
    if let Some(why) = &pressing {
        draft.speaks_for(format!("The supply before the panel is not ruled out. {}.", capital(why)));
        draft.then(what_to_tell(situation));
    }
    if !behind_cut.is_empty() {
        draft.speaks_for(format!(
            "Only a cut by the utility makes it safe to look at {}.",
            named(&behind_cut)
        ));
        draft.condition("Agree the time; plan heat, food and medical needs for the hours without power.");
        if !situation.likely_burnt(JointGroup::is_main).is_empty() {
            draft.standing(Standing::Recommended);
        }
    } else if above_split {
        draft.speaks_for(
            "The suspect stab has no main before it: it can be made dead only by a cut of the service.",
        );
        draft.condition("For the day of the repair, not for today.");
    }
    if !failing && cause.is_none() && pressing.is_none() && behind_cut.is_empty() && !above_split {
        draft.standing(Standing::Refused);
        let voltages = if situation.leg_voltages().next().is_some() {
            "Neither the voltages nor a complaint point"
        } else {
            "No complaint points"
        };
        draft
            .speaks_against(format!("{voltages} before the panel, and no part that needs a cut is suspect."));
        return draft
            .done("Leg voltages that move apart under load, or lights that get brighter while others dim.");
    }
    draft.leaves(
        "What is wrong behind the meter, in the panel and the house, is not the utility's to repair.",
    );
    draft.condition("Nobody but the utility, or who it allows, pulls the meter or breaks the seal.");
    draft.done("Leg voltages that stay equal when each leg is loaded in turn.")
}

/// What to say on the telephone, by what was complained of.
fn what_to_tell(situation: &Situation<'_>) -> &'static str {
    let is_made = |kind| situation.job.complaints.iter().any(|complaint| complaint.kind == kind);
    if is_made(ComplaintKind::DimBright) {
        "Say that some lights get brighter while others dim, and ask for a check for `partial loss of neutral`. Until then: \
         unplug electronics, leave 120 V loads off, and open no neutral and no bond."
    } else if is_made(ComplaintKind::HalfHouse) {
        "Say that half of the house is dead or dim, and ask for a check of both legs at the meter and at the drop."
    } else {
        "Say what each leg read to neutral and with which loads, and ask for a check of their side."
    }
}
