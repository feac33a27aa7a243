//! Places read at two visits, as written.

use super::IntervalOut;
use schemars::JsonSchema;
use serde::Serialize;

/// A place that was read at two visits or more.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TrendOut {
    /// `drop` or `rise`.
    pub compared: String,
    /// Where; for a drop its far end.
    pub place: String,
    /// The reading of the first visit.
    pub first: VisitedOut,
    /// The reading of the last visit.
    pub last: VisitedOut,
    /// The last over the first at equal load: of the resistance, or of the rise. Null where they cannot be held against one
    /// another.
    pub factor: Option<IntervalOut>,
    /// `more`, `less`, `not-shown` or `not-comparable`.
    pub change: String,
    /// The whole in a sentence or two.
    pub sentence: String,
}

/// One of the two readings.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct VisitedOut {
    /// Id of the fact that holds it.
    pub fact: String,
    /// Day of the visit, ISO.
    pub day: String,
    /// Value with its load.
    pub reading: String,
}
