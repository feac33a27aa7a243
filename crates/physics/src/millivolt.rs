//! Resistances from millivolt drops under load, the bus-tap method among them.

use crate::range::{OutOfRange, within};
use crate::split_phase::Measured;
use model::{Current, Power, Resistance, Voltage};

/// Resistance of a path from its drop and current, with uncertainty.
///
/// ```text
/// R = V/I;   u(R)/R = √[(u_V/V)² + (u_I/I)²]
/// ```
///
/// | symbol | here        | meaning                        | unit |
/// |--------|-------------|--------------------------------|------|
/// | V, u_V | `drop`, `u_drop` | drop, load-off reading subtracted | V |
/// | I, u_I | `current`, `u_current_rel` | current, relative uncertainty | A, – |
///
/// - **Source:** Ohm's law; first-order propagation of independent errors (GUM).
/// - **Valid:** same path for both readings, steady load, 0.5 A and more.
/// - **Checked:** `tests/reference/tests/physics/millivolt.rs`.
pub fn path_resistance(
    drop: Voltage,
    u_drop: Voltage,
    current: Current,
    u_current_rel: f64,
) -> Result<Measured, OutOfRange> {
    let v = within("drop", drop.v(), "V", (-1.0, 10.0), "a joint or pole under load")?;
    let u_v = within("u of drop", u_drop.v(), "V", (0.0, 1.0), "meters")?;
    let i = within("current", current.a(), "A", (0.5, 2000.0), "panels; below, the readings are noise")?;
    let u_i = within("u of current", u_current_rel, "", (0.0, 0.5), "clamps")?;
    let r = v / i;
    Ok(Measured { ohm: r, u_ohm: ((u_v / i) * (u_v / i) + r * u_i * (r * u_i)).sqrt() })
}

/// Extra resistance of one pole's path over a like pole's, and the heat it makes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Extra resistance.
    pub resistance: Resistance,
    /// Heat it makes at the current of the test.
    pub heat: Power,
}

/// Compares two like poles by the drop from an unloaded breaker of the same leg (the tap) to each load terminal.
///
/// ```text
/// V(tap) − V(load terminal) = I·(R_stab + R_pole) + V_bus;   ΔR = [(V_x − V_bus,x) − (V_y − V_bus,y)]/I
/// ```
///
/// | symbol | here        | meaning                                              | unit |
/// |--------|-------------|------------------------------------------------------|------|
/// | V_x, V_y | `suspect`, `like` | drops of the suspect and the like pole         | V    |
/// | V_bus  | `bus_suspect`, `bus_like` | drop of the bus between tap and stab     | V    |
/// | I      | `current`   | current, the same for both                           | A    |
///
/// - **Source:** derived from the circuit.
/// - **Valid:** same rating, same frame, same current. Sound poles differ by up to half; compare over several
///   neighbours before a stab is blamed.
/// - **Checked:** `tests/reference/tests/physics/millivolt.rs`.
pub fn bus_tap_difference(
    suspect: Voltage,
    bus_suspect: Voltage,
    like: Voltage,
    bus_like: Voltage,
    current: Current,
) -> Result<Difference, OutOfRange> {
    let i = within("current", current.a(), "A", (0.5, 2000.0), "panels; below, the readings are noise")?;
    let in_range = |what, v: Voltage| within(what, v.v(), "V", (0.0, 10.0), "a pole under load");
    let x = in_range("drop of the suspect", suspect)? - in_range("bus drop of the suspect", bus_suspect)?;
    let y = in_range("drop of the like pole", like)? - in_range("bus drop of the like pole", bus_like)?;
    let dr = (x - y) / i;
    Ok(Difference { resistance: Resistance::from_ohm(dr), heat: Power::from_w(dr * i * i) })
}
