//! How hot must it have been for that metal to soften or melt: an answer as an interval.

use crate::between::Between;
use crate::constants::{LORENZ_HIGH, LORENZ_LOW};
use crate::contact::voltage_temperature::{voltage_for, voltage_for_lorenz};
use crate::material::{Metal, material};
use crate::range::{OutOfRange, within};
use model::{Current, Power, Temperature, Voltage};
use std::f64::consts::SQRT_2;

/// What a joint needed for its metal to melt at the touching spots.
#[derive(Debug, Clone, PartialEq)]
pub struct MeltingNeed {
    /// The metal.
    pub metal: Metal,
    /// Its melting point.
    pub melting: Temperature,
    /// Joint voltage, rms, that suffices: from small spots that follow the peaks to large ones that do not.
    pub joint_rms: Between<Voltage>,
    /// Heat in the joint at the given current.
    pub heat: Between<Power>,
}

impl MeltingNeed {
    /// What must stand beside the figures.
    pub const CAVEAT: &'static str = "A bead shows that the metal melted at the touching spots, not that the whole part was that hot. An arc \
         leaves the same bead.";
}

/// Voltage at which the hottest spot of a joint melts, at the instant.
///
/// ```text
/// V_melt = 2·√[L (T_melt² − T0²)]
/// ```
///
/// | symbol | here    | meaning                         | unit |
/// |--------|---------|---------------------------------|------|
/// | T_melt | of `metal` | melting point                | K    |
/// | T0     | `body`  | temperature of the joint's body | K    |
///
/// - **Source:** Holm's relation; melting points of `data/materials.csv`.
/// - **Valid:** as [`crate::contact::voltage_temperature::hottest_temperature`]. Printed tables differ by up to
///   8 % for tin, copper, aluminium and silver, 15 % for zinc and 20 % for nickel.
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn melting_voltage(metal: Metal, body: Temperature) -> Result<Voltage, OutOfRange> {
    voltage_for(body, material(metal).melting.value)
}

/// Voltage at which the hottest spot of a joint softens, at the instant.
///
/// ```text
/// V_soft = 2·√[L (T_soft² − T0²)]
/// ```
///
/// | symbol | here    | meaning                         | unit |
/// |--------|---------|---------------------------------|------|
/// | T_soft | of `metal` | softening temperature        | K    |
/// | T0     | `body`  | temperature of the joint's body | K    |
///
/// - **Source:** Holm's relation; softening temperatures of `data/materials.csv`, from memory except copper's.
/// - **Valid:** as [`melting_voltage`].
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn softening_voltage(metal: Metal, body: Temperature) -> Result<Voltage, OutOfRange> {
    voltage_for(body, material(metal).softening.value)
}

/// Joint voltage and heat that suffice to melt a metal at the touching spots.
///
/// ```text
/// V_low = V_melt(L_low)/√2;   V_high = V_melt(L_high);   P = V·I
/// ```
///
/// | symbol | here      | meaning                                              | unit  |
/// |--------|-----------|------------------------------------------------------|-------|
/// | V_melt | [`melting_voltage`] | at the instant                             | V     |
/// | L      | [`LORENZ_LOW`], [`LORENZ_HIGH`] | scatter of the Lorenz number   | V²/K² |
/// | I      | `current` | current through the joint, rms                       | A     |
/// | P      | `heat`    | heat in the joint                                    | W     |
///
/// - **Source:** derived from Holm's relation; the low end is a small spot that reaches melting at the peak of
///   each half-cycle, the high end a large spot that follows the rms value.
/// - **Valid:** metallic joint; resistive load. The figure is a least voltage: more may have been there, and an
///   arc melts the metal too (see [`MeltingNeed::CAVEAT`]).
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn melting_need(metal: Metal, body: Temperature, current: Current) -> Result<MeltingNeed, OutOfRange> {
    let i_a = within("current", current.a(), "A", (0.1, 2000.0), "currents of a dwelling's panel")?;
    let melting = material(metal).melting.value;
    let low_v = voltage_for_lorenz(body, melting, LORENZ_LOW)?.v() / SQRT_2;
    let high_v = voltage_for_lorenz(body, melting, LORENZ_HIGH)?.v();
    let joint_rms = Between::new(low_v, high_v);
    Ok(MeltingNeed {
        metal,
        melting,
        joint_rms: joint_rms.map(Voltage::from_v),
        heat: joint_rms.map(|v| Power::from_w(v * i_a)),
    })
}

/// Traces on a part, with the least temperature that leaves them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Trace {
    /// Tin plating flowed or beaded.
    TinFlowed,
    /// Aluminium bead or pit: locally.
    AluminiumBead,
    /// Steel tinted straw.
    SteelStraw,
    /// Steel tinted purple.
    SteelPurple,
    /// Steel tinted blue.
    SteelBlue,
    /// PVC insulation charred.
    PvcCharred,
    /// Nylon melted.
    NylonMelted,
    /// Phenolic charred.
    PhenolicCharred,
}

/// Least temperature that leaves a trace, as an interval; a lower bound on what the place reached.
///
/// ```text
/// a table
/// ```
///
/// | symbol | here    | meaning | unit |
/// |--------|---------|---------|------|
/// | –      | `trace` | which   | –    |
///
/// - **Source:** melting of tin: ITS-90. All others from memory of materials tables; not to be printed as fact.
/// - **Valid:** lower bounds; time and material grade shift them.
/// - **Checked:** no published check was found.
pub const fn least_temperature(trace: Trace) -> Between<Temperature> {
    let (low, high) = match trace {
        Trace::TinFlowed => (231.9, 232.0),
        Trace::AluminiumBead => (646.0, 660.4),
        Trace::SteelStraw => (200.0, 230.0),
        Trace::SteelPurple => (270.0, 280.0),
        Trace::SteelBlue => (290.0, 320.0),
        Trace::PvcCharred => (200.0, 220.0),
        Trace::NylonMelted => (215.0, 265.0),
        Trace::PhenolicCharred => (250.0, 300.0),
    };
    Between::new(Temperature::from_c(low), Temperature::from_c(high))
}
