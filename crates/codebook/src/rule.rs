//! Ids of all rules that the program asks for; the data files and this list are held against each other.

/// Id of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct RuleId(pub &'static str);

macro_rules! rules {
    ($($(#[$doc:meta])* $name:ident = $id:literal;)+) => {
        $($(#[$doc])* pub const $name: RuleId = RuleId($id);)+

        /// All of them.
        pub const ALL: &[RuleId] = &[$($name),+];
    };
}

rules! {
    /// General lighting and receptacles of a dwelling, for each square foot of floor.
    LIGHTING_UNIT_LOAD = "lighting.unit-load";
    /// Demand table of general lighting, small-appliance and laundry load.
    LIGHTING_DEMAND = "lighting.demand";
    /// A garage or unfinished space that could become habitable, in the floor area.
    AREA_GARAGE = "area.garage";
    /// Load of each 20 A small-appliance circuit.
    SMALL_APPLIANCE_LOAD = "small-appliance.load";
    /// Least number of small-appliance circuits.
    SMALL_APPLIANCE_LEAST = "small-appliance.least";
    /// Load of each laundry circuit.
    LAUNDRY_LOAD = "laundry.load";
    /// Least number of laundry circuits, where the dwelling has laundry of its own.
    LAUNDRY_LEAST = "laundry.least";
    /// Number of fastened-in-place appliances from which the demand factor applies.
    APPLIANCES_COUNT = "appliances.count";
    /// Demand factor of the fastened-in-place appliances.
    APPLIANCES_PERCENT = "appliances.percent";
    /// Rating from which a fastened-in-place appliance counts (or 1/4 hp).
    APPLIANCES_LEAST_RATING = "appliances.least-rating";
    /// Least load of an electric clothes dryer.
    DRYER_LEAST = "dryer.least";
    /// Demand table of clothes dryers.
    DRYER_DEMAND = "dryer.demand";
    /// Demand table of household cooking appliances over 1 3/4 kW.
    COOKING_DEMAND = "cooking.demand";
    /// Addition for the largest motor.
    MOTOR_LARGEST_PERCENT = "motor.largest-percent";
    /// Full-load current of single-phase motors.
    MOTOR_FULL_LOAD = "motor.full-load";
    /// Fixed electric space heating.
    HEAT_PERCENT = "heat.percent";
    /// Loads that do not run together, heating and cooling above all.
    NONCOINCIDENT = "noncoincident";
    /// Load of electric-vehicle supply equipment.
    EV_LOAD = "ev.load";
    /// Figure that stands in for a smaller or unknown nameplate of vehicle supply equipment.
    EV_LEAST = "ev.least";
    /// Continuous load of vehicle supply equipment, for conductors and overcurrent protection.
    EV_CONTINUOUS_PERCENT = "ev.continuous-percent";
    /// Part of the demand of ranges, ovens, cooktops and dryers that the neutral carries.
    NEUTRAL_COOKING_DRYER_PERCENT = "neutral.cooking-dryer-percent";
    /// Part of the unbalanced load above 200 A that the neutral carries.
    NEUTRAL_OVER_PERCENT = "neutral.over-percent";
    /// The neutral of two legs taken from a 208Y/120 V system.
    NEUTRAL_WYE = "neutral.wye";
    /// Fractions of an ampere that may be dropped from the result.
    ROUNDING = "rounding";
    /// Least service of a one-family dwelling, three-wire.
    SERVICE_LEAST = "service.least";
    /// Ampacity from which the optional method may be used, one dwelling on one three-wire supply.
    OPTIONAL_LEAST_AMPACITY = "optional.least-ampacity";
    /// First tier of the optional method, at 100 %.
    OPTIONAL_FIRST = "optional.first";
    /// Rest of the general load in the optional method.
    OPTIONAL_REST_PERCENT = "optional.rest-percent";
    /// Air conditioning in the optional method.
    OPTIONAL_COOLING_PERCENT = "optional.cooling-percent";
    /// Heat pump compressor in the optional method.
    OPTIONAL_HEAT_PUMP_PERCENT = "optional.heat-pump-percent";
    /// Central supplemental heat of a heat pump in the optional method.
    OPTIONAL_SUPPLEMENT_PERCENT = "optional.supplement-percent";
    /// Electric space heat with fewer than four separate controls in the optional method.
    OPTIONAL_FEW_HEATERS_PERCENT = "optional.few-heaters-percent";
    /// Electric space heat with four or more separate controls in the optional method.
    OPTIONAL_MANY_HEATERS_PERCENT = "optional.many-heaters-percent";
    /// Number of separate controls from which the lower percentage applies.
    OPTIONAL_MANY_HEATERS = "optional.many-heaters";
    /// Thermal storage and other heat expected to run at full load in the optional method.
    OPTIONAL_STORAGE_PERCENT = "optional.storage-percent";
    /// First tier of the method for existing dwellings, at 100 %.
    EXISTING_FIRST = "existing.first";
    /// Rest of the load in the method for existing dwellings.
    EXISTING_REST_PERCENT = "existing.rest-percent";
    /// Air conditioning and electric space heating in the method for existing dwellings.
    EXISTING_HVAC_PERCENT = "existing.hvac-percent";
    /// Factor on the measured maximum demand.
    MEASURED_PERCENT = "measured.percent";
    /// Least length of a recording where a year of data is missing.
    MEASURED_RECORD_DAYS = "measured.record-days";
    /// Averaging time of the recorded demand.
    MEASURED_MINUTES = "measured.minutes";
    /// Measured demand where a renewable source or peak shaving is on the same supply.
    MEASURED_OWN_GENERATION = "measured.own-generation";
    /// Number of identical units whose optional load may stand for two dwellings.
    TWO_FAMILY_UNITS = "two-family.units";
    /// Demand factor of three identical units.
    TWO_FAMILY_PERCENT = "two-family.percent";
    /// What stands for loads under an energy management system in the calculation.
    MANAGED_LOAD = "managed.load";
    /// The limit of an energy management system, taken as a continuous load.
    MANAGED_PERCENT = "managed.percent";
    /// How the conductors of a dwelling's service or main feeder are sized.
    DWELLING_SERVICE_METHOD = "dwelling-service.method";
    /// Part of the service rating that the conductors' corrected ampacity must reach.
    DWELLING_SERVICE_PERCENT = "dwelling-service.percent";
    /// Range of the dwelling service table, from.
    DWELLING_SERVICE_LEAST = "dwelling-service.least";
    /// Range of the dwelling service table, to.
    DWELLING_SERVICE_MOST = "dwelling-service.most";
    /// Ampacity of insulated conductors, not more than three current-carrying, 30 °C.
    AMPACITY = "ampacity";
    /// Correction of ampacity for the temperature around the conductors.
    AMPACITY_AMBIENT = "ampacity.ambient";
    /// Adjustment of ampacity for more than three current-carrying conductors.
    AMPACITY_BUNDLE = "ampacity.bundle";
    /// Temperature column that unmarked terminals allow.
    TERMINALS = "terminals";
    /// Temperature column of nonmetallic-sheathed cable.
    NONMETALLIC_CABLE = "nonmetallic-cable";
    /// Largest overcurrent protection of small conductors.
    SMALL_CONDUCTORS = "small-conductors";
    /// Next larger standard rating allowed where the ampacity matches none.
    NEXT_SIZE = "next-size";
    /// Standard ratings of fuses and breakers.
    STANDARD_RATINGS = "standard-ratings";
    /// Continuous load, for conductors before correction and for overcurrent protection.
    CONTINUOUS_PERCENT = "continuous-percent";
    /// Size of the grounding electrode conductor.
    ELECTRODE_CONDUCTOR = "electrode-conductor";
    /// Largest electrode conductor asked for where it goes to rods, pipes or plates only, copper.
    ELECTRODE_CONDUCTOR_ROD = "electrode-conductor.rod";
    /// Largest electrode conductor asked for where it goes to a concrete-encased electrode only, copper.
    ELECTRODE_CONDUCTOR_ENCASED = "electrode-conductor.encased";
    /// Least grounded conductor, main bonding jumper and supply-side bonding jumper.
    BONDING_JUMPER = "bonding-jumper";
    /// Part of the area of the ungrounded conductors, above 1100 kcmil copper or 1750 kcmil aluminium.
    BONDING_JUMPER_PERCENT = "bonding-jumper.percent";
    /// Size of the equipment grounding conductor.
    EQUIPMENT_GROUND = "equipment-ground";
    /// Voltage drop of a branch circuit, advisory.
    DROP_BRANCH = "drop.branch";
    /// Voltage drop of feeder and branch circuit together, advisory.
    DROP_TOTAL = "drop.total";
    /// Resistance and reactance of conductors.
    CONDUCTOR_RESISTANCE = "conductor-resistance";
    /// Part of a cabinet's wiring space that conductors may fill at any cross-section.
    FILL_CONDUCTORS = "fill.conductors";
    /// Part of a cabinet's wiring space that conductors, splices and taps may fill.
    FILL_SPLICES = "fill.splices";
    /// Volume that each conductor takes in a box.
    BOX_VOLUME = "box-volume";
    /// Tightening torque where neither marking nor instruction gives one.
    TORQUE_TABLE = "torque.table";
    /// Tool for tightening to a marked torque.
    TORQUE_TOOL = "torque.tool";
    /// Interrupting rating against the available fault current at the line terminals.
    INTERRUPTING = "interrupting";
    /// Service disconnects in one enclosure.
    DISCONNECT_COUNT = "disconnect.count";
    /// Service disconnects of one service.
    DISCONNECT_MOST = "disconnect.most";
    /// Disconnect outdoors at one- and two-family dwellings.
    DISCONNECT_OUTDOOR = "disconnect.outdoor";
    /// Surge protection of dwelling services.
    SURGE = "surge";
    /// Arc-fault protection when a branch circuit is modified, replaced or extended.
    ARC_EXTENSION = "arc.extension";
    /// Length of extension that needs no arc-fault protection if no outlet or device is added.
    ARC_LENGTH = "arc.length";
    /// Arc-fault protection of new branch circuits of 15 and 20 A.
    ARC_NEW = "arc.new";
    /// Ground-fault protection on a replacement of the panel alone.
    GROUND_SWAP = "ground.swap";
    /// Ground-fault protection of receptacles in bathrooms, garages, unfinished basements, outdoors, at counters.
    GROUND_ALWAYS = "ground.always";
    /// Ground-fault protection of receptacles in laundry areas.
    GROUND_LAUNDRY = "ground.laundry";
    /// Ground-fault protection of kitchen receptacles that serve no counter.
    GROUND_KITCHEN = "ground.kitchen";
    /// Ground-fault protection of receptacles in finished basements.
    GROUND_BASEMENT = "ground.basement";
    /// Ground-fault protection of larger receptacles in the same places.
    GROUND_LARGER = "ground.larger";
    /// Ground-fault protection of outdoor outlets of dwellings, up to.
    GROUND_OUTDOOR = "ground.outdoor";
    /// Ground-fault protection of ranges, ovens, cooktops, dryers and microwaves.
    GROUND_APPLIANCES = "ground.appliances";
    /// Overcurrent devices in a bathroom of a dwelling.
    PLACE_BATHROOM = "place.bathroom";
    /// Overcurrent devices near easily ignitable material, such as in a clothes closet.
    PLACE_CLOSET = "place.closet";
    /// Overcurrent devices over steps of a stairway.
    PLACE_STAIRS = "place.stairs";
    /// Highest place of the centre of a handle.
    PLACE_HEIGHT = "place.height";
    /// Depth of working space, not more than 150 V to ground.
    SPACE_DEPTH = "space.depth";
    /// Width of working space.
    SPACE_WIDTH = "space.width";
    /// Height of working space.
    SPACE_HEIGHT = "space.height";
    /// Lower headroom at service equipment or panelboards of an existing dwelling, up to.
    SPACE_EXISTING = "space.existing";
    /// Description of every circuit at the panel.
    DIRECTORY = "directory";
    /// Unused openings of the panel.
    OPENINGS = "openings";
    /// Grounded conductors in one terminal.
    NEUTRAL_TERMINAL = "neutral.terminal";
    /// Three-wire range or dryer circuit when the panel becomes a sub-panel.
    RANGE_THREE_WIRE = "range.three-wire";
    /// Disconnect of a multiwire branch circuit.
    MULTIWIRE_DISCONNECT = "multiwire.disconnect";
    /// Grouping of the conductors of a multiwire branch circuit in the panel.
    MULTIWIRE_GROUP = "multiwire.group";
    /// Replacement interior in an old cabinet.
    INTERIOR = "interior";
    /// Breakers that may go into the panel.
    BREAKER_LISTING = "breaker.listing";
    /// Protection of a panelboard at not more than its rating.
    PANEL_PROTECTION = "panel.protection";
    /// Resistance to earth below which a lone rod needs no second.
    ELECTRODE_SECOND = "electrode.second";
    /// Least distance between rods.
    ELECTRODE_SPACING = "electrode.spacing";
    /// Water pipe as the only electrode.
    ELECTRODE_WATER = "electrode.water";
    /// Terminals of the intersystem bonding termination.
    INTERSYSTEM = "intersystem";
    /// Marking of the available fault current at service equipment.
    FAULT_MARKING = "fault.marking";
}
