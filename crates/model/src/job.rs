//! A job: one address, from the call to the look-back, as it stands after all its facts.

use crate::evidence::Observation;
use crate::id::{FactId, PanelId, Slot};
use crate::install::Install;
use crate::installation::Installation;
use crate::isolation::{HandleMove, Proof, SourceLook, UtilityCut};
use crate::joint::JointId;
use crate::load::LoadState;
use crate::plan::{Doubt, Interim, Kept, Promise};
use crate::premises::Premises;
use crate::replacement::Replacement;
use jiff::civil::{Date, DateTime};

/// What the caller complains of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ComplaintKind {
    /// A breaker opens.
    Trips,
    /// One circuit or more flickers.
    Flicker,
    /// Something is hot.
    Heat,
    /// A smell.
    Smell,
    /// Half of the house is dead or dim.
    HalfHouse,
    /// Some lights get brighter while others dim.
    DimBright,
    /// A buzz or crackle.
    Noise,
    /// Asked for by an insurer, a buyer or an owner without a symptom.
    Inspection,
}

impl ComplaintKind {
    /// All kinds.
    pub const ALL: [ComplaintKind; 8] = [
        ComplaintKind::Trips,
        ComplaintKind::Flicker,
        ComplaintKind::Heat,
        ComplaintKind::Smell,
        ComplaintKind::HalfHouse,
        ComplaintKind::DimBright,
        ComplaintKind::Noise,
        ComplaintKind::Inspection,
    ];

    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            ComplaintKind::Trips => "trips",
            ComplaintKind::Flicker => "flicker",
            ComplaintKind::Heat => "heat",
            ComplaintKind::Smell => "smell",
            ComplaintKind::HalfHouse => "half-house",
            ComplaintKind::DimBright => "dim-bright",
            ComplaintKind::Noise => "noise",
            ComplaintKind::Inspection => "inspection",
        }
    }
}

/// A complaint in the caller's words.
#[derive(Debug, Clone, PartialEq)]
pub struct Complaint {
    /// The fact that holds it.
    pub fact: FactId,
    /// What.
    pub kind: ComplaintKind,
    /// The circuit it is about, where it is about one.
    pub slot: Option<Slot>,
    /// When it was said.
    pub at: DateTime,
    /// The caller's words.
    pub words: String,
}

/// An answer of a call: which question, which of its answers, by their ids.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CallAnswer {
    /// Id of the question.
    pub question: String,
    /// Id of the answer.
    pub answer: String,
}

/// Notes of a telephone call: what the caller saw, heard and smelt.
#[derive(Debug, Clone, PartialEq)]
pub struct Call {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was.
    pub at: DateTime,
    /// What the caller answered.
    pub answers: Vec<CallAnswer>,
    /// What else the caller said, in the caller's words.
    pub words: String,
}

/// How far the panel was open during the visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Exposure {
    /// Dead front on: nothing live can be touched.
    CoverOn,
    /// Dead front off, parts live: a qualified person with protective gear only.
    CoverOff,
    /// Cut by the utility or isolated, and proven dead on all pairs.
    ProvenDead,
}

impl Exposure {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Exposure::CoverOn => "cover-on",
            Exposure::CoverOff => "cover-off",
            Exposure::ProvenDead => "proven-dead",
        }
    }
}

/// A photo, kept by its hash.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was taken.
    pub at: DateTime,
    /// SHA-256 of the file as lower-case hex.
    pub sha256: String,
    /// What it shows.
    pub words: String,
    /// The slot it shows, where it shows one.
    pub slot: Option<Slot>,
    /// Marks on it, in order of time.
    pub pins: Vec<Pin>,
}

/// A mark on a photo.
#[derive(Debug, Clone, PartialEq)]
pub struct Pin {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was set.
    pub at: DateTime,
    /// The slot it marks, where it marks one.
    pub slot: Option<Slot>,
    /// From the left edge of the upright picture, as a fraction of its width.
    pub x: f64,
    /// From the top edge of the upright picture, as a fraction of its height.
    pub y: f64,
    /// What is there.
    pub words: String,
}

/// Something decided, by whom and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Decision {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who decided, by role.
    pub by: Option<String>,
    /// What was decided, in the words of who decided.
    pub words: String,
    /// Was advice declined?
    pub declined: bool,
}

/// Work done.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// What was done.
    pub words: String,
    /// Slots it touched.
    pub slots: Vec<Slot>,
    /// Slots to which the circuit was moved. A move is always a stop-gap.
    pub moved_to: Vec<Slot>,
    /// For a stop-gap: the day it expires. A stop-gap without one cannot be recorded.
    pub expires: Option<Date>,
    /// For a stop-gap: the day on which it is looked at again. Only old records lack it.
    pub recheck: Option<Date>,
}

/// What was found at a joint when it was opened, proven dead.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Which joint.
    pub joint: JointId,
    /// What was found.
    pub found: Condition,
    /// In words.
    pub words: String,
}

/// Condition of a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Condition {
    /// As it should be.
    Sound,
    /// Higher resistance than new, not yet hot at rated load.
    Worn,
    /// Damaged by heat or arcing.
    Burnt,
}

impl Condition {
    /// All conditions.
    pub const ALL: [Condition; 3] = [Condition::Sound, Condition::Worn, Condition::Burnt];

    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Condition::Sound => "sound",
            Condition::Worn => "worn",
            Condition::Burnt => "burnt",
        }
    }
}

/// A job after the fold of its facts.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// Name of the job, unique in the shop.
    pub id: String,
    /// Invented, for the demo or a test?
    pub invented: bool,
    /// How the papers call the place, for example `14 Example Lane`.
    pub place: String,
    /// Town, as printed.
    pub town: String,
    /// How the papers address the owner.
    pub owner: String,
    /// Day the job was opened.
    pub opened: Date,
    /// The widest exposure that the record says was reached.
    pub exposure: Exposure,
    /// Panels in the record that are single, for short references.
    pub default_panel: Option<PanelId>,
    /// Telephone calls, in order of time.
    pub calls: Vec<Call>,
    /// Complaints, in order of time.
    pub complaints: Vec<Complaint>,
    /// What is wired there.
    pub installation: Installation,
    /// The adopted code, the dwelling, and what else the code book asks.
    pub premises: Premises,
    /// Load states, in order of time.
    pub load_states: Vec<LoadState>,
    /// Observations, in order of time.
    pub observations: Vec<Observation>,
    /// Photos.
    pub photos: Vec<Photo>,
    /// Decisions.
    pub decisions: Vec<Decision>,
    /// Work done.
    pub work: Vec<Work>,
    /// Openings.
    pub openings: Vec<Opening>,
    /// Handles that were moved, in order of time.
    pub handles: Vec<HandleMove>,
    /// What the utility cut and gave back, in order of time.
    pub cuts: Vec<UtilityCut>,
    /// Other sources that were looked for, in order of time.
    pub sources: Vec<SourceLook>,
    /// Proofs of absence of voltage, in order of time.
    pub proofs: Vec<Proof>,
    /// Plans until the replacement, in order of time; the last one counts.
    pub interims: Vec<Interim>,
    /// Promises, in order of time.
    pub promises: Vec<Promise>,
    /// What was done of what is due, in order of time.
    pub kept: Vec<Kept>,
    /// What was prepared for the replacement.
    pub replacement: Replacement,
    /// What was built and proven at the new panel.
    pub install: Install,
    /// Entries that could not be used and may speak against a dead part, in order of time.
    pub doubts: Vec<Doubt>,
}
