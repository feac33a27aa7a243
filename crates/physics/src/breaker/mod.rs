//! Breakers: what their standards promise, when they open, and what heat they make.

pub mod bimetal;
pub mod local_heat;
pub mod loss;
pub mod trip_limits;
