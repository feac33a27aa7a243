//! The thermal network of a panel: bus conduction, breaker and joint heat, natural convection, radiation,
//! cabinet air.
//!
//! [`Ldl`] factorises, [`Network`] solves any network, steady or in time, [`PanelNetwork`] builds the one of a panel.

mod assumptions;
mod film;
mod ldl;
mod network;
mod panel;
mod transient;

pub use assumptions::{ASSUMPTIONS, Assumption, Knobs};
pub use film::{film_conductance_w_k, film_heat_w, film_slope_fixed_air_w_k};
pub use ldl::{Ldl, NotPositiveDefinite};
pub use network::{Network, NodeIdx, Response, Solution, SolveError};
pub use panel::{PanelNetwork, Source};
pub use transient::Stretch;
