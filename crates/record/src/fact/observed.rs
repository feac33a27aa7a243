//! Facts about what was seen, felt and measured.

use super::measure::TemperatureAs;
use crate::text::{AsText, Textual};
use model::evidence::{ClampPlace, Feel, Sign, SignScope, Surface, TemperatureMethod};
use model::place::Place;
use model::{FactId, Slot};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A load state.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LoadStateHeld {
    /// Name, unique in the job.
    pub name: String,
    /// What was running, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// How long the loads had run before the readings, minutes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held_min: Option<f64>,
    /// Temperature of the room air.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room: Option<TemperatureAs>,
    /// Poles that carry nothing in this state.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unloaded: Vec<AsText<Slot>>,
}

impl LoadStateHeld {
    pub(super) fn subject(&self) -> String {
        self.name.clone()
    }
}

/// A temperature at a place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TemperatureTaken {
    /// Where.
    pub place: AsText<Place>,
    /// As displayed.
    pub value: TemperatureAs,
    /// How.
    pub method: AsText<TemperatureMethod>,
    /// What the infrared spot looked at.
    pub surface: AsText<Surface>,
    /// Emissivity set on the instrument, if not 0.95.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub emissivity: Option<f64>,
    /// Reflected temperature set on the instrument or judged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflected: Option<TemperatureAs>,
    /// Instrument, by the shop's own name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// Load state by name.
    pub state: String,
}

impl TemperatureTaken {
    pub(super) fn subject(&self) -> String {
        self.place.0.write()
    }
}

/// A hand on a breaker face.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TouchTaken {
    /// Face of which pole.
    pub slot: AsText<Slot>,
    /// What was felt.
    pub feel: AsText<Feel>,
    /// Anything that voids it: glove, callus, cold or wet hand, less than a second.
    #[serde(default)]
    pub void: bool,
    /// Load state by name.
    pub state: String,
}

impl TouchTaken {
    pub(super) fn subject(&self) -> String {
        self.slot.0.write()
    }
}

/// A clamp reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClampTaken {
    /// Where.
    pub place: AsText<ClampPlace>,
    /// As displayed, amperes.
    pub amps: f64,
    /// Instrument, by the shop's own name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// Load state by name.
    pub state: String,
}

impl ClampTaken {
    pub(super) fn subject(&self) -> String {
        self.place.0.write()
    }
}

/// A voltage between two places.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VoltageTaken {
    /// From.
    pub from: AsText<Place>,
    /// To.
    pub to: AsText<Place>,
    /// As displayed, volts.
    pub volts: f64,
    /// Instrument, by the shop's own name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// Load state by name.
    pub state: String,
}

impl VoltageTaken {
    pub(super) fn subject(&self) -> String {
        self.from.0.write()
    }
}

/// A drop along a conductor path under load.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DropTaken {
    /// Nearer the source.
    pub from: AsText<Place>,
    /// Nearer the load.
    pub to: AsText<Place>,
    /// As displayed, millivolts, load-off reading already subtracted if one was taken.
    pub mv: f64,
    /// Current in the path at that moment, amperes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amps: Option<f64>,
    /// Instrument, by the shop's own name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// Load state by name.
    pub state: String,
}

impl DropTaken {
    pub(super) fn subject(&self) -> String {
        self.to.0.write()
    }
}

/// A breaker opened by itself.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TripSeen {
    /// Any pole of the breaker.
    pub slot: AsText<Slot>,
    /// Current before it opened, amperes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amps: Option<f64>,
    /// How long that current had flowed, minutes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after_min: Option<f64>,
    /// Load state by name, where it happened in one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state: Option<String>,
}

impl TripSeen {
    pub(super) fn subject(&self) -> String {
        self.slot.0.write()
    }
}

/// A sign, looked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SignLookedFor {
    /// Which.
    pub sign: AsText<Sign>,
    /// Where.
    pub scope: AsText<SignScope>,
    /// Found, or looked for and not found.
    pub seen: bool,
    /// What was seen, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// Id of the fact of a photo that shows it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<AsText<FactId>>,
}

impl SignLookedFor {
    pub(super) fn subject(&self) -> String {
        format!("{}-{}", self.scope.0.write(), self.sign.0.word())
    }
}
