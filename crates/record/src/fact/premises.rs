//! Facts that the code book needs beside the wiring: the adopted code, dwellings, appliances, measured demand, the site.

use crate::text::AsText;
use jiff::civil::Date;
use model::conductor::Metal;
use model::dwelling::{Rating, Status, UseKind, Wires};
use model::site::{Area, Outdoor, PlannedWork, ThreeWireNeutral};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An edition that a place took over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EditionTaken {
    /// Year of the edition.
    pub edition: u16,
    /// First day it holds.
    #[schemars(with = "String")]
    pub from: Date,
    /// The ordinance or statute.
    pub document: String,
}

/// What a place made of a value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum AmendedAs {
    /// A number.
    Number(f64),
    /// A word of the code book.
    Word(String),
    /// Taken away.
    Absent,
}

/// A local amendment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AmendmentMade {
    /// Id of the rule in the code book.
    pub rule: String,
    /// Year of the edition it amends.
    pub edition: u16,
    /// First day it holds.
    #[schemars(with = "String")]
    pub from: Date,
    /// What holds here.
    pub to: AmendedAs,
    /// Ordinance.
    pub document: String,
    /// Its section.
    pub section: String,
    /// A remark.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// Which code holds at the address was looked up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CodeAdopted {
    /// Who adopted it: a city, a county, a state.
    pub place: String,
    /// Editions, oldest first.
    pub editions: Vec<EditionTaken>,
    /// Local amendments.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub amendments: Vec<AmendmentMade>,
    /// Day on which the permit is applied for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub permit: Option<Date>,
}

impl CodeAdopted {
    pub(super) fn subject(&self) -> String {
        self.place.clone()
    }
}

/// Loads held to a limit by an energy management system.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ManagedDescribed {
    /// Name that the appliances refer to.
    pub name: String,
    /// Largest set point, A.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit_a: Option<f64>,
    /// Listed for this use?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub listed: Option<bool>,
}

/// A dwelling: areas and circuits. What was not measured or counted is left out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DwellingDescribed {
    /// Which, where the building has two.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub unit: String,
    /// Floor area by the outside dimensions, square feet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub floor_ft2: Option<f64>,
    /// Unfinished space that could become habitable, square feet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adaptable_ft2: Option<f64>,
    /// Garage that could become habitable, square feet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adaptable_garage_ft2: Option<f64>,
    /// 20 A small-appliance circuits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub small_appliance_circuits: Option<u32>,
    /// Laundry circuits.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub laundry_circuits: Option<u32>,
    /// Energy management groups.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub managed: Vec<ManagedDescribed>,
}

impl DwellingDescribed {
    pub(super) fn subject(&self) -> String {
        self.unit.clone()
    }
}

/// An appliance with its nameplate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ApplianceDescribed {
    /// What the electrician calls it.
    pub name: String,
    /// Which dwelling, where the building has two.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub unit: String,
    /// What it is.
    pub what: AsText<UseKind>,
    /// Nameplate; of a heat pump the compressor's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating: Option<AsText<Rating>>,
    /// How it is connected.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wires: Option<AsText<Wires>>,
    /// The part that is one motor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub motor: Option<AsText<Rating>>,
    /// Of electric heat: separate controls.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub controls: Option<u32>,
    /// Of a heat pump: supplemental electric heat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supplement: Option<AsText<Rating>>,
    /// Of a heat pump: do compressor and supplement run together?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub together: Option<bool>,
    /// There, coming or going.
    pub status: AsText<Status>,
    /// Energy management group.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub managed: Option<String>,
}

impl ApplianceDescribed {
    pub(super) fn subject(&self) -> String {
        self.name.clone()
    }
}

/// A demand was measured, or read out of meter data.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DemandMeasured {
    /// The greatest demand was at least this, kW.
    pub least_kw: f64,
    /// And at most this, kW.
    pub most_kw: f64,
    /// Averaging time, minutes.
    pub interval_min: u32,
    /// Days of a recording without a break; left out: a year of meter data.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<u32>,
    /// Is there solar, a battery or peak shaving on the same supply?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own_generation: Option<bool>,
    /// Was the house lived in as usual?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub occupied: Option<bool>,
    /// Of a recording: does it hold the larger of heating and cooling?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub season_included: Option<bool>,
    /// Power factor at the peak.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_factor: Option<f64>,
    /// Where it comes from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl DemandMeasured {
    pub(super) fn subject(&self) -> String {
        String::new()
    }
}

/// A circuit that is to be added.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CircuitPlanned {
    /// Name.
    pub name: String,
    /// Area it serves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<AsText<Area>>,
    /// Rating, A.
    pub amps: u32,
    /// 120 V?
    pub is_120_v: bool,
    /// Does it end in receptacles?
    pub receptacles: bool,
}

/// A range or dryer circuit without an equipment ground.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ThreeWireFound {
    /// Name.
    pub name: String,
    /// Its neutral.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub neutral: Option<AsText<ThreeWireNeutral>>,
    /// Metal of the neutral.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub metal: Option<AsText<Metal>>,
}

/// The place of the panel, the planned work, the electrodes. What was not looked at is left out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SiteSeen {
    /// What is planned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work: Option<AsText<PlannedWork>>,
    /// What stands outdoors after the work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outdoor: Option<AsText<Outdoor>>,
    /// Dwellings in the building.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dwellings: Option<u32>,
    /// Movements of the hand that open the whole service after the work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub disconnects: Option<u32>,
    /// Most neutrals under one terminal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub neutrals_at_terminal: Option<u32>,
    /// Ground rods.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rods: Option<u32>,
    /// Rating of the service after the work, A.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service_a: Option<f64>,
    /// Longest new piece of branch circuit outside enclosures, ft.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub extension_ft: Option<f64>,
    /// Centre of the highest handle above the floor, in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub highest_handle_in: Option<f64>,
    /// Depth of the clear space before the panel, in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub space_depth_in: Option<f64>,
    /// Its width, in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub space_width_in: Option<f64>,
    /// Its height, in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub space_height_in: Option<f64>,
    /// Most fault current at the service, as the utility told it, A.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fault_a: Option<f64>,
    /// Interrupting rating of the main as marked, A.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interrupting_a: Option<f64>,
    /// Distance of two rods, ft.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rod_spacing_ft: Option<f64>,
    /// Are all service disconnects in one enclosure after the work?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_one_enclosure: Option<bool>,
    /// Is there a surge device at the service after the work?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surge: Option<bool>,
    /// Are outlets or devices added?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adds_outlets: Option<bool>,
    /// Is the panel in a bathroom?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_bathroom: Option<bool>,
    /// Is it in a clothes closet, or near easily ignitable material?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_closet: Option<bool>,
    /// Is it over steps?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over_stairs: Option<bool>,
    /// Is every circuit described in the directory?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub directory: Option<bool>,
    /// Are there unused openings in cabinet or dead front?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub openings: Option<bool>,
    /// Has a new interior been evaluated together with this cabinet?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interior_evaluated: Option<bool>,
    /// Is there a metal water pipe, 10 ft or more in the earth?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_pipe: Option<bool>,
    /// Is there another electrode besides water pipe and rods, for example in concrete?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other_electrode: Option<bool>,
    /// Is there a bonding termination for other systems?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub intersystem: Option<bool>,
    /// Circuits that are added.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub new_circuits: Vec<CircuitPlanned>,
    /// Range and dryer circuits without an equipment ground.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub three_wire: Vec<ThreeWireFound>,
}

impl SiteSeen {
    pub(super) fn subject(&self) -> String {
        String::new()
    }
}
