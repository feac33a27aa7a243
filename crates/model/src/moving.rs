//! Moving a circuit to another stab as a dated stop-gap: every candidate space with every condition.

use crate::cite::{Cite, Note};
use crate::id::{Slot, Space};

/// Does a condition hold?
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Met {
    /// By the record it holds.
    Met,
    /// Somebody must answer it: the record does not tell.
    Ask,
    /// Something must be seen or measured first, with the bus proven dead or after the move.
    Prove,
    /// It does not hold: the move is refused.
    NotMet,
}

/// One condition of a move.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MoveCondition {
    /// Short name: `leg`, `reach`.
    pub name: &'static str,
    /// Does it hold?
    pub met: Met,
    /// Why, with the figures.
    pub says: String,
}

/// Temperatures that the network of the moved panel predicts, steady, in °C.
#[derive(Debug, Clone, PartialEq)]
pub struct MoveHeat {
    /// Room air.
    pub room_c: f64,
    /// Current of the moved circuit, amperes: the most that the stop-gap allows.
    pub current_a: f64,
    /// The hottest of the new stabs. No limit for it is published; the load terminal has one.
    pub stab_c: f64,
    /// The hottest load terminal of the moved breaker.
    pub terminal_c: f64,
    /// The hottest face of the moved breaker.
    pub face_c: f64,
    /// The neighbour that shares the new stab, its current and the temperature of its face.
    pub neighbour: Option<(Space, f64, f64)>,
    /// Highest that the limit allows a load terminal at this room temperature.
    pub limit_c: f64,
    /// The limit.
    pub limit: Cite,
    /// What was assumed, for the working.
    pub assumed: Vec<String>,
}

/// A place to move to.
#[derive(Debug, Clone, PartialEq)]
pub struct MoveCandidate {
    /// Spaces of the poles, first pole first.
    pub spaces: Vec<Space>,
    /// No condition is refused? Even then it is open only once all that is asked and to be proven is answered.
    pub open: bool,
    /// Every condition.
    pub conditions: Vec<MoveCondition>,
    /// Predicted temperatures, where the network gives them.
    pub heat: Option<MoveHeat>,
}

/// All places to which one circuit could be moved.
#[derive(Debug, Clone, PartialEq)]
pub struct MoveStudy {
    /// The first pole of the circuit.
    pub from: Slot,
    /// What refuses every move of this circuit, whatever the place.
    pub refusals: Vec<String>,
    /// Places, best first; refused ones last, with what refuses them.
    pub candidates: Vec<MoveCandidate>,
    /// Most days that a stop-gap may last by the shop's policy. None is kept without its last day and a recheck.
    pub most_days: u32,
    /// Remarks.
    pub notes: Vec<Note>,
    /// Cautions; they go with it everywhere.
    pub cautions: Vec<String>,
}
