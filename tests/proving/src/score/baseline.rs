//! The simple rules of the field, as scores.

use super::features::StabRow;
use super::logistic::Logistic;

/// A simple rule.
#[derive(Debug, Clone)]
pub(crate) enum Baseline {
    /// The hottest face.
    HottestFace,
    /// Difference to the mean of the neighbours.
    ToNeighbours,
    /// Load-corrected difference.
    LoadCorrected,
    /// Logistic regression, fitted on other panels of the same simulator.
    Regression(Box<Logistic>),
}

impl Baseline {
    /// Name in tables.
    pub(crate) const fn name(&self) -> &'static str {
        match self {
            Baseline::HottestFace => "hottest face",
            Baseline::ToNeighbours => "difference to neighbours",
            Baseline::LoadCorrected => "load-corrected difference",
            Baseline::Regression(_) => "logistic regression",
        }
    }

    /// Is the score a probability?
    pub(crate) const fn is_probability(&self) -> bool {
        matches!(self, Baseline::Regression(_))
    }

    /// Score of a stab, higher is more suspect.
    pub(crate) fn score(&self, row: &StabRow) -> f64 {
        match self {
            Baseline::HottestFace => row.face_c,
            Baseline::ToNeighbours => row.to_neighbours_k,
            Baseline::LoadCorrected => row.excess_k,
            Baseline::Regression(fitted) => fitted.probability(&row.features),
        }
    }
}
