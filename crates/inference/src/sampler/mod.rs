//! The sampler: tempered-free Gibbs sweeps over resistances, conditions, loads, offsets and knobs.
//!
//! Given currents and knobs every observation is linear in the resistances, and heavy-tailed errors are normal given their
//! scale, so each update works on an exact one-dimensional conditional. Resistances and unknown loads are drawn from a
//! piecewise-constant proposal on a fixed grid and corrected by Metropolis-Hastings; compensating pairs move heat from
//! one joint to another without changing what was measured, and paths of the supply slide against their loads.

mod block;
#[cfg(test)]
mod calibration;
mod categorical;
mod class;
mod doubt;
mod exchange;
mod frame;
mod grid;
mod house;
#[cfg(test)]
mod kept;
mod knobs;
mod levels;
mod likelihood;
mod loads;
mod metal;
mod near;
mod pairs;
mod resistance;
mod scale;
mod slide;
mod stand;
mod state;
mod sums;

pub(crate) use class::by_class;
pub(crate) use grid::{NORMAL_PEAK, normal_density};
pub(crate) use near::{exp_near, log_near};
pub(crate) use scale::scaled_error;
pub use state::Draws;
pub(crate) use state::{Chain, Draw};
