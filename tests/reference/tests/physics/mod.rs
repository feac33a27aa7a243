//! Closed-form physics and the networks against published values and laws.

mod bar;
mod breaker;
mod circuit_simulator;
mod conductor;
mod contact;
mod emissivity;
mod enclosure;
mod fault_current;
mod film;
mod fin;
mod flicker;
mod ldl;
mod limits;
mod load_correction;
mod material;
mod millivolt;
mod panel_file;
mod runaway;
mod severity;
mod split_phase;
mod steady;
mod thermal_march;
mod touch;
mod wind;
