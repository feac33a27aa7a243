//! Ranges of supply voltage.

use crate::between::Between;
use crate::cited::Cited;
use model::{Cite, Standing, Voltage};

/// Where the voltage is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum At {
    /// At the service.
    Service,
    /// At the point of use.
    Use,
}

/// Range A (usual) or B (short and rare).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Band {
    /// Usual.
    A,
    /// Short and rare.
    B,
}

/// Range of the 120 V leg voltage.
///
/// ```text
/// a table: service A 114–126, B 110–127; use A 108–126, B 104–127 V
/// ```
///
/// | symbol | here         | meaning        | unit |
/// |--------|--------------|----------------|------|
/// | –      | `at`, `band` | place, range   | –    |
///
/// - **Source:** ANSI C84.1 (120/240 V), from memory: carries `Standing::FromMemory`.
/// - **Valid:** sustained voltage, nominal 120 V to neutral.
/// - **Checked:** no published check was found.
pub fn leg_range(at: At, band: Band) -> Cited<Between<Voltage>> {
    let (low, high) = match (at, band) {
        (At::Service, Band::A) => (114.0, 126.0),
        (At::Service, Band::B) => (110.0, 127.0),
        (At::Use, Band::A) => (108.0, 126.0),
        (At::Use, Band::B) => (104.0, 127.0),
    };
    let cite = Cite::new("ANSI C84.1", "voltage ranges for 120/240 V", Standing::FromMemory);
    Cited::new(Between::new(low, high).map(Voltage::from_v), cite)
}
