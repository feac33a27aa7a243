//! A voltage across one joint, and the readings that are none.

use crate::range::{OutOfRange, within};
use model::{Current, Resistance, Voltage};

/// What lay between the two probes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Path {
    /// One joint with some solid metal on either side.
    OneJoint,
    /// A whole breaker pole: its contacts, bimetal and coil besides the joints.
    WholePole,
}

/// Why a voltage is not turned into a temperature.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// The drop goes through a breaker.
    #[error(
        "the drop goes through a whole breaker pole, whose contacts, bimetal and coil make most of it: it says \
         nothing about the temperature of a joint"
    )]
    WholePole,
    /// Too much voltage for metal on metal.
    #[error(
        "{rms_v} V rms across one joint is at or above {LIMIT_RMS_V} V: no metal-to-metal joint holds that; it \
         is a film, a glow or an arc, and the voltage–temperature relation does not apply"
    )]
    NotMetallic {
        /// The voltage, V rms.
        rms_v: f64,
    },
    /// The bulk metal alone makes as much as was read.
    #[error(
        "the metal between the probes alone drops {bulk_mv} mV, and {rms_mv} mV were read: nothing is left for the joint"
    )]
    AllBulk {
        /// Drop in the metal, mV.
        bulk_mv: f64,
        /// Reading, mV.
        rms_mv: f64,
    },
    /// Outside a range.
    #[error(transparent)]
    Range(#[from] OutOfRange),
}

impl Refusal {
    /// What to do next.
    pub const fn hint(&self) -> &'static str {
        match self {
            Refusal::WholePole => "put both probes on metal on either side of one joint",
            Refusal::NotMetallic { .. } => "treat the joint as burning: take the load off it",
            Refusal::AllBulk { .. } => "put the probes closer to the joint, or read at a higher current",
            Refusal::Range(_) => "check the reading and its unit",
        }
    }
}

/// Steady voltage at and above which a joint is no metallic contact, V rms.
///
/// Derived: above the melting voltage of copper (0.43 V printed from memory, 0.41 V computed); oxide bridges
/// glow at about 2 to 6 V, arcs need 12 V and more.
pub const LIMIT_RMS_V: f64 = 0.45;

/// Steady voltage across one metallic joint.
///
/// A value of this type can only be made from a drop across one joint that is below [`LIMIT_RMS_V`], so neither
/// a pole's drop nor a glow can reach the voltage–temperature relation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointDrop {
    rms_v: f64,
    bulk_subtracted: bool,
}

impl JointDrop {
    /// From a reading between two probes, with the metal between them still in it: the temperatures that follow
    /// are upper bounds.
    pub fn between_probes(path: Path, rms: Voltage) -> Result<Self, Refusal> {
        Self::checked(path, rms, None)
    }

    /// From a reading and the drop of the solid metal between the probes.
    pub fn less_bulk(path: Path, rms: Voltage, bulk: Voltage) -> Result<Self, Refusal> {
        Self::checked(path, rms, Some(bulk))
    }

    /// From a joint's resistance and current, as a network gives them.
    pub fn across(resistance: Resistance, current: Current) -> Result<Self, Refusal> {
        Self::checked(
            Path::OneJoint,
            Voltage::from_v(resistance.ohm() * current.a()),
            Some(Voltage::from_v(0.0)),
        )
    }

    fn checked(path: Path, rms: Voltage, bulk: Option<Voltage>) -> Result<Self, Refusal> {
        if path == Path::WholePole {
            return Err(Refusal::WholePole);
        }
        let reading_v = within("drop", rms.v(), "V", (0.0, 600.0), "a dwelling's supply")?;
        let bulk_v =
            within("bulk drop", bulk.map_or(0.0, Voltage::v), "V", (0.0, 600.0), "a dwelling's supply")?;
        if reading_v < bulk_v {
            return Err(Refusal::AllBulk { bulk_mv: bulk_v * 1e3, rms_mv: reading_v * 1e3 });
        }
        let rms_v = reading_v - bulk_v;
        if LIMIT_RMS_V <= rms_v {
            return Err(Refusal::NotMetallic { rms_v });
        }
        Ok(JointDrop { rms_v, bulk_subtracted: bulk.is_some() })
    }

    /// The voltage, rms.
    pub const fn rms(self) -> Voltage {
        Voltage::from_v(self.rms_v)
    }

    /// Was the drop of the solid metal taken off? If not, temperatures from it are upper bounds.
    pub const fn is_bulk_subtracted(self) -> bool {
        self.bulk_subtracted
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_healthy_poles_drop_is_no_joint_drop() {
        // 15 A through the 35 mΩ of a sound pole.
        let pole = Voltage::from_v(0.525);
        assert_eq!(JointDrop::between_probes(Path::WholePole, pole), Err(Refusal::WholePole));
        assert!(matches!(JointDrop::between_probes(Path::OneJoint, pole), Err(Refusal::NotMetallic { .. })));
    }

    #[test]
    fn the_limit_itself_is_refused() {
        let at = |v| JointDrop::between_probes(Path::OneJoint, Voltage::from_v(v));
        assert!(at(LIMIT_RMS_V).is_err() && at(0.449).is_ok() && at(f64::NAN).is_err() && at(-0.1).is_err());
    }

    #[test]
    fn bulk_is_taken_off() {
        let drop =
            JointDrop::less_bulk(Path::OneJoint, Voltage::from_mv(50.0), Voltage::from_mv(20.0)).unwrap();
        assert!((drop.rms().mv() - 30.0).abs() < 1e-9 && drop.is_bulk_subtracted());
        let all = JointDrop::less_bulk(Path::OneJoint, Voltage::from_mv(10.0), Voltage::from_mv(20.0));
        assert!(matches!(all, Err(Refusal::AllBulk { .. })));
    }
}
