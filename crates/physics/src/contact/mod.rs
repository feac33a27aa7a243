//! Electric contacts: resistance of a joint, its hottest spot, and what its voltage says about the metal.

pub mod drop;
pub mod holm;
pub mod ladder;
pub mod melting;
pub mod voltage_temperature;

pub use drop::{JointDrop, Path, Refusal};
pub use voltage_temperature::HotSpot;
