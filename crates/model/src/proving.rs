//! Results about the new panel: the order of switching on, the torque log, what the readings say, what does not
//! agree, and how the panel stands now.

use crate::id::{FactId, Space};
use crate::install::{Stage, Terminal};
use crate::isolation::ProofPoint;
use crate::quantity::{Current, Temperature, Voltage};
use crate::system::Leg;
use crate::working::Working;
use jiff::civil::{Date, DateTime};

/// A voltage that must be read before anything is closed.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingNeed {
    /// At which stage.
    pub stage: Stage,
    /// Between which points.
    pub pair: (ProofPoint, ProofPoint),
    /// Lowest that is plausible.
    pub low: Voltage,
    /// Highest that is plausible.
    pub high: Voltage,
    /// What was read, where it was.
    pub shown: Option<Voltage>,
}

impl ReadingNeed {
    /// Is it in and plausible?
    pub fn is_met(&self) -> bool {
        self.shown.is_some_and(|shown| self.low <= shown && shown <= self.high)
    }
}

/// A branch in the order of switching on.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// Its spaces in the new panel.
    pub spaces: Vec<Space>,
    /// Legs of its poles.
    pub legs: Vec<Leg>,
    /// Rating of its breaker.
    pub rating: Current,
    /// What it feeds.
    pub words: String,
    /// Current that was clamped on it before, the largest; `None` where none was.
    pub known: Option<Current>,
}

/// Branches that are closed one after the other before the legs are read again.
#[derive(Debug, Clone, PartialEq)]
pub struct BranchBlock {
    /// The branches, in order.
    pub branches: Vec<Branch>,
    /// What the legs should carry after it at most, if all ran as they were clamped.
    pub legs: Vec<(Leg, Current)>,
}

/// A block that was closed.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockClosed {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// First spaces of its branches.
    pub spaces: Vec<Space>,
    /// Currents of the legs after it.
    pub legs: Vec<(Leg, Current)>,
    /// What is wrong with it, in plain sentences.
    pub faults: Vec<String>,
}

/// The order of switching on, as far as it may go now.
#[derive(Debug, Clone, PartialEq)]
pub struct SwitchingOn {
    /// Readings that come before any branch.
    pub readings: Vec<ReadingNeed>,
    /// Why no branch may be closed yet; empty where one may.
    pub shut: Vec<String>,
    /// Blocks that were closed.
    pub closed: Vec<BlockClosed>,
    /// The block that is next; `None` while shut, and when all are closed.
    pub next: Option<BranchBlock>,
    /// Blocks after it; empty while shut.
    pub later: Vec<BranchBlock>,
    /// Branches that are still open.
    pub n_open: usize,
    /// Where the limits come from, and what was assumed.
    pub notes: Vec<String>,
    /// Cautions; they go on every screen and paper that shows the order.
    pub cautions: Vec<String>,
}

/// A line of the torque log.
#[derive(Debug, Clone, PartialEq)]
pub struct TorqueLine {
    /// Where.
    pub terminal: Terminal,
    /// What that is, in words.
    pub words: String,
    /// The fact that counts; `None` where it was not tightened on record.
    pub fact: Option<FactId>,
    /// When.
    pub at: Option<DateTime>,
    /// Value with its unit and its source.
    pub value: String,
    /// Tool with the day of its calibration.
    pub tool: String,
    /// Who.
    pub by: String,
    /// What is wrong with it; empty where nothing is.
    pub faults: Vec<String>,
}

/// The torque log.
#[derive(Debug, Clone, PartialEq)]
pub struct TorqueLog {
    /// Every termination that the panel should have, and every other that was tightened.
    pub lines: Vec<TorqueLine>,
    /// Terminations without an entry.
    pub n_missing: usize,
    /// Entries with a fault.
    pub n_faulty: usize,
    /// Where the limits come from.
    pub notes: Vec<String>,
}

/// What a clamp on a shared neutral says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NeutralSays {
    /// It carries the difference: the hots are on different legs.
    Difference,
    /// It carries the sum: both hots are on one leg.
    Sum,
    /// Neither: another circuit shares it, or a reading is wrong.
    Neither,
    /// The currents are such that both would show alike.
    CannotTell,
}

/// A shared neutral, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct NeutralVerdict {
    /// The fact that holds the reading.
    pub fact: FactId,
    /// Their spaces.
    pub spaces: [Space; 2],
    /// What it says.
    pub says: NeutralSays,
    /// What it should carry on different legs, lowest and highest.
    pub expected: [Current; 2],
    /// What both on one leg would give, lowest and highest.
    pub if_one_leg: [Current; 2],
    /// What the neutral carried.
    pub shown: Current,
    /// In a sentence, with what to do.
    pub sentence: String,
    /// How it came about.
    pub working: Working,
}

/// A first reading held against one of the new panel at equal load.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldAgainst {
    /// The fact of the new reading.
    pub fact: FactId,
    /// Where.
    pub terminal: Terminal,
    /// What it feeds.
    pub words: String,
    /// The reading itself, and the current.
    pub now: String,
    /// The first reading and its current, where there is one.
    pub first: Option<String>,
    /// What came of it.
    pub outcome: Outcome,
}

/// What a comparison gives.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Comparable.
    Comparable {
        /// Rise of the old joint at the new current, lowest and highest, kelvins.
        first_rise_k: [f64; 2],
        /// Rise now, lowest and highest, kelvins.
        rise_k: [f64; 2],
        /// In a sentence.
        sentence: String,
        /// How it came about.
        working: Box<Working>,
    },
    /// Not comparable, and why; never empty.
    NotComparable(Vec<String>),
}

/// Rise over the room, a plain difference of temperatures.
pub fn rise_k(value: Temperature, room: Temperature) -> f64 {
    value.k() - room.k()
}

/// Something that does not agree between permit, plan, panel and card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mismatch {
    /// What it is about: a space, or the panel.
    pub subject: String,
    /// What differs, in one sentence with both sides.
    pub sentence: String,
    /// How to mend it.
    pub mend: String,
}

/// A line of the directory card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardLine {
    /// Its spaces, as printed.
    pub spaces: String,
    /// First space.
    pub first: Space,
    /// Rating as printed.
    pub rating: String,
    /// What it says.
    pub words: String,
    /// What is wrong with the words; empty where nothing is.
    pub faults: Vec<String>,
}

/// How one breaker of the new panel stands now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BreakerNow {
    /// Its spaces, as printed.
    pub spaces: String,
    /// What it feeds.
    pub words: String,
    /// Rating and protection.
    pub what: String,
    /// Was it closed on record? Never a proof.
    pub is_on: bool,
    /// What is done and what is missing there.
    pub missing: Vec<String>,
}

/// The state of the panel now, for somebody who was not there.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelNow {
    /// Time of the last entry that counted, where there is one.
    pub last_entry: Option<DateTime>,
    /// Is the supply on, by the last word on record? In one sentence.
    pub supply: String,
    /// Each breaker.
    pub breakers: Vec<BreakerNow>,
    /// What is left to do, in order.
    pub left: Vec<String>,
    /// What does not agree.
    pub mismatches: Vec<Mismatch>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// When the look-back is due, and what to bring.
#[derive(Debug, Clone, PartialEq)]
pub struct LookBack {
    /// Day on which it is due, where the work has a day.
    pub due: Option<Date>,
    /// Readings to repeat: place, first value and load.
    pub again: Vec<(String, String)>,
    /// What to look at.
    pub look: Vec<String>,
}
