//! Supply systems and their legs.

use std::fmt;

/// One ungrounded conductor of the supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Leg {
    /// First leg.
    A,
    /// Second leg.
    B,
    /// Third leg, of three-phase panels only.
    C,
}

impl fmt::Display for Leg {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Leg::A => "A",
            Leg::B => "B",
            Leg::C => "C",
        })
    }
}

/// The supply system of a panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum System {
    /// 120/240 V, two legs in opposition around a grounded neutral.
    SplitPhase,
    /// Two legs and the neutral of a 208Y/120 V system.
    TwoLegsOfWye,
    /// 208Y/120 V, three legs and a neutral.
    ThreePhaseWye,
}

impl System {
    /// The legs, in order of the bus.
    pub const fn legs(self) -> &'static [Leg] {
        match self {
            System::SplitPhase | System::TwoLegsOfWye => &[Leg::A, Leg::B],
            System::ThreePhaseWye => &[Leg::A, Leg::B, Leg::C],
        }
    }

    /// Nominal voltage from a leg to neutral, volts.
    pub const fn leg_to_neutral_v(self) -> f64 {
        120.0
    }

    /// Nominal voltage between two different legs, volts.
    pub const fn leg_to_leg_v(self) -> f64 {
        match self {
            System::SplitPhase => 240.0,
            System::TwoLegsOfWye | System::ThreePhaseWye => 208.0,
        }
    }

    /// Phase angle of a leg's voltage to neutral, degrees.
    pub const fn angle_deg(self, leg: Leg) -> f64 {
        match (self, leg) {
            (_, Leg::A) => 0.0,
            (System::SplitPhase, Leg::B | Leg::C) => 180.0,
            (_, Leg::B) => -120.0,
            (_, Leg::C) => 120.0,
        }
    }

    /// As printed on papers.
    pub const fn label(self) -> &'static str {
        match self {
            System::SplitPhase => "120/240 V, single phase, three wire",
            System::TwoLegsOfWye => "120/208 V, two legs of a wye, three wire",
            System::ThreePhaseWye => "208Y/120 V, three phase, four wire",
        }
    }
}
