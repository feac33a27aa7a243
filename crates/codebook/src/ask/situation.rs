//! The situation that is asked about. What is not known is `None`, and the finding then says what to find out.

pub use model::site::{Area, NewCircuit, Outdoor, PlannedWork as Work, ThreeWireCircuit, ThreeWireNeutral};

/// A multiwire branch circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct MultiwireCircuit {
    /// Name.
    pub name: String,
    /// Do all its ungrounded conductors open together?
    pub opens_together: Option<bool>,
    /// Are they on different legs?
    pub on_different_legs: Option<bool>,
}

/// The situation.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Situation {
    /// What is done.
    pub work: Work,
    /// Dwelling units in the building.
    pub n_dwellings: Option<u32>,
    /// Is the panel the service equipment, before the work?
    pub is_service: Option<bool>,
    /// Movements of the hand that open the whole service, after the work.
    pub n_disconnects: Option<u32>,
    /// Are they all in one enclosure?
    pub in_one_enclosure: Option<bool>,
    /// What stands outdoors after the work.
    pub outdoor: Option<Outdoor>,
    /// Does the panel have several sections fed by its own breakers?
    pub split_bus: Option<bool>,
    /// Surge device at the service after the work?
    pub surge: Option<bool>,
    /// Longest new piece of branch circuit outside enclosures, ft.
    pub extension_ft: Option<f64>,
    /// Are outlets or devices added?
    pub adds_outlets: Option<bool>,
    /// Circuits that are added.
    pub new_circuits: Vec<NewCircuit>,
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
    /// Width of the equipment, in.
    pub equipment_width_in: Option<f64>,
    /// Rating of the panel, A.
    pub rating_a: Option<f64>,
    /// Every circuit described?
    pub directory: Option<bool>,
    /// Are there unused openings?
    pub openings: Option<bool>,
    /// Most neutrals under one terminal.
    pub neutrals_at_terminal: Option<u32>,
    /// Most fault current that can be there, A.
    pub fault_most_a: Option<f64>,
    /// Has the new interior been evaluated together with this cabinet?
    pub interior_evaluated: Option<bool>,
    /// Breakers of a type that the panel's marking does not name.
    pub unnamed_breakers: Option<bool>,
    /// Range and dryer circuits without equipment ground.
    pub three_wire: Vec<ThreeWireCircuit>,
    /// Multiwire circuits.
    pub multiwire: Vec<MultiwireCircuit>,
    /// Metal water pipe in earth for 10 ft or more?
    pub water_pipe: Option<bool>,
    /// Electrodes besides the water pipe and rods, for example concrete-encased.
    pub other_electrode: Option<bool>,
    /// Rods.
    pub n_rods: Option<u32>,
    /// Resistance of a lone rod to earth, if measured.
    pub rod_ohm: Option<f64>,
    /// Distance of two rods, ft.
    pub rod_spacing_ft: Option<f64>,
    /// Intersystem bonding termination there?
    pub intersystem: Option<bool>,
}

impl Situation {
    /// Will the panel be a sub-panel because the service disconnect moved outdoors?
    pub(crate) fn becomes_sub_panel(&self) -> Option<bool> {
        match (self.is_service, self.outdoor) {
            (Some(false), _) => Some(false),
            (Some(true), Some(Outdoor::ServiceDisconnect)) => Some(true),
            (Some(true), Some(_)) => Some(false),
            _ => None,
        }
    }

    /// Is service equipment replaced?
    pub(crate) fn replaces_service(&self) -> Option<bool> {
        if !self.work.replaces_panel() {
            return Some(false);
        }
        self.is_service
    }
}
