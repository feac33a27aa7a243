//! Available fault current by the point-to-point method.

use crate::conductor::AcPerKft;
use crate::range::{OutOfRange, within};
use model::{Current, Length, Voltage};

/// Phases of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Circuit {
    /// Two wires, with the fault current and voltage between them.
    SinglePhase,
    /// Three wires, line-to-line voltage.
    ThreePhase,
}

fn kva_checked(kva: f64) -> Result<f64, OutOfRange> {
    within("transformer rating", kva, "kVA", (1.0, 5000.0), "distribution transformers")
}

fn volt_checked(voltage: Voltage) -> Result<f64, OutOfRange> {
    within("voltage", voltage.v(), "V", (100.0, 600.0), "secondary voltages")
}

/// Full-load current of a transformer.
///
/// ```text
/// I_FL = kVA·1000/E (single phase);   kVA·1000/(√3·E) (three phase)
/// ```
///
/// | symbol | here      | meaning              | unit |
/// |--------|-----------|----------------------|------|
/// | kVA    | `kva`     | rating               | kVA  |
/// | E      | `voltage` | line-to-line voltage | V    |
///
/// - **Source:** point-to-point method, electrical plan review text (public copies).
/// - **Valid:** 1 to 5000 kVA.
/// - **Checked:** `tests/reference/tests/physics/fault_current.rs`.
pub fn full_load_current(circuit: Circuit, kva: f64, voltage: Voltage) -> Result<Current, OutOfRange> {
    let (s, e) = (kva_checked(kva)? * 1000.0, volt_checked(voltage)?);
    Ok(Current::from_a(match circuit {
        Circuit::SinglePhase => s / e,
        Circuit::ThreePhase => s / (3f64.sqrt() * e),
    }))
}

/// Fault current at the terminals of a transformer on an unlimited supply.
///
/// ```text
/// I_SC = I_FL·100/%Z
/// ```
///
/// | symbol | here            | meaning                                        | unit |
/// |--------|-----------------|------------------------------------------------|------|
/// | I_FL   | `full_load`     | full-load current                              | A    |
/// | %Z     | `impedance_pct` | impedance; 0.9 of the nameplate for the greatest current | % |
///
/// - **Source:** as [`full_load_current`].
/// - **Valid:** 0.5 to 12 %.
/// - **Checked:** `tests/reference/tests/physics/fault_current.rs`.
pub fn at_transformer(full_load: Current, impedance_pct: f64) -> Result<Current, OutOfRange> {
    let z = within("impedance", impedance_pct, "%", (0.5, 12.0), "distribution transformers")?;
    Ok(Current::from_a(full_load.a() * 100.0 / z))
}

/// Line-to-neutral fault current at a centre-tapped transformer, over its line-to-line current.
///
/// Published as about 1.5; theory gives 1.33 to 1.67.
pub const CENTRE_TAP_FACTOR: f64 = 1.5;

/// C-value of a conductor: 1/(Ω per foot), as the method uses it.
///
/// ```text
/// C = 1000/√(r² + x²)
/// ```
///
/// | symbol | here       | meaning                         | unit  |
/// |--------|------------|---------------------------------|-------|
/// | r, x   | `per_kft`  | resistance and reactance        | Ω/kft |
///
/// - **Source:** definition in the method; r and x of Table 9 at 75 °C.
/// - **Valid:** published C-values assume a cooler conductor and are higher: with Table 9 the fault current comes
///   out low, so do not check an interrupting rating with it.
/// - **Checked:** `tests/reference/tests/physics/fault_current.rs`.
pub fn c_value(per_kft: AcPerKft) -> f64 {
    1000.0 / (per_kft.r_ohm * per_kft.r_ohm + per_kft.x_ohm * per_kft.x_ohm).sqrt()
}

/// A run of conductors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Phases.
    pub circuit: Circuit,
    /// Length, one way.
    pub length: Length,
    /// C-value of one conductor.
    pub c_value: f64,
    /// Conductors in parallel for each phase.
    pub n_parallel: u8,
    /// Voltage between the wires of the fault.
    pub voltage: Voltage,
}

/// Fault current at the far end of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FarEnd {
    /// Factor f.
    pub f: f64,
    /// Multiplier M.
    pub multiplier: f64,
    /// Fault current.
    pub current: Current,
}

/// Fault current at the far end of a run of conductors.
///
/// ```text
/// f = 2·L·I/(C·n·E) (single phase);   √3·L·I/(C·n·E) (three phase);   M = 1/(1 + f);   I2 = I·M
/// ```
///
/// | symbol | here         | meaning                          | unit |
/// |--------|--------------|----------------------------------|------|
/// | I      | `near`       | fault current at the near end    | A    |
/// | L      | `length`     | length, one way                  | ft   |
/// | C      | `c_value`    | 1/(Ω per foot)                   | ft/Ω |
/// | n      | `n_parallel` | conductors a phase               | –    |
/// | E      | `voltage`    | voltage                          | V    |
///
/// - **Source:** as [`full_load_current`].
/// - **Valid:** bolted fault, magnitudes added (slightly low current).
/// - **Checked:** `tests/reference/tests/physics/fault_current.rs`.
pub fn far_end(near: Current, run: Run) -> Result<FarEnd, OutOfRange> {
    let i = within("fault current", near.a(), "A", (1.0, 200_000.0), "low-voltage supplies")?;
    let l = within("length", run.length.feet(), "ft", (0.0, 20_000.0), "low-voltage runs")?;
    let c = within("C-value", run.c_value, "ft/Ω", (50.0, 100_000.0), "18 AWG to bus duct")?;
    let n = within("conductors a phase", f64::from(run.n_parallel), "", (1.0, 20.0), "at least one")?;
    let e = volt_checked(run.voltage)?;
    let k = match run.circuit {
        Circuit::SinglePhase => 2.0,
        Circuit::ThreePhase => 3f64.sqrt(),
    };
    let f = k * l * i / (c * n * e);
    let multiplier = 1.0 / (1.0 + f);
    Ok(FarEnd { f, multiplier, current: Current::from_a(i * multiplier) })
}
