//! What comes before the panel: transformer, drop, meter, service conductors, grounding.

use crate::conductor::Conductor;
use crate::quantity::{Current, Length, Resistance};

/// Overhead or underground supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SupplyPath {
    /// Overhead drop.
    Overhead,
    /// Underground lateral.
    Underground,
}

/// The service. Everything is optional: much of it belongs to the utility and is not seen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Service {
    /// Nominal rating.
    pub rating: Option<Current>,
    /// Transformer rating, kVA.
    pub transformer_kva: Option<f64>,
    /// Transformer impedance, percent.
    pub transformer_impedance_pct: Option<f64>,
    /// Overhead or underground.
    pub path: Option<SupplyPath>,
    /// Conductor of the drop or lateral.
    pub drop: Conductor,
    /// Its length, one way.
    pub drop_length: Option<Length>,
    /// Conductor from the meter to the panel.
    pub entrance: Conductor,
    /// Its length, one way.
    pub entrance_length: Option<Length>,
    /// Resistance of the grounding electrode to earth, where it was measured.
    pub electrode: Option<Resistance>,
    /// What the meter and its socket look like, in words.
    pub meter: Option<String>,
    /// Other sources that were looked for and found, in words.
    pub other_sources: Vec<String>,
}
