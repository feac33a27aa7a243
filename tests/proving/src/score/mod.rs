//! Scores of probabilities and rankings against the truth.

pub(crate) mod baseline;
pub(crate) mod calibration;
pub(crate) mod features;
#[cfg(test)]
mod fixture;
pub(crate) mod logistic;
pub(crate) mod ranking;
