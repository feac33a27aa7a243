//! Load states: what was running, how long, and what each pole carried.

use crate::id::{FactId, Slot};
use crate::quantity::Temperature;
use jiff::civil::DateTime;

/// A named state of the house's loads during which readings were taken.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadState {
    /// The fact that says so.
    pub fact: FactId,
    /// Name, unique in the job, for example `dryer on`.
    pub name: String,
    /// When it was set up.
    pub at: DateTime,
    /// What was running, in words.
    pub words: String,
    /// How long the loads had run before the readings, minutes. `None`: long enough to be steady, or not said.
    pub held_min: Option<f64>,
    /// Temperature of the room air.
    pub room: Option<Temperature>,
    /// Poles that carry nothing in this state: switched off or unplugged. Their current is zero, not unknown.
    pub unloaded: Vec<Slot>,
}
