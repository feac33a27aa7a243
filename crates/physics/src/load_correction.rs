//! Temperature rise at another load.

use crate::between::Between;
use crate::range::{OutOfRange, within};
use model::{Cite, Current, Standing};

/// Exponents of the rise with current: low, centre, high. A judgement between the re-rating law of copper bars
/// (1.64 at fixed resistance, 1.78 to 1.91 read off the published table) and 2 for constant resistance and
/// film coefficient.
pub const EXPONENT: (f64, f64, f64) = (1.6, 1.8, 2.0);

/// Source of [`EXPONENT`].
pub fn exponent_cite() -> Cite {
    Cite::new(
        "between the CDA re-rating law and constant resistance; exponents measured by Lyon, Orlove & Peters \
         (SPIE 4020, 2000) were not read",
        "1.6 to 2.0, centre 1.8",
        Standing::Judgement,
    )
}

/// A rise carried over to another current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CorrectedRise {
    /// From the low to the high exponent, K.
    pub rise_k: Between<f64>,
    /// With the centre exponent, K.
    pub centre_k: f64,
    /// Measured below 40 % of the target current: the interval is wider than ±15 % and says little.
    pub is_far: bool,
}

/// Rise at another current with a given exponent, K.
///
/// ```text
/// ΔT2 = ΔT1·(I2/I1)^n
/// ```
///
/// | symbol | here      | meaning                 | unit |
/// |--------|-----------|-------------------------|------|
/// | ΔT1    | `rise_k`  | rise at the first current | K  |
/// | I1, I2 | `from`, `to` | currents             | A    |
/// | n      | `exponent` | exponent               | –    |
///
/// - **Source:** common form in thermography; see [`exponent_cite`].
/// - **Valid:** steady, same path of heat, 1.5 ≤ n ≤ 2.1, I2/I1 ≤ 10.
/// - **Checked:** `tests/reference/tests/physics/load_correction.rs`.
pub fn rise_at_k(rise_k: f64, from: Current, to: Current, exponent: f64) -> Result<f64, OutOfRange> {
    let rise = within("rise", rise_k, "K", (0.0, 1500.0), "solid parts of a panel")?;
    let n = within("exponent", exponent, "", (1.5, 2.1), "constant resistance and film coefficient: 2")?;
    let i1 =
        within("first current", from.a(), "A", (0.1, 2000.0), "panels; no rise can be scaled from no load")?;
    let i2 = within("second current", to.a(), "A", (0.0, 10.0 * i1), "ten times the first current")?;
    Ok(rise * libm::pow(i2 / i1, n))
}

/// Rise at another current as an interval over [`EXPONENT`].
///
/// ```text
/// ΔT2 = ΔT1·(I2/I1)^n,  n = 1.6 … 2.0
/// ```
///
/// | symbol | here      | meaning                 | unit |
/// |--------|-----------|-------------------------|------|
/// | ΔT1    | `rise_k`  | rise at the first current | K  |
/// | I1, I2 | `from`, `to` | currents             | A    |
///
/// - **Source:** [`exponent_cite`].
/// - **Valid:** as [`rise_at_k`].
/// - **Checked:** `tests/reference/tests/physics/load_correction.rs`.
pub fn corrected_rise(rise_k: f64, from: Current, to: Current) -> Result<CorrectedRise, OutOfRange> {
    let (low, centre, high) = EXPONENT;
    let at = |n| rise_at_k(rise_k, from, to, n);
    Ok(CorrectedRise {
        rise_k: Between::spanning(at(low)?, at(high)?),
        centre_k: at(centre)?,
        is_far: from.a() < 0.4 * to.a(),
    })
}
