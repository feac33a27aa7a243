//! The electrical network of an installation: from the transformer to the loads, neutral and earth included.
//!
//! [`Circuit`] solves any network of phasors, [`Resistances`] says what each piece of copper has, [`solve`] builds
//! the network of an installation and gives voltages of places, currents, and the heat of every joint.

mod build;
mod circuit;
mod load;
mod resistances;
mod solution;
mod supply;

pub use build::{NetworkError, solve};
pub use circuit::{Branch, BranchIdx, Circuit, CircuitError, CircuitSolution, NodeIdx};
pub use load::{Case, Draw, Load, LoadEnd};
pub use nalgebra::Complex;
pub use resistances::Resistances;
pub use solution::{Flow, Piece, Solution};
pub use supply::{Impedance, Supply};
