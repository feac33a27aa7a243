//! Bounds of a record: sizes that protect the reader, and ranges outside of which a value is a slip, not a
//! reading. One place for the checks, the schema and the guide.

/// Largest job file, bytes.
pub const FILE_MAX_BYTES: usize = 16 * 1024 * 1024;
/// Deepest nesting of tables and lists in a job file. The format itself needs six.
pub const NESTING_MAX: usize = 24;
/// Most panels of a job.
pub const PANELS_MAX: usize = 32;
/// Most spaces of a panel: twice the 42 that one panelboard could have before 2008, and what is sold since.
pub const SPACES_MAX: u16 = 84;
/// Most breakers of a job.
pub const BREAKERS_MAX: usize = 2_000;
/// Most load states of a job.
pub const STATES_MAX: usize = 1_000;
/// Most readings and other entries of a job.
pub const READINGS_MAX: usize = 10_000;
/// Most facts of a job, readings and all.
pub const FACTS_MAX: usize = 20_000;
/// Most problems reported of one record; the last then says that there are more.
pub const PROBLEMS_MAX: usize = 1_000;
/// Longest free text, characters.
pub const WORDS_MAX: usize = 4_000;
/// Longest name of a state, instrument, person or place, characters.
pub const NAME_MAX: usize = 120;

/// A closed range of plausible values.
pub type Plausible = (f64, f64);

/// Surface temperature in or on a panel that is still worth measuring, °C.
pub const SURFACE_C: Plausible = (-40.0, 200.0);
/// Place on a picture, as a fraction of its width or height.
pub const FRACTION: Plausible = (0.0, 1.0);
/// Room air, °C.
pub const ROOM_C: Plausible = (-40.0, 60.0);
/// Reflected temperature set on an instrument, °C; a clear sky is cold.
pub const REFLECTED_C: Plausible = (-60.0, 200.0);
/// Emissivity that instruments can be set to.
pub const EMISSIVITY: Plausible = (0.1, 1.0);
/// Steady current in a house or small shop, A.
pub const AMPS: Plausible = (0.0, 2_000.0);
/// Current before a trip, which may have been a fault, A.
pub const TRIP_AMPS: Plausible = (0.0, 100_000.0);
/// A steady pole current beyond this many times its breaker's rating is a slip.
pub const AMPS_PER_RATING_MAX: f64 = 5.0;
/// Voltage at a 120/240 V or 208Y/120 V system: the highest between two points of it, with room, V.
pub const VOLTS: Plausible = (0.0, 300.0);
/// Voltage between places of one conductor path, mV. Slightly below zero can remain after subtraction.
pub const DROP_MV: Plausible = (-50.0, 5_000.0);
/// A drop below this, but not zero, was likely typed in volts, mV.
pub const DROP_SMALLEST_MV: f64 = 0.1;
/// Breaker rating, A.
pub const RATING_A: Plausible = (1.0, 600.0);
/// Bus or service rating, A.
pub const BUS_RATING_A: Plausible = (10.0, 1_200.0);
/// Time that a state was held or a current flowed, minutes: a year.
pub const MINUTES: Plausible = (0.0, 525_600.0);
/// Hours of all people that a surprise took beyond the plan.
pub const SURPRISE_H: Plausible = (0.0, 200.0);
/// Length of wire in a cabinet, m.
pub const FREE_LENGTH_M: Plausible = (0.0, 5.0);
/// Side of a cabinet, m.
pub const CABINET_M: Plausible = (0.05, 3.0);
/// One-way length of a service drop, lateral or entrance, m.
pub const SERVICE_LENGTH_M: Plausible = (0.0, 500.0);
/// Transformer rating, kVA.
pub const TRANSFORMER_KVA: Plausible = (1.0, 2_500.0);
/// Transformer impedance, percent.
pub const IMPEDANCE_PCT: Plausible = (0.1, 20.0);
/// Resistance of an electrode to earth, Ω.
pub const ELECTRODE_OHM: Plausible = (0.01, 10_000.0);
/// Year in which a panel was put in.
pub const YEAR: (i16, i16) = (1890, 2200);
/// A pole listed as unloaded that carries more than this contradicts itself, A.
pub const UNLOADED_A_MAX: f64 = 0.5;
/// Floor area of a dwelling or a part of it, square feet.
pub const FLOOR_FT2: Plausible = (0.0, 100_000.0);
/// Most small-appliance or laundry circuits of a dwelling.
pub const CIRCUITS_MAX: u32 = 100;
/// Greatest demand of a dwelling's service, kW.
pub const DEMAND_KW: Plausible = (0.0, 400.0);
/// Power factor of a dwelling.
pub const POWER_FACTOR: Plausible = (0.5, 1.0);
/// Length of a new piece of circuit, or distance of two rods, ft.
pub const EXTENSION_FT: Plausible = (0.0, 2_000.0);
/// Height, width or depth about a panel, in.
pub const HEIGHT_IN: Plausible = (0.0, 600.0);
/// Fault current at a dwelling, or a rating for it, A.
pub const FAULT_A: Plausible = (100.0, 200_000.0);
/// Number that a place puts into a rule.
pub const AMENDED: Plausible = (0.0, 1_000_000.0);
/// Torque of a termination in a panel of a house, pound-force inches.
pub const TORQUE_LB_IN: Plausible = (3.0, 800.0);
/// The same, pound-force feet.
pub const TORQUE_LB_FT: Plausible = (0.25, 66.0);
/// The same, newton metres.
pub const TORQUE_NM: Plausible = (0.3, 90.0);
