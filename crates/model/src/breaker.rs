//! Breakers and the circuits they feed.

use crate::conductor::Conductor;
use crate::id::Space;
use crate::quantity::Current;

/// What makes a breaker open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Protection {
    /// Bimetal and magnet.
    ThermalMagnetic,
    /// Bimetal, magnet and arc-fault electronics.
    ArcFault,
    /// Bimetal, magnet and ground-fault electronics.
    GroundFault,
    /// Bimetal, magnet and both kinds of electronics.
    ArcAndGroundFault,
    /// A switch without overcurrent trip.
    SwitchOnly,
}

/// How the breaker meets the bus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Attachment {
    /// A spring jaw pushed over a stab.
    PlugOn,
    /// A bolt.
    BoltOn,
}

/// Where the handle stands. A claim, never a proof.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Handle {
    /// On.
    On,
    /// Off.
    Off,
    /// Tripped.
    Tripped,
}

/// Rough class of what a circuit feeds, for priors on its load; free text is in [`Circuit::feeds`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoadClass {
    /// Lights and receptacles.
    General,
    /// Kitchen, laundry or bathroom receptacles.
    SmallAppliance,
    /// Clothes dryer.
    Dryer,
    /// Range, oven or cooktop.
    Cooking,
    /// Water heater.
    WaterHeater,
    /// Air conditioner or heat pump.
    Cooling,
    /// Resistance space heat.
    SpaceHeat,
    /// Vehicle charging.
    Vehicle,
    /// A motor: pump, compressor, fan.
    Motor,
    /// Feeds a bus section or a sub-panel.
    Feeder,
    /// A source: generator inlet, solar, battery.
    Source,
    /// A spare breaker with nothing on it.
    Spare,
}

impl LoadClass {
    /// Its word in records, data files and phrase files.
    pub const fn word(self) -> &'static str {
        match self {
            LoadClass::General => "general",
            LoadClass::SmallAppliance => "small-appliance",
            LoadClass::Dryer => "dryer",
            LoadClass::Cooking => "cooking",
            LoadClass::WaterHeater => "water-heater",
            LoadClass::Cooling => "cooling",
            LoadClass::SpaceHeat => "space-heat",
            LoadClass::Vehicle => "vehicle",
            LoadClass::Motor => "motor",
            LoadClass::Feeder => "feeder",
            LoadClass::Source => "source",
            LoadClass::Spare => "spare",
        }
    }

    /// Heavy loads that run for an hour and more.
    pub const fn is_heavy(self) -> bool {
        matches!(
            self,
            LoadClass::Dryer
                | LoadClass::Cooking
                | LoadClass::WaterHeater
                | LoadClass::Cooling
                | LoadClass::SpaceHeat
                | LoadClass::Vehicle
                | LoadClass::Feeder
        )
    }
}

/// What a breaker feeds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Circuit {
    /// Words of the directory or of the tracer, for example `dryer, laundry room`.
    pub feeds: String,
    /// Rough class, where known.
    pub class: Option<LoadClass>,
    /// The conductor at the load terminal.
    pub conductor: Conductor,
    /// Other half of a multiwire circuit: the space of the breaker pole that shares its neutral.
    pub partner: Option<Space>,
    /// Does the circuit use the neutral? `None` where not known.
    pub uses_neutral: Option<bool>,
    /// More than one conductor under the load terminal?
    pub doubled: Option<bool>,
}

/// A breaker in its spaces, one pole a space.
#[derive(Debug, Clone, PartialEq)]
pub struct Breaker {
    /// Spaces of its poles, first pole first. One to three.
    pub spaces: Vec<Space>,
    /// Rating marked on the handle.
    pub rating: Current,
    /// What makes it open.
    pub protection: Protection,
    /// How it meets the bus.
    pub attachment: Attachment,
    /// Of another make than the panel's list names? `None` where nobody has read the list. No make is kept.
    pub other_make: Option<bool>,
    /// Put in later than the panel? `None` where not known.
    pub later: Option<bool>,
    /// Where the handle stood when first seen.
    pub handle: Handle,
    /// What it feeds. `None` for a section main or a spare.
    pub circuit: Option<Circuit>,
}

impl Breaker {
    /// Number of poles.
    pub fn n_poles(&self) -> usize {
        self.spaces.len()
    }

    /// Pole number, from 1, of the pole in a space.
    pub fn pole_in(&self, space: Space) -> Option<u8> {
        self.spaces.iter().position(|&mine| mine == space).map(|idx| idx as u8 + 1)
    }

    /// Is any pole half of a space wide?
    pub fn is_half_width(&self) -> bool {
        self.spaces.iter().any(|space| space.half.is_some())
    }

    /// Words for the papers: what it feeds, or its part in the panel.
    pub fn feeds_label(&self) -> &str {
        match &self.circuit {
            Some(circuit) if !circuit.feeds.is_empty() => &circuit.feeds,
            Some(_) => "not traced",
            None => "no branch circuit",
        }
    }
}
