//! Facts of an isolation: handles moved, cuts by the utility, other sources, proofs of absence of voltage.

use crate::text::{AsText, Textual};
use model::isolation::{Disconnect, MovedTo, Part, ProofPoint};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A handle was moved.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HandleMoved {
    /// Which.
    pub what: AsText<Disconnect>,
    /// Where to.
    pub to: AsText<MovedTo>,
}

impl HandleMoved {
    pub(super) fn subject(&self) -> String {
        self.what.0.write()
    }
}

/// The utility cut the supply, or gave it back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct UtilityCutMade {
    /// Given back? Left out: cut.
    #[serde(default)]
    pub restored: bool,
    /// By whom and how.
    pub words: String,
}

impl UtilityCutMade {
    pub(super) fn subject(&self) -> String {
        if self.restored { "restored" } else { "" }.to_owned()
    }
}

/// Another source was looked for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SourceLooked {
    /// What was looked for.
    pub source: String,
    /// Is there one?
    pub found: bool,
    /// Is it shut down and cut off?
    #[serde(default)]
    pub cut: bool,
    /// How it was looked for, or how it was cut.
    pub looked: String,
}

impl SourceLooked {
    pub(super) fn subject(&self) -> String {
        self.source.clone()
    }
}

/// What a tester showed between two points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PairRead {
    /// The two points.
    pub pair: AsText<(ProofPoint, ProofPoint)>,
    /// As displayed.
    pub volts: f64,
}

/// Absence of voltage was tested at a part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DeadProven {
    /// The part.
    pub part: AsText<Part>,
    /// The tester, by the shop's own name.
    pub tester: String,
    /// Volts on a known live source before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub live_before: Option<f64>,
    /// Volts on a known live source after.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub live_after: Option<f64>,
    /// What it showed at the part, pair by pair.
    pub readings: Vec<PairRead>,
}

impl DeadProven {
    pub(super) fn subject(&self) -> String {
        self.part.0.write()
    }
}
