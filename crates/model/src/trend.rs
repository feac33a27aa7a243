//! What two visits say together: the same place read twice, held against itself at equal load.

use crate::assessment::Interval;
use crate::id::{FactId, Slot};
use crate::place::Place;
use crate::working::Working;
use jiff::civil::Date;

/// What is said wherever trends are shown.
pub const NO_DATE: &str = "Two readings show a direction. When a joint will fail cannot be told from them.";

/// What was read at both visits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Compared {
    /// The voltage along a conductor path: its resistance.
    Drop,
    /// The rise over the room.
    Rise,
}

/// One of the two readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Visited {
    /// The fact that holds it.
    pub fact: FactId,
    /// Day of the visit.
    pub day: Date,
    /// Value with its load, for example `12.0 mV at 20.0 A`.
    pub reading: String,
}

/// What the change says. A direction, never a date.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// More than the errors of both readings.
    More,
    /// Less than the errors of both readings.
    Less,
    /// No change that these readings can show.
    NotShown,
    /// The two cannot be held against one another, and why.
    NotComparable(Vec<String>),
}

/// A place that was read at two visits.
#[derive(Debug, Clone, PartialEq)]
pub struct Trend {
    /// What was read.
    pub compared: Compared,
    /// Where; for a drop its far end.
    pub place: Place,
    /// The pole it belongs to, if to one.
    pub slot: Option<Slot>,
    /// The earlier reading.
    pub first: Visited,
    /// The reading of the last visit.
    pub last: Visited,
    /// The last over the first at equal load, 90 % interval: of the resistance, or of the rise. `None` where they cannot be
    /// held against one another.
    pub factor: Option<Interval>,
    /// What that says.
    pub change: Change,
    /// The whole in a sentence or two.
    pub sentence: String,
    /// How the factor was worked out.
    pub working: Option<Working>,
}
