//! Correct the load or the circuit, panel left as it is.

use super::draft::Draft;
use crate::situation::Situation;
use crate::words::{self, percent};
use model::advice::{Choice, ChoiceKind, Standing};
use model::assessment::Cause;
use model::evidence::{ClampPlace, Observed};

pub(super) fn choice(situation: &Situation<'_>) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::CorrectLoad);
    let overload = situation
        .cause(Cause::Overload)
        .filter(|(_, cause)| situation.thresholds().possible_cause <= cause.probability);
    let Some((complaint, cause)) = overload else {
        draft.standing(Standing::Refused);
        draft.speaks_against(over_rating(situation));
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

/// Why it is not offered: nothing was read above its rating, or what was does not explain the complaint.
fn over_rating(situation: &Situation<'_>) -> String {
    let told = crate::set_against(situation.job);
    let over = situation.job.observations.iter().filter(|seen| told.stands(&seen.fact)).find_map(|seen| {
        let Observed::Current(reading) = &seen.what else { return None };
        let ClampPlace::Pole(slot) = &reading.place else { return None };
        let breaker = situation.breaker(slot)?;
        (breaker.rating < reading.value).then(|| words::breaker_label(&situation.job.installation, slot))
    });
    match over {
        Some(breaker) => {
            format!("{} was read above its rating; that explains no complaint.", words::capital(&breaker))
        }
        None => "No circuit was found with more load than its rating.".to_owned(),
    }
}
