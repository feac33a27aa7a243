//! Where the surprises of the list fall: step, options, and how a quote names what it excludes.

use model::advice::ChoiceKind;
use serde::Deserialize;

const TEXT: &str = include_str!("../../data/surprise-steps.toml");

/// Where a surprise falls.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Falls {
    /// Name of its question in the list.
    pub id: String,
    /// The step at which it falls; empty: at none.
    #[serde(default)]
    pub step: String,
    /// The share of its hours that the power waits for, from 0 to 1.
    #[serde(default = "whole")]
    pub before_power: f64,
    /// Options that can meet it.
    #[serde(deserialize_with = "super::options")]
    pub options: Vec<ChoiceKind>,
    /// How it is named where it is excluded.
    pub exclude: String,
}

const fn whole() -> f64 {
    1.0
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    at: Vec<Falls>,
}

/// The data.
pub fn falls() -> Vec<Falls> {
    toml::from_str::<File>(TEXT).expect("data/surprise-steps.toml is read in a test").at
}
