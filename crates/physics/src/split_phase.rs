//! The two legs around a neutral: shift of the neutral, open neutral, and the test with a known load.

use crate::range::{OutOfRange, positive, within};
use model::{Current, Resistance, Voltage};

/// Voltages of the two legs at the load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LegVoltages {
    /// First leg to neutral.
    pub first: Voltage,
    /// Second leg to neutral.
    pub second: Voltage,
}

/// Voltage of the load neutral against the transformer's, towards the first leg.
///
/// ```text
/// V_N = (E/Z1 − E/Z2)/(1/Z1 + 1/Z2 + 1/R_n);   V1 = E − V_N,  V2 = E + V_N
/// ```
///
/// | symbol | here      | meaning                                | unit |
/// |--------|-----------|----------------------------------------|------|
/// | E      | `half`    | voltage of each half                   | V    |
/// | Z1, Z2 | `load1`, `load2` | loads on the legs, resistive    | Ω    |
/// | R_n    | `neutral` | resistance of the neutral              | Ω    |
///
/// - **Source:** node equation of the load neutral.
/// - **Valid:** resistive loads, leg resistance small; the network of `electrical` has no such limits.
/// - **Checked:** `tests/reference/tests/physics/split_phase.rs`.
pub fn with_neutral(
    half: Voltage,
    load1: Resistance,
    load2: Resistance,
    neutral: Resistance,
) -> Result<LegVoltages, OutOfRange> {
    let e = within("half voltage", half.v(), "V", (50.0, 300.0), "supplies of dwellings")?;
    let (z1, z2) = (positive("load 1", load1.ohm(), "Ω")?, positive("load 2", load2.ohm(), "Ω")?);
    let r_n = positive("neutral resistance", neutral.ohm(), "Ω")?;
    let v_n = (e / z1 - e / z2) / (1.0 / z1 + 1.0 / z2 + 1.0 / r_n);
    Ok(LegVoltages { first: Voltage::from_v(e - v_n), second: Voltage::from_v(e + v_n) })
}

/// Voltages of the two legs with the neutral open and no earth path, and the current through both loads.
///
/// ```text
/// V1 = 2E·Z1/(Z1 + Z2);   I = 2E/(Z1 + Z2)
/// ```
///
/// | symbol | here      | meaning                     | unit |
/// |--------|-----------|-----------------------------|------|
/// | E      | `half`    | voltage of each half        | V    |
/// | Z1, Z2 | `load1`, `load2` | loads on the legs    | Ω    |
///
/// - **Source:** loads in series across both legs; worked example of a public course text.
/// - **Valid:** resistive loads; a grounding electrode in parallel keeps the shift below this.
/// - **Checked:** `tests/reference/tests/physics/split_phase.rs`.
pub fn open_neutral(
    half: Voltage,
    load1: Resistance,
    load2: Resistance,
) -> Result<(LegVoltages, Current), OutOfRange> {
    let e = within("half voltage", half.v(), "V", (50.0, 300.0), "supplies of dwellings")?;
    let (z1, z2) = (positive("load 1", load1.ohm(), "Ω")?, positive("load 2", load2.ohm(), "Ω")?);
    let i = 2.0 * e / (z1 + z2);
    let legs = LegVoltages { first: Voltage::from_v(i * z1), second: Voltage::from_v(i * z2) };
    Ok((legs, Current::from_a(i)))
}

/// Readings of a load-step test: a known load is switched on between first leg and neutral.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadStep {
    /// Rise of the first leg's voltage when the load comes on, V; negative when it falls.
    pub change_first_v: f64,
    /// Rise of the second leg's voltage, V.
    pub change_second_v: f64,
    /// Rise of the first leg's current, A, from the clamp.
    pub change_current_a: f64,
    /// Standard uncertainty of each voltage change, V; drift of the supply included (±0.2 V is usual).
    pub u_voltage_v: f64,
    /// Relative standard uncertainty of the current change; 0.02 for a true-rms clamp.
    pub u_current_rel: f64,
}

/// A resistance with its standard uncertainty, Ω.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Value, Ω; may come out below zero within its uncertainty.
    pub ohm: f64,
    /// Standard uncertainty, Ω.
    pub u_ohm: f64,
}

impl Measured {
    /// Is it above a value by at least `k` standard uncertainties?
    pub fn exceeds(&self, ohm: f64, k: f64) -> bool {
        ohm + k * self.u_ohm < self.ohm
    }
}

/// Result of a load-step test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepResult {
    /// Neutral, from the panel to the transformer.
    pub neutral: Measured,
    /// First leg, transformer and drop included.
    pub leg: Measured,
}

/// Resistances of neutral and leg from a load step.
///
/// ```text
/// R_n = ΔV2/ΔI1;   R_L1 = (−ΔV1 − ΔV2)/ΔI1
/// u²(R_n) = (u_V/ΔI)² + (R_n·u_I)²;   u²(R_L1) = 2(u_V/ΔI)² + (R_L1·u_I)²
/// ```
///
/// | symbol | here               | meaning                            | unit |
/// |--------|--------------------|------------------------------------|------|
/// | ΔV1, ΔV2 | `change_first_v`, `change_second_v` | changes of leg voltages | V |
/// | ΔI1    | `change_current_a` | change of the first leg's current  | A    |
/// | u_V, u_I | `u_voltage_v`, `u_current_rel` | uncertainties        | V, – |
///
/// - **Source:** derived from the circuit; first-order propagation of independent errors (GUM).
/// - **Valid:** step of at least 10 A, other loads steady. An earth path in parallel lowers R_n, and so does
///   a load Z2 on the second leg: the test finds R_n·Z2/(Z2 + R_n). Repeat on and off three times; the supply's drift is the noise floor.
/// - **Checked:** `tests/reference/tests/physics/split_phase.rs`.
pub fn load_step(step: LoadStep) -> Result<StepResult, OutOfRange> {
    let di =
        within("current step", step.change_current_a, "A", (10.0, 500.0), "load-step test: 10 A and more")?;
    let dv1 = within("change of first leg", step.change_first_v, "V", (-120.0, 120.0), "leg voltage")?;
    let dv2 = within("change of second leg", step.change_second_v, "V", (-120.0, 120.0), "leg voltage")?;
    let u_v = within("u of voltage", step.u_voltage_v, "V", (0.0, 10.0), "meters and drift")?;
    let u_i = within("u of current", step.u_current_rel, "", (0.0, 0.5), "clamps")?;
    let (r_n, r_l) = (dv2 / di, (-dv1 - dv2) / di);
    let u = |n: f64, r: f64| (n * (u_v / di) * (u_v / di) + r * u_i * (r * u_i)).sqrt();
    Ok(StepResult {
        neutral: Measured { ohm: r_n, u_ohm: u(1.0, r_n) },
        leg: Measured { ohm: r_l, u_ohm: u(2.0, r_l) },
    })
}
