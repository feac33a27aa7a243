//! Isolation and moves, as both faces ask for them.

use model::assessment::Assessment;
use model::id::Slot;
use model::isolation::{Gate, IsolationGoal, IsolationPlan};
use model::job::Job;
use model::moving::MoveStudy;
use model::{DateTime, JointId};
use remedy::{NoSuchPart, NotMovable, Policy};

/// The plan to cut off a part, or everything that hands can cut off.
///
/// # Errors
/// The goal is a part that the record does not hold.
pub fn isolation(job: &Job, goal: &IsolationGoal) -> Result<IsolationPlan, NoSuchPart> {
    remedy::isolate(&job.installation, goal)
}

/// Which parts count as dead by the record at a moment, or by all of it. Unknown means live.
pub fn gate(job: &Job, at: Option<DateTime>) -> Gate {
    remedy::gate::gate(job, at)
}

/// What keeps a joint closed at a moment; nothing where all that it needs counts as dead.
pub fn closed(job: &Job, joint: &JointId, at: Option<DateTime>) -> Vec<String> {
    remedy::gate::closed(job, joint, at)
}

/// Every place to which a circuit could be moved, by what was concluded of the joints.
///
/// # Errors
/// There is no circuit to move.
pub fn moves(
    job: &Job,
    assessment: &Assessment,
    from: &Slot,
    policy: &Policy,
) -> Result<MoveStudy, NotMovable> {
    remedy::moves(job, &assessment.joints, from, policy)
}
