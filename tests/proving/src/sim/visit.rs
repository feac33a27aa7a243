//! What a technician writes down on one visit, in three stages of information.

use model::evidence::{Feel, Sign};
use model::job::ComplaintKind;

/// Stages of information; each holds all of the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Stage {
    /// Cover on: faces, touch, a few currents from appliance plates, signs, complaint.
    CoverOn,
    /// Cover off by a qualified person: clamp currents, terminals and lugs, discoloration.
    CoverOff,
    /// Millivolt drops of the six most suspect poles.
    Drops,
}

impl Stage {
    /// All stages in order.
    pub(crate) const ALL: [Stage; 3] = [Stage::CoverOn, Stage::CoverOff, Stage::Drops];

    /// Letter of the command line and of file names.
    pub(crate) const fn letter(self) -> char {
        match self {
            Stage::CoverOn => 'a',
            Stage::CoverOff => 'b',
            Stage::Drops => 'c',
        }
    }

    /// Words for tables.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Stage::CoverOn => "a, cover on",
            Stage::CoverOff => "b, cover off",
            Stage::Drops => "c, six drops",
        }
    }
}

/// A number for each pole of each panel, where there is one.
pub(crate) type ByPole = Vec<Vec<Option<f64>>>;

/// Readings of one load state.
#[derive(Debug, Clone)]
pub(crate) struct StateNotes {
    pub(crate) faces_c: ByPole,
    /// Currents told by appliance plates, A.
    pub(crate) plates_a: ByPole,
    /// Clamp readings, A.
    pub(crate) clamps_a: ByPole,
    /// Clamp on the service conductors of the first panel, A.
    pub(crate) line_a: Option<[f64; 2]>,
    /// Leg voltages of the first panel, V.
    pub(crate) legs_v: Option<[f64; 2]>,
    /// (panel, pole) known to carry nothing.
    pub(crate) unloaded: Vec<(usize, usize)>,
}

/// Where a sign was looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SignPlace {
    Pole { panel: usize, pole: usize },
    Lug { panel: usize, leg: usize },
    Neutral { panel: usize },
    Panel { panel: usize },
}

/// A sign, looked for.
#[derive(Debug, Clone)]
pub(crate) struct SignNote {
    pub(crate) stage: Stage,
    pub(crate) sign: Sign,
    pub(crate) place: SignPlace,
    pub(crate) seen: bool,
}

/// A touch in the last state.
#[derive(Debug, Clone)]
pub(crate) struct TouchNote {
    pub(crate) panel: usize,
    pub(crate) pole: usize,
    pub(crate) feel: Feel,
    pub(crate) void: bool,
}

/// From where a drop was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DropFrom {
    /// Load terminal of an unloaded breaker on the same leg and section.
    Tap(usize),
    /// The line lug of the leg.
    Lug,
}

/// A drop in the last state.
#[derive(Debug, Clone)]
pub(crate) struct DropNote {
    pub(crate) panel: usize,
    pub(crate) pole: usize,
    pub(crate) from: DropFrom,
    pub(crate) mv: f64,
    pub(crate) amps: f64,
}

/// What the caller complained of.
#[derive(Debug, Clone)]
pub(crate) struct ComplaintNote {
    pub(crate) kind: ComplaintKind,
    pub(crate) pole: Option<(usize, usize)>,
}

/// The whole record of a visit.
#[derive(Debug, Clone)]
pub(crate) struct Visit {
    pub(crate) room_c: f64,
    pub(crate) states: Vec<StateNotes>,
    /// At load terminals, cover off, loads of the last state, °C.
    pub(crate) terminals_c: ByPole,
    /// At the lugs of the first panel, °C.
    pub(crate) lugs_c: Option<[f64; 2]>,
    pub(crate) touches: Vec<TouchNote>,
    pub(crate) signs: Vec<SignNote>,
    pub(crate) drops: Vec<DropNote>,
    pub(crate) complaint: ComplaintNote,
    /// Has anybody read the panel's list, so that other makes are known?
    pub(crate) list_read: bool,
    /// Was the bus metal seen?
    pub(crate) bus_seen: bool,
}

impl Visit {
    /// The current that the record gives for a pole in a state at a stage, A.
    pub(crate) fn amps(&self, stage: Stage, state: usize, panel: usize, pole: usize) -> Option<f64> {
        let notes = &self.states[state];
        let clamped = if stage == Stage::CoverOn { None } else { notes.clamps_a[panel][pole] };
        clamped
            .or_else(|| notes.unloaded.contains(&(panel, pole)).then_some(0.0))
            .or(notes.plates_a[panel][pole])
    }

    /// The last state: the loads of the readings at the cover-off stages.
    pub(crate) fn last(&self) -> usize {
        self.states.len() - 1
    }
}
