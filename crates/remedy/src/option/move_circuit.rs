//! Move a circuit to a sound stab: only as a stop-gap with a date, and only when every condition is met.

use super::draft::Draft;
use crate::situation::{JointGroup, JointView, Situation, heavy};
use crate::words::{self, percent};
use model::advice::{Choice, ChoiceKind, Standing};
use model::breaker::Breaker;
use model::id::Slot;

pub(super) fn choice(situation: &Situation<'_>) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::MoveCircuit);
    let stabs = situation.suspect(|group| group == JointGroup::Stab);
    let Some((view, slot)) = stabs.first().and_then(|view| Some((*view, view.finding.joint.id.slot()?)))
    else {
        draft.standing(Standing::Refused);
        draft.speaks_against("No stab of a circuit is suspect: there is nothing to move away from.");
        return draft.done("A stab that becomes suspect while its neighbours are sound.");
    };
    let breaker = situation.breaker(slot);
    let label = words::breaker_label(&situation.job.installation, slot);
    draft.speaks_for(format!(
        "{} is burnt with {}; the circuit of {label} could go on being used.",
        words::capital(&view.label),
        percent(view.burnt())
    ));
    let refusals = refusals(situation, breaker, &stabs);
    if refusals.is_empty() {
        draft.standing(Standing::Conditional);
    } else {
        draft.standing(Standing::Refused);
    }
    for refusal in refusals {
        draft.speaks_against(refusal);
    }
    draft.speaks_against(
        "The damage to the bus stays, and a bar that was hot has lost some of its strength and section.",
    );
    draft.speaks_against("Stop-gaps tend to stay. Contractors differ: some allow only replacement.");
    for condition in conditions(situation, slot, breaker) {
        draft.condition(condition);
    }
    draft.leaves("The burnt stab and the bus around it.");
    draft.leaves("Whatever burnt this stab may be at work on the next one.");
    draft.done("One stab burnt, its neighbours seen sound with the bus dead, a modest load, and no water: then it may be open as a stop-gap.")
}

fn refusals(situation: &Situation<'_>, breaker: Option<&Breaker>, stabs: &[&JointView<'_>]) -> Vec<String> {
    let mut against = Vec::new();
    if situation.two_burnt_stabs() {
        against.push(format!(
            "More than one stab is likely burnt ({:.1} are expected): a second move follows the first.",
            situation.expected_burnt_stabs()
        ));
    }
    if let Some(class) = breaker.and_then(heavy) {
        let _ = class;
        against.push("The circuit feeds a heavy load that runs for an hour and more.".to_owned());
    }
    let limit = situation.thresholds().move_current_limit_a;
    let carried = stabs.first().and_then(|view| view.finding.current_now_a);
    if let Some(current) = carried.filter(|current| limit < current.median) {
        against.push(format!(
            "It carried about {:.0} A; the policy moves nothing above {limit:.0} A.",
            current.median
        ));
    }
    if !situation.suspect(|group| group == JointGroup::SectionStab).is_empty() {
        against.push(
            "The stab of a breaker that feeds a section is suspect: every circuit below hangs on it."
                .to_owned(),
        );
    }
    if !situation
        .suspect(|group| matches!(group, JointGroup::Lug | JointGroup::Feeder | JointGroup::NeutralLug))
        .is_empty()
    {
        against.push("A lug or main connection is suspect: a move leaves it as it is.".to_owned());
    }
    if situation.is_wet() {
        against.push(
            "There are water marks in the cabinet: no stab in it can be called sound for long.".to_owned(),
        );
    }
    against
}

fn conditions(situation: &Situation<'_>, slot: &Slot, breaker: Option<&Breaker>) -> Vec<String> {
    let panel = situation.job.installation.panel(&slot.panel);
    let leg =
        panel.map(|panel| panel.leg_of(slot.space).to_string()).unwrap_or_else(|| "the same".to_owned());
    let mut conditions = Vec::new();
    conditions.push(if panel.is_some_and(|panel| panel.lacks_single_main()) {
        "The bus is cut by the utility and proven dead on all pairs before any breaker comes off: this panel has no single main.".to_owned()
    } else {
        "The bus is dead and proven dead on all pairs before any breaker comes off.".to_owned()
    });
    conditions.push("Exactly one stab is affected: the stabs of two to three breakers on each side, and the one across on the same finger, were seen and are sound.".to_owned());
    conditions
        .push("The new stab was seen, is clean and unmarked, and a listed breaker grips it.".to_owned());
    let two_poles = breaker.is_some_and(|breaker| 1 < breaker.n_poles());
    let partner = breaker.and_then(|breaker| breaker.circuit.as_ref()).and_then(|circuit| circuit.partner);
    conditions.push(match (two_poles, partner) {
        (true, _) => "The poles land on different legs again.".to_owned(),
        (false, Some(partner)) => format!(
            "It stays on leg {leg}: it shares its neutral with space {partner}, and both on one leg would overload that neutral. The two stay side by side with one handle."
        ),
        (false, None) => format!("It stays on leg {leg}, or it is certain that it shares no neutral with another circuit."),
    });
    conditions.push(if situation.is_below_split(slot) {
        "It stays in the same section: above the split it would lose its section main and add a handle to what must be switched off.".to_owned()
    } else {
        "The protection before it stays the same.".to_owned()
    });
    conditions
        .push("The breaker is new and listed for this panel; the old one is not used again.".to_owned());
    conditions.push("The conductor reaches without strain, or a legitimate splice fits.".to_owned());
    conditions.push("With the circuit loaded, the new place and its neighbours are measured and stay as cool as their like.".to_owned());
    conditions.push("The old place is blanked and tagged, and never used again.".to_owned());
    conditions.push(format!(
        "The replacement is ordered, and the stop-gap ends on a written date within {} days.",
        situation.thresholds().stop_gap_days
    ));
    conditions
}
