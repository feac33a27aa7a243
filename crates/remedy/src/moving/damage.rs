//! The condition that a move is only to a stab whose surroundings were seen sound, with the bus dead.

use super::Setting;
use super::conditions::{condition, slot};
use crate::gate;
use model::JointId;
use model::id::Space;
use model::job::{Condition, Opening};
use model::moving::{Met, MoveCondition};

/// Rows on either side of a place whose stabs must have been seen: two to three breakers each way by the job notes.
const ROWS_BESIDE: u16 = 2;
const NAME: &str = "damage beside";

/// Was each of these stabs looked at while its bus counted as proven dead? An exposure that was merely written down does
/// not say so.
fn was_dead_when_seen(setting: &Setting<'_>, seen: &[&Opening]) -> bool {
    !seen.is_empty() && seen.iter().all(|one| gate::closed(setting.job, &one.joint, Some(one.at)).is_empty())
}

/// Was the bus around a new place seen, dead and sound?
pub(super) fn beside(setting: &Setting<'_>, spaces: &[Space]) -> MoveCondition {
    let panel = setting.panel;
    let row = |space: Space| panel.row_of(space);
    let old = &setting.breaker.spaces;
    if spaces.iter().any(|&new| old.iter().any(|&old| row(old) == row(new))) {
        return condition(NAME, false, "", "It is the same finger of the bus as the damaged place.");
    }
    let near = panel
        .breakers
        .iter()
        .flat_map(|breaker| breaker.spaces.iter().copied())
        .filter(|&space| spaces.iter().any(|&new| row(new).abs_diff(row(space)) <= ROWS_BESIDE))
        .filter(|space| !old.contains(space));
    let (mut unseen, mut seen) = (Vec::new(), Vec::new());
    for space in near {
        let joint = JointId::Stab(slot(setting, space));
        match setting.job.openings.iter().rev().find(|opening| opening.joint == joint) {
            Some(opening) if opening.found != Condition::Sound => {
                let says =
                    format!("The stab of space {space}, close by, was found {}.", opening.found.word());
                return MoveCondition { name: NAME, met: Met::NotMet, says };
            }
            Some(opening) => seen.push(opening),
            None => unseen.push(space.to_string()),
        }
    }
    if unseen.is_empty() && was_dead_when_seen(setting, &seen) {
        let says = "The stabs close by were seen with the bus dead, and are sound. The new stab itself is looked at as well.";
        return condition(NAME, true, says, "");
    }
    let which = if unseen.is_empty() {
        "the bus on either side".to_owned()
    } else {
        format!("the stabs of {}", unseen.join(", "))
    };
    MoveCondition {
        name: NAME,
        met: Met::Prove,
        says: format!("With the bus proven dead: the new stab and {which} are seen, clean and unmarked."),
    }
}
