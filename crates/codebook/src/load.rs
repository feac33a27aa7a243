//! Dwelling load calculation by every method of the edition, each figure with its working.

mod blocked;
mod compare;
mod cooking;
mod demand;
mod dwelling;
mod existing;
mod hvac;
mod margin;
mod measured;
mod neutral;
mod optional;
mod print;
mod readings;
mod sheet;
mod standard;
mod two_family;

pub use blocked::{BadInput, Blocked, Question};
pub use compare::{Alternative, Comparison, Method, Row, calculate, compare, compare_editions};
pub use cooking::{Unit, branch_circuit, feeder as cooking_feeder};
pub use dwelling::{Dwelling, Item, Managed, Rating, Status, Use, Wires};
pub use existing::existing;
pub use margin::{Room, room};
pub use measured::{Basis, MeasuredDemand, measured};
pub use neutral::Neutral;
pub use optional::optional;
pub use readings::{
    BlowerReading, CountReading, DroppedMotorReading, EvReading, GarageReading, HvacReading, NettingReading,
    Reading, Readings, WyeReading,
};
pub use sheet::{Line, Sheet};
pub(crate) mod sheet_parts {
    //! The parts of a working, for the sizes too.
    pub(crate) use super::sheet::{input, ruled, working};
}
pub use standard::standard;
pub use two_family::two_family;
