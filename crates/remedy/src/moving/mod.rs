//! Moving a circuit to another stab: go or no-go for every candidate space, each condition named.
//!
//! A move is a stop-gap with a last day, never a repair. Nothing here says of a part that it is dead or sound: what the
//! record cannot tell is a question, or something to be seen with the bus proven dead.

mod conditions;
mod damage;
pub(crate) mod heat;
mod places;
#[cfg(test)]
pub(crate) mod tests;

use crate::policy::Policy;
use crate::words;
use model::Note;
use model::assessment::JointFinding;
use model::breaker::{Breaker, LoadClass};
use model::id::Slot;
use model::job::Job;
use model::moving::{Met, MoveStudy};
use model::panel::Panel;

/// Why there is no circuit to move.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotMovable {
    /// No breaker is there.
    #[error("no breaker is recorded in space {0}")]
    NoBreaker(Slot),
    /// It feeds a section or another panel.
    #[error("the breaker in {0} feeds a section or another panel: that is no circuit to move")]
    Feeder(Slot),
    /// It brings in a source.
    #[error(
        "the breaker in {0} brings in a source: where it sits is for the maker's instructions, not for a stop-gap"
    )]
    Source(Slot),
}

/// What a move is judged from.
pub(crate) struct Setting<'a> {
    pub(crate) job: &'a Job,
    pub(crate) panel: &'a Panel,
    pub(crate) breaker: &'a Breaker,
    pub(crate) joints: &'a [JointFinding],
    pub(crate) policy: &'a Policy,
}

impl Setting<'_> {
    /// Current of a pole in the most loaded recorded state, A, where it is known.
    fn current_a(&self, slot: &Slot) -> Option<f64> {
        let stab =
            self.joints.iter().find(|finding| finding.joint.id == model::JointId::Stab(slot.clone()))?;
        stab.current_now_a.map(|current| current.median)
    }

    fn class(&self) -> Option<LoadClass> {
        self.breaker.circuit.as_ref().and_then(|circuit| circuit.class)
    }
}

/// Every place to which the circuit of the breaker in `from` could be moved within its panel.
///
/// # Errors
/// There is no circuit to move.
pub fn moves(
    job: &Job,
    joints: &[JointFinding],
    from: &Slot,
    policy: &Policy,
) -> Result<MoveStudy, NotMovable> {
    let panel = job.installation.panel(&from.panel).ok_or_else(|| NotMovable::NoBreaker(from.clone()))?;
    let breaker = panel.breaker_at(from.space).ok_or_else(|| NotMovable::NoBreaker(from.clone()))?;
    if job.installation.sections_fed_by(from).next().is_some() {
        return Err(NotMovable::Feeder(from.clone()));
    }
    let setting = Setting { job, panel, breaker, joints, policy };
    if setting.class() == Some(LoadClass::Source) {
        return Err(NotMovable::Source(from.clone()));
    }
    let first = Slot::new(panel.id.clone(), breaker.spaces[0]);
    let refusals = conditions::for_all(&setting);
    let mut candidates: Vec<_> = places::places(panel, breaker)
        .into_iter()
        .map(|spaces| conditions::candidate(&setting, spaces, refusals.is_empty()))
        .collect();
    candidates.sort_by(|a, b| {
        let open_questions = |candidate: &model::moving::MoveCandidate| {
            candidate.conditions.iter().filter(|condition| condition.met == Met::Ask).count()
        };
        let heat = |candidate: &model::moving::MoveCandidate| {
            candidate.heat.as_ref().map_or(f64::INFINITY, |heat| heat.stab_c)
        };
        (!a.open, open_questions(a))
            .cmp(&(!b.open, open_questions(b)))
            .then(heat(a).total_cmp(&heat(b)))
            .then(a.spaces.cmp(&b.spaces))
    });
    let mut notes = Vec::new();
    if candidates.is_empty() {
        notes.push(Note::new(
            words::breaker_label(&job.installation, &first),
            "The panel has no free place for its poles.",
        ));
    }
    Ok(MoveStudy {
        from: first,
        refusals,
        candidates,
        most_days: policy.thresholds.stop_gap_days,
        notes,
        cautions: cautions(panel),
    })
}

fn cautions(panel: &Panel) -> Vec<String> {
    let mut cautions = vec![
        "A breaker comes off or goes on only with the bus proven dead on all pairs, live–dead–live. Never off a live stab."
            .to_owned(),
        "A move is a stop-gap with a last day. The damage stays; the old place is blanked, tagged and not used again."
            .to_owned(),
        "Contractors differ: some allow only replacement. The shop's policy, local code, the maker's instructions and the \
         inspector come first."
            .to_owned(),
    ];
    if panel.lacks_single_main() {
        cautions.push(
            "This panel has no single main: with every handle off its upper part and the line lugs are still live, until \
             the utility has cut them and that is proven."
                .to_owned(),
        );
    }
    cautions
}
