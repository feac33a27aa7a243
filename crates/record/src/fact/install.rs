//! Facts of the new panel: the permit, breakers as they went in, torque, switching on, readings, the card.

use super::{LengthAs, PairRead, TemperatureAs, TorqueAs};
use crate::text::{AsText, Textual};
use jiff::civil::Date;
use model::breaker::Protection;
use model::conductor::WireSize;
use model::evidence::{Surface, TemperatureMethod};
use model::install::{Flagged, Stage, Terminal, Trial};
use model::{Leg, Slot, Space};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

fn spaces_of(spaces: &[AsText<Space>]) -> String {
    let written: Vec<String> = spaces.iter().map(|space| space.0.write()).collect();
    written.join("-")
}

/// A circuit as it was filed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CircuitFiled {
    /// First space of its breaker.
    pub space: AsText<Space>,
    /// Rating of its breaker, amperes.
    pub amps: f64,
}

/// A permit was filed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PermitFiled {
    /// Its number.
    pub number: String,
    /// Rating of the new panel, amperes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating_a: Option<f64>,
    /// Spaces of the new panel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spaces: Option<u16>,
    /// Circuits as filed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub circuits: Vec<CircuitFiled>,
    /// Day on which the final inspection passed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub passed: Option<Date>,
    /// Day on which an inspection did not pass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub failed: Option<Date>,
    /// What the inspector flagged.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub flagged: Vec<AsText<Flagged>>,
    /// Remarks.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl PermitFiled {
    pub(super) fn subject(&self) -> String {
        self.number.clone()
    }
}

/// A breaker went into the new panel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BreakerInstalled {
    /// Its spaces in the new panel.
    pub spaces: Vec<AsText<Space>>,
    /// Its rating, amperes.
    pub rating_a: f64,
    /// What it protects against.
    pub protection: AsText<Protection>,
    /// Slots of the old panel that the circuit comes from.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub from: Vec<AsText<Slot>>,
    /// Size of its conductors.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<AsText<WireSize>>,
    /// Was a conductor lengthened?
    #[serde(default)]
    pub spliced: bool,
    /// What it feeds.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl BreakerInstalled {
    pub(super) fn subject(&self) -> String {
        spaces_of(&self.spaces)
    }
}

/// Where a torque value comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum TorqueFrom {
    /// SHA-256 of a photo of the label.
    Label(String),
    /// The maker's sheet, and where in it.
    Sheet(String),
}

/// A termination was tightened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TerminalTorqued {
    /// Where.
    pub terminal: AsText<Terminal>,
    /// The value to which the tool was set.
    pub value: TorqueAs,
    /// Where the value comes from.
    pub source: TorqueFrom,
    /// The tool.
    pub tool: String,
    /// Day of its last calibration.
    #[schemars(with = "String")]
    pub calibrated: Date,
    /// Day on which the next is due.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub due: Option<Date>,
}

impl TerminalTorqued {
    pub(super) fn subject(&self) -> String {
        self.terminal.0.write()
    }
}

/// Current of a leg.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LegRead {
    /// The leg.
    pub leg: AsText<Leg>,
    /// Amperes.
    pub amps: f64,
}

/// The new panel was switched on this far.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StageReached {
    /// How far.
    pub stage: AsText<Stage>,
    /// Branches closed in this step.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub spaces: Vec<AsText<Space>>,
    /// Voltages read after it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<PairRead>,
    /// Currents of the legs after it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub legs: Vec<LegRead>,
    /// The meter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub meter: Option<String>,
}

impl StageReached {
    pub(super) fn subject(&self) -> String {
        if self.spaces.is_empty() { self.stage.0.write() } else { spaces_of(&self.spaces) }
    }
}

/// A temperature was taken at the new panel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TerminalVerified {
    /// Where.
    pub terminal: AsText<Terminal>,
    /// As displayed.
    pub value: TemperatureAs,
    /// Room air.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub room: Option<TemperatureAs>,
    /// Current through it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amps: Option<f64>,
    /// How long it had flowed, minutes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held_min: Option<f64>,
    /// The surface.
    pub surface: AsText<Surface>,
    /// How it was taken.
    pub method: AsText<TemperatureMethod>,
    /// The instrument.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
}

impl TerminalVerified {
    pub(super) fn subject(&self) -> String {
        self.terminal.0.write()
    }
}

/// Two circuits on one neutral were clamped.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NeutralClamped {
    /// Their spaces.
    pub spaces: [AsText<Space>; 2],
    /// Their currents, amperes.
    pub hots: [f64; 2],
    /// Current of the neutral, amperes.
    pub neutral: f64,
    /// Voltage between the hot conductors.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub between: Option<f64>,
}

impl NeutralClamped {
    pub(super) fn subject(&self) -> String {
        spaces_of(&self.spaces)
    }
}

/// A device or circuit was tried.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DeviceTried {
    /// First space of its breaker.
    pub space: AsText<Space>,
    /// How.
    pub how: AsText<Trial>,
    /// Did it do what it should?
    pub passed: bool,
    /// What was seen.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl DeviceTried {
    pub(super) fn subject(&self) -> String {
        self.space.0.write()
    }
}

/// A line of the card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CardLine {
    /// First space of the breaker.
    pub space: AsText<Space>,
    /// What it says.
    pub words: String,
}

/// The directory card was hung up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CardHung {
    /// Width of the place for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<LengthAs>,
    /// Height of the place for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<LengthAs>,
    /// What it says.
    pub lines: Vec<CardLine>,
}

impl CardHung {
    pub(super) fn subject(&self) -> String {
        String::new()
    }
}
