//! Where a resistance stands or could.

use crate::problem::CLASSES;

/// Where a resistance stands or could: its logarithm, its value in Ω, the density of each class there.
#[derive(Clone, Copy)]
pub(super) struct Stand {
    pub(super) log: f64,
    pub(super) ohm: f64,
    pub(super) density: [f64; CLASSES],
}

impl Stand {
    /// Prior density where the classes have these weights.
    pub(super) fn prior(&self, weights: [f64; CLASSES]) -> f64 {
        (0..CLASSES).map(|class| weights[class] * self.density[class]).sum()
    }
}
