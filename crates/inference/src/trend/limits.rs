//! When two visits may be compared: the data file, read.

use crate::priors::PriorsError;
use serde::Deserialize;

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Limits {
    #[serde(rename = "version")]
    _version: String,
    pub(super) visit: Visit,
    pub(super) drop: Drops,
    pub(super) rise: Rises,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Visit {
    pub(super) apart_h: f64,
    #[serde(rename = "source")]
    _source: String,
    #[serde(rename = "standing")]
    _standing: String,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Drops {
    pub(super) least_a: f64,
    pub(super) ratio: f64,
    pub(super) together: f64,
    pub(super) source: String,
    #[serde(rename = "standing")]
    _standing: String,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Rises {
    pub(super) exponent_low: f64,
    pub(super) exponent_high: f64,
    pub(super) load_share: f64,
    pub(super) ratio: f64,
    pub(super) least_k: f64,
    pub(super) held_min: f64,
    pub(super) reading_k: f64,
    pub(super) source: String,
    #[serde(rename = "standing")]
    _standing: String,
}

impl Limits {
    /// The file of the program.
    ///
    /// # Errors
    /// [`PriorsError`] names what is wrong in it.
    pub(super) fn built_in() -> Result<Self, PriorsError> {
        let text = include_str!("../../data/trend.toml");
        toml::from_str(text)
            .map_err(|error| PriorsError::Form { file: "trend.toml", message: error.to_string() })
    }
}
