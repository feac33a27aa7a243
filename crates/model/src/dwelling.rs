//! What a load calculation asks of a dwelling: areas, circuits, appliances with their nameplates, measured demand.

use crate::id::FactId;
use jiff::civil::DateTime;

/// Nameplate of an appliance, in the unit that it prints.
#[derive(Debug, Clone, PartialEq)]
pub enum Rating {
    /// Volt-amperes.
    Va(f64),
    /// Kilowatts, taken as kVA.
    Kw(f64),
    /// Amperes at a voltage.
    Amps {
        /// Current.
        amps: f64,
        /// Voltage of the nameplate.
        volts: f64,
    },
    /// A motor, by the table of full-load currents.
    Hp {
        /// Horsepower as printed, for example `1/2`.
        hp: String,
        /// 115 or 230 V.
        volts: f64,
    },
}

impl Rating {
    /// As printed in a working and written in a job file.
    pub fn label(&self) -> String {
        match self {
            Rating::Va(va) => format!("{va} VA"),
            Rating::Kw(kw) => format!("{kw} kW"),
            Rating::Amps { amps, volts } => format!("{amps} A at {volts} V"),
            Rating::Hp { hp, volts } => format!("{hp} hp at {volts} V"),
        }
    }
}

/// How a load is connected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wires {
    /// Leg to neutral, 120 V.
    LineToNeutral,
    /// Leg to leg, no neutral.
    LineToLine,
    /// Both legs and the neutral.
    Both,
}

/// Is it there, coming, or going?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Status {
    /// There and staying.
    #[default]
    Existing,
    /// To be added.
    Added,
    /// To be taken out.
    Removed,
}

/// What an appliance is, as far as the methods differ.
#[derive(Debug, Clone, PartialEq)]
pub enum Use {
    /// Range: cooktop and oven in one.
    Range,
    /// Wall oven.
    WallOven,
    /// Cooktop.
    Cooktop,
    /// Clothes dryer on a circuit of its own.
    Dryer,
    /// Any other appliance fastened in place, permanently connected or on a circuit of its own; a water heater too.
    Appliance,
    /// A motor permanently connected and no part of an appliance.
    Motor,
    /// Air conditioning.
    Cooling,
    /// Heat pump; the rating is that of the compressor.
    HeatPump {
        /// Central supplemental electric heat; zero where there is none.
        supplement: Option<Rating>,
        /// Do both run together? Asked where there is supplemental heat.
        together: Option<bool>,
    },
    /// Electric space heating.
    Heat {
        /// Separate controls; a central furnace is one.
        controls: Option<u32>,
    },
    /// Thermal storage or other heat expected to run at full load.
    StorageHeat,
    /// Blower of a furnace or air handler.
    AirHandler,
    /// Electric-vehicle supply equipment.
    Ev,
}

/// The word for what an appliance is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum UseKind {
    /// Range.
    Range,
    /// Wall oven.
    WallOven,
    /// Cooktop.
    Cooktop,
    /// Dryer.
    Dryer,
    /// Another appliance.
    Appliance,
    /// Motor.
    Motor,
    /// Cooling.
    Cooling,
    /// Heat pump.
    HeatPump,
    /// Electric heat.
    Heat,
    /// Storage heat.
    StorageHeat,
    /// Blower.
    AirHandler,
    /// Vehicle supply equipment.
    Ev,
}

impl Use {
    /// Its word, without what only some uses say.
    pub const fn kind(&self) -> UseKind {
        match self {
            Use::Range => UseKind::Range,
            Use::WallOven => UseKind::WallOven,
            Use::Cooktop => UseKind::Cooktop,
            Use::Dryer => UseKind::Dryer,
            Use::Appliance => UseKind::Appliance,
            Use::Motor => UseKind::Motor,
            Use::Cooling => UseKind::Cooling,
            Use::HeatPump { .. } => UseKind::HeatPump,
            Use::Heat { .. } => UseKind::Heat,
            Use::StorageHeat => UseKind::StorageHeat,
            Use::AirHandler => UseKind::AirHandler,
            Use::Ev => UseKind::Ev,
        }
    }
}

/// An appliance.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What the electrician calls it.
    pub name: String,
    /// What it is.
    pub kind: Use,
    /// Nameplate.
    pub rating: Option<Rating>,
    /// How it is connected; asked where it matters and is not clear from what it is.
    pub wires: Option<Wires>,
    /// Part of the rating that is one motor; for the largest-motor rule.
    pub motor: Option<Rating>,
    /// There, coming or going.
    pub status: Status,
    /// Energy management group it belongs to.
    pub managed: Option<String>,
}

impl Item {
    /// An existing appliance with a nameplate.
    pub fn new(name: impl Into<String>, kind: Use, rating: Rating) -> Item {
        Item {
            name: name.into(),
            kind,
            rating: Some(rating),
            wires: None,
            motor: None,
            status: Status::Existing,
            managed: None,
        }
    }

    /// The same, connected so.
    pub fn on(mut self, wires: Wires) -> Item {
        self.wires = Some(wires);
        self
    }

    /// The same, to be added.
    pub fn added(mut self) -> Item {
        self.status = Status::Added;
        self
    }
}

/// Loads held to a limit by an energy management system.
#[derive(Debug, Clone, PartialEq)]
pub struct Managed {
    /// Name that the appliances refer to.
    pub name: String,
    /// Largest set point, A at the voltage between the legs.
    pub limit_a: Option<f64>,
    /// Listed for this use?
    pub listed: Option<bool>,
}

/// What a measured demand comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Meter data of a year.
    Year {
        /// Length of the meter's intervals, minutes.
        interval_min: u32,
    },
    /// A recording on the more loaded leg.
    Recording {
        /// Days without a break.
        days: u32,
        /// Averaging time, minutes.
        interval_min: u32,
    },
}

/// A measured maximum demand, as an interval: data by the hour do not tell the fifteen-minute demand.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredDemand {
    /// The demand was at least this, kW.
    pub least_kw: f64,
    /// And at most this, kW.
    pub most_kw: f64,
    /// Where it comes from.
    pub basis: Basis,
    /// Is there solar, a battery or peak shaving on the same supply?
    pub own_generation: Option<bool>,
    /// Was the house lived in as usual?
    pub occupied: Option<bool>,
    /// Of a recording: does it hold the larger of heating and cooling, and other seasonal loads, by measurement or
    /// by calculation?
    pub season_included: Option<bool>,
    /// Power factor at the peak, if it was measured; one otherwise, with a note.
    pub power_factor: Option<f64>,
}

/// Areas and circuits of a dwelling, as recorded. What is not known is `None` and is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct DwellingRecord {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Which dwelling; empty where there is one only.
    pub unit: String,
    /// Floor area by the outside dimensions, without open porches, garages and unfinished space.
    pub floor_ft2: Option<f64>,
    /// Unfinished space that could become habitable, no garage.
    pub adaptable_ft2: Option<f64>,
    /// Garage that could become habitable.
    pub adaptable_garage_ft2: Option<f64>,
    /// 20 A small-appliance circuits.
    pub small_appliance_circuits: Option<u32>,
    /// Laundry circuits; zero where the dwelling has no laundry of its own.
    pub laundry_circuits: Option<u32>,
    /// Energy management groups.
    pub managed: Vec<Managed>,
}

/// An appliance, as recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct Appliance {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Which dwelling; empty where there is one only.
    pub unit: String,
    /// What it is.
    pub item: Item,
}

/// A measured demand, as recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct DemandRecord {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// The demand.
    pub demand: MeasuredDemand,
    /// Where it comes from, in words.
    pub words: String,
}
