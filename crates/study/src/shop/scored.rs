//! What the page of predicted and found shows.

use super::facing::{Calibration, Faced};
use super::healthy::Band;
use std::sync::Arc;

/// Joints that are named one by one, those opened last.
pub const NEWEST: usize = 100;

/// All joints that were opened, scored, and all readings at sound ones.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scored {
    /// How predictions and findings stand to each other; `None` where nothing was opened.
    pub calibration: Option<Calibration>,
    /// The joints opened last, at most [`NEWEST`].
    pub newest: Vec<Faced>,
    /// Readings at joints that were found sound, by rating and load.
    pub bands: Vec<Band>,
    /// Jobs with openings whose facts before the opening cannot be judged; as many of them as were asked for.
    pub not_judged: Vec<Arc<str>>,
    /// How many there are.
    pub n_not_judged: usize,
}
