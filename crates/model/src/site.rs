//! What the code asks about the place of the panel, the planned work and the electrodes, as recorded.

use crate::conductor::Metal;
use crate::id::FactId;
use jiff::civil::DateTime;

/// What is planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PlannedWork {
    /// Nothing yet: what does the edition say of the panel as it is?
    #[default]
    None,
    /// The panel is replaced in its place.
    ReplaceInPlace,
    /// The panel is replaced elsewhere.
    Relocate,
    /// A new interior goes into the old cabinet.
    Interior,
    /// Only the meter socket, service-entrance conductors or their raceway are replaced.
    MeterOrEntrance,
}

impl PlannedWork {
    /// Is the panel or its interior replaced?
    pub const fn replaces_panel(self) -> bool {
        matches!(self, PlannedWork::ReplaceInPlace | PlannedWork::Relocate | PlannedWork::Interior)
    }
}

/// What stands outdoors after the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outdoor {
    /// Nothing.
    Nothing,
    /// A meter disconnect or a disconnect ahead of the service disconnect.
    Emergency,
    /// The service disconnect itself.
    ServiceDisconnect,
}

/// Area that a circuit serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Area {
    /// Bedrooms, living rooms, halls, closets and the like.
    Living,
    /// Kitchen counters.
    KitchenCounter,
    /// Kitchen, but no counter.
    Kitchen,
    /// Laundry area.
    Laundry,
    /// Bathroom.
    Bathroom,
    /// Garage.
    Garage,
    /// Basement that is not lived in.
    UnfinishedBasement,
    /// Basement that is lived in.
    FinishedBasement,
    /// Outdoors: receptacles, and outlets of heating and cooling equipment.
    Outdoors,
    /// A range, oven, cooktop, dryer or microwave and nothing else.
    CookingOrDryer,
    /// Any other place.
    Other,
}

/// A circuit that is added.
#[derive(Debug, Clone, PartialEq)]
pub struct NewCircuit {
    /// Name.
    pub name: String,
    /// Area; asked if unknown.
    pub area: Option<Area>,
    /// Rating, A.
    pub amps: u32,
    /// 120 V?
    pub is_120_v: bool,
    /// Does it end in receptacles (and not in equipment that is wired in)?
    pub receptacles: bool,
}

/// Neutral of a three-wire range or dryer circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ThreeWireNeutral {
    /// Insulated.
    Insulated,
    /// Bare, within service-entrance cable.
    BareInServiceCable,
    /// Bare, in another cable.
    Bare,
}

/// A range or dryer circuit without an equipment ground.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreeWireCircuit {
    /// Name.
    pub name: String,
    /// Its neutral.
    pub neutral: Option<ThreeWireNeutral>,
    /// Metal of the neutral.
    pub metal: Option<Metal>,
}

/// Place of the panel, planned work, electrodes. What is not known is `None`, and is asked where it matters.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Site {
    /// What is planned.
    pub work: Option<PlannedWork>,
    /// Rating of the service after the work, A.
    pub service_a: Option<f64>,
    /// Dwelling units in the building.
    pub n_dwellings: Option<u32>,
    /// Movements of the hand that open the whole service after the work.
    pub n_disconnects: Option<u32>,
    /// Are they all in one enclosure?
    pub in_one_enclosure: Option<bool>,
    /// What stands outdoors after the work.
    pub outdoor: Option<Outdoor>,
    /// Surge device at the service after the work?
    pub surge: Option<bool>,
    /// Longest new piece of branch circuit outside enclosures, ft.
    pub extension_ft: Option<f64>,
    /// Are outlets or devices added?
    pub adds_outlets: Option<bool>,
    /// In a bathroom.
    pub in_bathroom: Option<bool>,
    /// In a clothes closet or near easily ignitable material.
    pub in_closet: Option<bool>,
    /// Over steps.
    pub over_stairs: Option<bool>,
    /// Centre of the highest handle above the floor, in.
    pub highest_handle_in: Option<f64>,
    /// Depth of clear working space, in.
    pub space_depth_in: Option<f64>,
    /// Width, in.
    pub space_width_in: Option<f64>,
    /// Height, in.
    pub space_height_in: Option<f64>,
    /// Every circuit described?
    pub directory: Option<bool>,
    /// Are there unused openings?
    pub openings: Option<bool>,
    /// Most neutrals under one terminal.
    pub neutrals_at_terminal: Option<u32>,
    /// Most fault current that can be there as the utility told it, A.
    pub fault_a: Option<f64>,
    /// Interrupting rating of the main as marked, A.
    pub interrupting_a: Option<f64>,
    /// Has the new interior been evaluated together with this cabinet?
    pub interior_evaluated: Option<bool>,
    /// Metal water pipe in earth for 10 ft or more?
    pub water_pipe: Option<bool>,
    /// Electrodes besides the water pipe and rods, for example concrete-encased.
    pub other_electrode: Option<bool>,
    /// Rods.
    pub n_rods: Option<u32>,
    /// Distance of two rods, ft.
    pub rod_spacing_ft: Option<f64>,
    /// Intersystem bonding termination there?
    pub intersystem: Option<bool>,
    /// Circuits that are added.
    pub new_circuits: Vec<NewCircuit>,
    /// Range and dryer circuits without equipment ground.
    pub three_wire: Vec<ThreeWireCircuit>,
}

/// The same as a record.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteRecord {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// What was seen and planned.
    pub site: Site,
}
