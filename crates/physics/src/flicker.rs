//! Whether a dip of the voltage can be seen as flicker.

use crate::range::{OutOfRange, within};
use model::{Cite, Standing, Voltage};

/// Relative change that half of observers see, near 8 changes a second.
pub const PERCEPTION: f64 = 0.003;

/// Relative change from which a lamp visibly flickers at most rates.
pub const CLEARLY_VISIBLE: f64 = 0.01;

/// How visible a dip is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Visibility {
    /// Below what half of observers see at the worst rate.
    BelowPerception,
    /// Seen by some at some rates.
    Possible,
    /// Visible.
    Visible,
}

/// Source of the thresholds.
pub fn cite() -> Cite {
    Cite::new(
        "trade journal article on lamp flicker and a public review of a national standard",
        "0.3 % near 8 Hz for half of observers; below 1 % is visible",
        Standing::Published,
    )
}

/// How visible a voltage dip is on an incandescent lamp.
///
/// ```text
/// d = ΔV/V:  < 0.3 % | < 1 % | above
/// ```
///
/// | symbol | here      | meaning            | unit |
/// |--------|-----------|--------------------|------|
/// | ΔV     | `dip`     | change of voltage  | V    |
/// | V      | `nominal` | voltage            | V    |
///
/// - **Source:** [`cite`].
/// - **Valid:** repeated changes, incandescent lamps. LED lamps may hide or exaggerate it. The short-term index
///   of IEC 61000-3-3 is not defined for 120 V and is not used.
/// - **Checked:** `tests/reference/tests/physics/flicker.rs`.
pub fn visibility(dip: Voltage, nominal: Voltage) -> Result<Visibility, OutOfRange> {
    let v = within("nominal voltage", nominal.v(), "V", (90.0, 300.0), "lamps")?;
    let d = within("voltage dip", dip.v(), "V", (0.0, v), "not more than the voltage")? / v;
    Ok(match d {
        d if d < PERCEPTION => Visibility::BelowPerception,
        d if d < CLEARLY_VISIBLE => Visibility::Possible,
        _ => Visibility::Visible,
    })
}
