//! The invented house as the simulator knows it: panels, breakers, and the truth of every joint.

use model::breaker::LoadClass;
use model::job::Condition;
use model::panel::Mounting;
use model::{JointKind, Leg, Space};

/// Metal of a bus or a branch wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Metal {
    Copper,
    Aluminium,
}

/// A joint and its truth.
#[derive(Debug, Clone)]
pub(crate) struct TrueJoint {
    /// Text of the joint's identity in a judgement, for example `main:stab:5`.
    pub(crate) id: String,
    /// Kind.
    pub(crate) kind: JointKind,
    /// Condition.
    pub(crate) condition: Condition,
    /// Resistance at 20 °C, milliohms.
    pub(crate) mohm: f64,
}

/// What feeds a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SimFeed {
    Lugs,
    Main {
        rating_a: f64,
    },
    /// A breaker of a panel of this house.
    Breaker {
        panel: usize,
        breaker: usize,
    },
}

/// A bus section. Joints by leg.
#[derive(Debug, Clone)]
pub(crate) struct SimSection {
    pub(crate) id: &'static str,
    pub(crate) first_row: u16,
    pub(crate) last_row: u16,
    pub(crate) feed: SimFeed,
    /// Line lugs by leg, where the service feeds it.
    pub(crate) lugs: Option<[TrueJoint; 2]>,
    /// Feeder joints by leg, where a breaker feeds it.
    pub(crate) feeders: Option<[TrueJoint; 2]>,
}

/// One pole.
#[derive(Debug, Clone)]
pub(crate) struct SimPole {
    pub(crate) breaker: usize,
    pub(crate) space: Space,
    pub(crate) row: u16,
    /// 0 left, 1 right.
    pub(crate) column: usize,
    /// 0 leg A, 1 leg B.
    pub(crate) leg: usize,
    pub(crate) section: usize,
    pub(crate) stab: TrueJoint,
    pub(crate) terminal: Option<TrueJoint>,
    /// Pole resistance at 20 °C, milliohms.
    pub(crate) pole_mohm: f64,
    /// Multipliers of this pole's thermal couplings: to the jaw, to air, to neighbours, to the wire.
    pub(crate) coupling: [f64; 4],
}

/// One breaker.
#[derive(Debug, Clone)]
pub(crate) struct SimBreaker {
    pub(crate) spaces: Vec<Space>,
    pub(crate) rating_a: f64,
    pub(crate) arc_fault: bool,
    /// Heat of its electronics, watts.
    pub(crate) electronics_w: f64,
    pub(crate) other_make: bool,
    pub(crate) later: bool,
    pub(crate) off: bool,
    pub(crate) class: LoadClass,
    pub(crate) feeds: &'static str,
    pub(crate) partner: Option<Space>,
    pub(crate) wire_awg: u8,
    pub(crate) wire: Metal,
    pub(crate) uses_neutral: bool,
    pub(crate) neutral: Option<TrueJoint>,
}

impl SimBreaker {
    /// A spare or the feed of a section has no branch circuit.
    pub(crate) fn is_spare(&self) -> bool {
        self.class == LoadClass::Spare
    }
}

/// The steel box.
#[derive(Debug, Clone)]
pub(crate) struct SimCabinet {
    pub(crate) width_m: f64,
    pub(crate) height_m: f64,
    pub(crate) depth_m: f64,
    pub(crate) mounting: Mounting,
    /// A door that stays shut over the faces between readings.
    pub(crate) door: bool,
    /// Sun absorbed on side or front, W.
    pub(crate) sun_w: f64,
    /// Air zones, bottom to top.
    pub(crate) n_zones: usize,
}

/// One panel.
#[derive(Debug, Clone)]
pub(crate) struct SimPanel {
    pub(crate) id: &'static str,
    pub(crate) n_spaces: u16,
    pub(crate) bus: Metal,
    pub(crate) bus_rating_a: f64,
    pub(crate) first_leg: usize,
    pub(crate) half_width: bool,
    pub(crate) moisture: bool,
    pub(crate) cabinet: SimCabinet,
    pub(crate) sections: Vec<SimSection>,
    pub(crate) breakers: Vec<SimBreaker>,
    pub(crate) poles: Vec<SimPole>,
    pub(crate) neutral_lug: TrueJoint,
}

impl SimPanel {
    /// Leg of a row, 0 or 1.
    pub(crate) fn leg_of_row(&self, row: u16) -> usize {
        (self.first_leg + usize::from(row)) % 2
    }

    pub(crate) fn section_of_row(&self, row: u16) -> usize {
        self.sections
            .iter()
            .position(|section| section.first_row <= row && row <= section.last_row)
            .unwrap_or(0)
    }

    /// Poles of a breaker, in order.
    pub(crate) fn poles_of(&self, breaker: usize) -> impl Iterator<Item = (usize, &SimPole)> {
        self.poles.iter().enumerate().filter(move |(_, pole)| pole.breaker == breaker)
    }

    /// Every joint.
    pub(crate) fn joints(&self) -> impl Iterator<Item = &TrueJoint> {
        self.sections
            .iter()
            .flat_map(|section| section.lugs.iter().chain(&section.feeders).flatten())
            .chain(self.poles.iter().flat_map(|pole| [Some(&pole.stab), pole.terminal.as_ref()]).flatten())
            .chain(self.breakers.iter().filter_map(|breaker| breaker.neutral.as_ref()))
            .chain([&self.neutral_lug])
    }
}

/// Kinds of arrangement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Arrangement {
    MainBreaker,
    MainLugs,
    SplitBus,
    SubPanel,
}

impl Arrangement {
    /// Word for tables.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Arrangement::MainBreaker => "main-breaker",
            Arrangement::MainLugs => "main-lugs",
            Arrangement::SplitBus => "split-bus",
            Arrangement::SubPanel => "sub-panel",
        }
    }
}

/// The house.
#[derive(Debug, Clone)]
pub(crate) struct House {
    pub(crate) name: String,
    pub(crate) arrangement: Arrangement,
    pub(crate) panels: Vec<SimPanel>,
    pub(crate) garage: bool,
    pub(crate) room_c: f64,
    /// Resistance of the supply before the lugs: leg A, leg B, neutral, ohms.
    pub(crate) supply_ohm: [f64; 3],
}

impl House {
    pub(crate) fn joints(&self) -> impl Iterator<Item = &TrueJoint> {
        self.panels.iter().flat_map(SimPanel::joints)
    }
}

/// Leg of an index.
pub(crate) const fn leg_word(leg: usize) -> Leg {
    if leg == 0 { Leg::A } else { Leg::B }
}
