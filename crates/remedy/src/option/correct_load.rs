//! Correct the load or the circuit, panel left as it is.

use super::draft::Draft;
use crate::situation::Situation;
use crate::words::{self, percent};
use model::advice::{Choice, ChoiceKind, Standing};
use model::assessment::Cause;

pub(super) fn choice(situation: &Situation<'_>) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::CorrectLoad);
    let overload = situation
        .cause(Cause::Overload)
        .filter(|(_, cause)| situation.thresholds().possible_cause <= cause.probability);
    let Some((complaint, cause)) = overload else {
        draft.standing(Standing::Refused);
        draft.speaks_against("No circuit was found with more load than its rating.");
        return draft.done("A clamp reading above the rating of a breaker, held for minutes.");
    };
    let breaker = complaint.slot.as_ref().map(|slot| words::breaker_label(&situation.job.installation, slot));
    let breaker = breaker.unwrap_or_else(|| "the circuit".to_owned());
    draft.speaks_for(format!(
        "More load on {breaker} than its rating explains the complaint ({}).",
        percent(cause.probability)
    ));
    for reason in &cause.reasons {
        draft.speaks_for(reason.clone());
    }
    let likely = situation.is_likely_cause(Cause::Overload);
    if likely && situation.nothing_wrong() {
        draft.speaks_for("No joint of the panel is suspect: new parts in the panel would change nothing.");
    }
    draft.speaks_against("Habits change back; a list of what may run together helps only while it is read.");
    draft.condition("The breaker is not replaced by one of a larger rating: the wire decides the rating.");
    if !situation.suspect(|_| true).is_empty() {
        draft.leaves("The suspect joints.");
    }
    draft.standing(if likely { Standing::Recommended } else { Standing::Open });
    draft.done("The breaker opens with a measured load under its rating.")
}
