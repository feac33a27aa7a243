//! What the page of predicted and found shows, worked out once for all who look.

use super::facing::{Calibration, Faced, calibration};
use super::healthy::{Band, Healthy, bands};

/// Joints that are named one by one, those opened last.
pub const NEWEST: usize = 100;

/// All joints that were opened, scored, and all readings at sound ones.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scored {
    /// How predictions and findings stand to each other; `None` where nothing was opened.
    pub calibration: Option<Calibration>,
    /// The joints opened last, at most [`NEWEST`].
    pub newest: Vec<Faced>,
    /// Readings at joints that were found sound.
    pub healthy: Vec<Healthy>,
    /// The same by rating and load.
    pub bands: Vec<Band>,
}

impl Scored {
    /// Scores what was predicted.
    pub fn of(faced: &[&Faced], healthy: Vec<Healthy>) -> Scored {
        let mut newest = faced.to_vec();
        newest.sort_by(|one, other| {
            (other.day, &one.job, &one.joint).cmp(&(one.day, &other.job, &other.joint))
        });
        Scored {
            calibration: calibration(faced.iter().copied()),
            newest: newest.into_iter().take(NEWEST).cloned().collect(),
            bands: bands(&healthy),
            healthy,
        }
    }
}
