//! Facts about what is wired there: service, panels, breakers.

use super::measure::LengthAs;
use crate::text::AsText;
use model::breaker::{Attachment, Handle, LoadClass, Protection};
use model::conductor::{EntrySide, Metal, Plating, WireSize};
use model::panel::Mounting;
use model::service::SupplyPath;
use model::{Leg, PanelId, SectionId, Slot, Space, System};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A conductor at a terminal. What was not looked at is left out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ConductorDescribed {
    /// Size: `12`, `2/0`, `250`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<AsText<WireSize>>,
    /// Metal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub metal: Option<AsText<Metal>>,
    /// Insulation as marked or as it looks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insulation: Option<String>,
    /// Length free inside the cabinet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub free_length: Option<LengthAs>,
    /// Side of the cabinet where it comes in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entry: Option<AsText<EntrySide>>,
    /// How far below the top wall it comes in, where it comes through the back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entry_down: Option<LengthAs>,
    /// Colour of its insulation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colour: Option<String>,
}

impl ConductorDescribed {
    /// Is nothing known of it?
    pub fn is_blank(&self) -> bool {
        *self == ConductorDescribed::default()
    }
}

/// What comes before the panels.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ServiceDescribed {
    /// Nominal rating, amperes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating_a: Option<f64>,
    /// Transformer rating, kVA.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transformer_kva: Option<f64>,
    /// Transformer impedance, percent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transformer_impedance_pct: Option<f64>,
    /// Overhead or underground.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub path: Option<AsText<SupplyPath>>,
    /// Conductor of the drop or lateral.
    #[serde(default, skip_serializing_if = "ConductorDescribed::is_blank")]
    pub drop: ConductorDescribed,
    /// Its length, one way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop_length: Option<LengthAs>,
    /// Conductor from the meter to the panel.
    #[serde(default, skip_serializing_if = "ConductorDescribed::is_blank")]
    pub entrance: ConductorDescribed,
    /// Its length, one way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entrance_length: Option<LengthAs>,
    /// Resistance of the grounding electrode to earth, ohms, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub electrode_ohm: Option<f64>,
    /// What the meter and its socket look like, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub meter: Option<String>,
    /// Other sources that were looked for and found, in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub other_sources: Vec<String>,
}

impl ServiceDescribed {
    pub(super) fn subject(&self) -> String {
        String::new()
    }
}

/// Bus bars.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BusDescribed {
    /// Metal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub metal: Option<AsText<Metal>>,
    /// Plating.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plating: Option<AsText<Plating>>,
    /// Rating on the label, amperes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating_a: Option<f64>,
}

/// The cabinet.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CabinetDescribed {
    /// Width.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<LengthAs>,
    /// Height.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height: Option<LengthAs>,
    /// Depth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<LengthAs>,
    /// How it sits in the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mounting: Option<AsText<Mounting>>,
}

/// Where half-width breakers may go.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum HalfWidthDescribed {
    /// In every space.
    Everywhere,
    /// In these spaces.
    In(Vec<u16>),
}

/// What feeds a bus section.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FeedDescribed {
    /// Line lugs, nothing between the service conductors and the bus.
    Lugs,
    /// A main breaker of this rating, amperes.
    MainBreaker {
        /// Its rating, amperes.
        rating_a: f64,
    },
    /// The breaker whose first pole is in this space.
    Breaker(AsText<Slot>),
}

/// A bus section.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SectionDescribed {
    /// Id, unique in the panel.
    pub id: AsText<SectionId>,
    /// First and last row, from 1 at the top.
    pub rows: [u16; 2],
    /// What feeds it.
    pub feed: FeedDescribed,
    /// Conductor from the feeding breaker or service.
    #[serde(default, skip_serializing_if = "ConductorDescribed::is_blank")]
    pub feeder: ConductorDescribed,
}

/// A panel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PanelDescribed {
    /// Id, unique in the job.
    pub panel: AsText<PanelId>,
    /// Where it hangs, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// Supply system.
    pub system: AsText<System>,
    /// Number of spaces.
    pub spaces: u16,
    /// One or two columns.
    pub columns: u8,
    /// Leg of the first row.
    pub first_leg: AsText<Leg>,
    /// Bus bars.
    #[serde(default)]
    pub bus: BusDescribed,
    /// Cabinet.
    #[serde(default)]
    pub cabinet: CabinetDescribed,
    /// Where half-width breakers may go; left out: nowhere, or not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub half_width: Option<HalfWidthDescribed>,
    /// Year it was put in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub year: Option<i16>,
    /// Signs of water in the cabinet; left out: not looked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moisture: Option<bool>,
    /// Sections, top first.
    pub sections: Vec<SectionDescribed>,
}

impl PanelDescribed {
    pub(super) fn subject(&self) -> String {
        self.panel.0.to_string()
    }
}

/// What a breaker feeds.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CircuitDescribed {
    /// Words of the directory or of the tracer.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub feeds: String,
    /// Rough class.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<AsText<LoadClass>>,
    /// The conductor at the load terminal.
    #[serde(default, skip_serializing_if = "ConductorDescribed::is_blank")]
    pub conductor: ConductorDescribed,
    /// Space of the pole that shares this circuit's neutral.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub partner: Option<AsText<Space>>,
    /// Does the circuit use the neutral?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uses_neutral: Option<bool>,
    /// More than one conductor under the load terminal?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub doubled: Option<bool>,
}

/// A breaker.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BreakerDescribed {
    /// The panel it is in.
    pub panel: AsText<PanelId>,
    /// Spaces of its poles, first pole first.
    pub spaces: Vec<AsText<Space>>,
    /// Rating on the handle, amperes.
    pub rating_a: f64,
    /// What makes it open.
    pub protection: AsText<Protection>,
    /// How it meets the bus.
    pub attachment: AsText<Attachment>,
    /// Of another make than the panel's list names; left out: nobody has read the list.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other_make: Option<bool>,
    /// Put in later than the panel; left out: not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub later: Option<bool>,
    /// Where the handle stood when first seen.
    pub handle: AsText<Handle>,
    /// What it feeds; left out where nothing was said of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub circuit: Option<CircuitDescribed>,
}

impl BreakerDescribed {
    pub(super) fn subject(&self) -> String {
        match self.spaces.first() {
            Some(first) => format!("{}/{}", self.panel.0, first.0),
            None => self.panel.0.to_string(),
        }
    }
}
