//! What the circuits draw, and which poles are open.

use model::Slot;
use std::collections::BTreeSet;

/// Where the other end of a load is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum LoadEnd {
    /// The neutral of the circuit.
    Neutral,
    /// Another pole: a load between two legs.
    Pole(Slot),
}

/// How much a load draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Draw {
    /// A fixed impedance.
    Impedance {
        /// Resistance, Ω.
        ohm: f64,
        /// Reactance, Ω; positive where the current lags.
        reactance_ohm: f64,
    },
    /// A given current, as a clamp reads it, whatever the voltage.
    Current {
        /// Current, A rms.
        a: f64,
        /// Power factor, above 0 to 1, lagging.
        power_factor: f64,
    },
}

impl Draw {
    /// A heater of a given resistance.
    pub const fn resistance(ohm: f64) -> Self {
        Draw::Impedance { ohm, reactance_ohm: 0.0 }
    }

    /// A given current in phase with its voltage.
    pub const fn amperes(a: f64) -> Self {
        Draw::Current { a, power_factor: 1.0 }
    }
}

/// A load at the end of a circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Pole that feeds it.
    pub from: Slot,
    /// Its other end.
    pub to: LoadEnd,
    /// What it draws.
    pub draw: Draw,
}

/// A state of the loads and the supply.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Loads.
    pub loads: Vec<Load>,
    /// Poles that are open. All others are taken as closed; a handle's position is a claim, not a proof.
    pub open: BTreeSet<Slot>,
    /// Voltage of each leg at the unloaded transformer, V rms to neutral.
    pub source_v: f64,
}

impl Case {
    /// Loads on a supply of nominal voltage with every pole closed.
    pub fn with_loads(loads: Vec<Load>) -> Self {
        Case { loads, open: BTreeSet::new(), source_v: 120.0 }
    }
}
