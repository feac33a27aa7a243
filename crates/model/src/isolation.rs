//! What hand movements cut off, what stays live, and what must be proven before a part counts as dead.

use crate::cite::Note;
use crate::id::{FactId, PanelId, SectionId, Slot};
use crate::quantity::Voltage;
use crate::system::Leg;
use jiff::civil::DateTime;

/// A part of the installation that is live or not as a whole, on all its legs.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// Service conductors and line lugs of a panel.
    LineLugs(PanelId),
    /// Bus bars of a section, with every stab and the line side of every breaker on it.
    Bus(PanelId, SectionId),
    /// Load side of the breaker whose first pole is in this slot: its terminals and all that they feed, up to the next
    /// bus.
    Branch(Slot),
}

/// Something that a hand can open.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Disconnect {
    /// Main breaker of a section.
    Main(PanelId, SectionId),
    /// The breaker whose first pole is in this slot.
    Breaker(Slot),
}

/// What is to be cut off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum IsolationGoal {
    /// Everything that hands can cut off.
    Everything,
    /// One part.
    Part(Part),
}

/// One movement of a hand and what it does, by the record of how the panel is fed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Movement {
    /// What is opened.
    pub opens: Disconnect,
    /// As a person would say it: `breaker 9/11, lower section`.
    pub label: String,
    /// Parts that this movement cuts off. Cut off is a claim, not a proof.
    pub cuts: Vec<Part>,
    /// Parts that are still live after it.
    pub still_live: Vec<Part>,
    /// What to mind, for example a shared neutral.
    pub mind: Vec<String>,
}

/// A source that must be ruled out or cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceQuestion {
    /// What to look for: `a second meter`.
    pub source: String,
    /// How to look, in one sentence.
    pub look: String,
    /// What the record says of it, where it says anything.
    pub recorded: Option<String>,
    /// The breaker it feeds back through, where that is known.
    pub through: Option<Slot>,
}

/// Two points between which absence of voltage is proven.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ProofPoint {
    /// A leg.
    Leg(Leg),
    /// The neutral bar.
    Neutral,
    /// The grounded metal of the cabinet.
    Ground,
}

/// What must be proven at one part before it counts as dead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProofDuty {
    /// The part.
    pub part: Part,
    /// Where to put the probes, in words.
    pub at: String,
    /// All pairs, in order.
    pub pairs: Vec<(ProofPoint, ProofPoint)>,
}

/// How to cut a part off, what stays live, and what must be proven.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IsolationPlan {
    /// What is to be cut off.
    pub goal: IsolationGoal,
    /// Can hands do it, as far as the record tells?
    pub by_hand: bool,
    /// Movements, in the order to make them; the fewest that do it. Where hands cannot do it: those that take the
    /// load off before the utility cuts.
    pub movements: Vec<Movement>,
    /// Why the utility has to cut, where it has to.
    pub utility: Option<String>,
    /// Parts that are live after the last movement, whatever the handles say.
    pub stays_live: Vec<Part>,
    /// Sources to rule out. Not ruled out means live.
    pub sources: Vec<SourceQuestion>,
    /// What must be proven, live–dead–live, before any step that needs the part dead.
    pub proofs: Vec<ProofDuty>,
    /// Remarks, the rule on the number of movements among them.
    pub notes: Vec<Note>,
    /// Cautions; they go on every screen and paper that shows the plan.
    pub cautions: Vec<String>,
}

/// A pair of points with what the tester showed between them.
#[derive(Debug, Clone, PartialEq)]
pub struct PairReading {
    /// The points, the first in order first.
    pub pair: (ProofPoint, ProofPoint),
    /// As displayed.
    pub value: Voltage,
}

/// A proof of absence of voltage as it was taken, whole or not.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who, by role or initials.
    pub by: Option<String>,
    /// The part.
    pub part: Part,
    /// The tester, by the shop's own name.
    pub tester: String,
    /// What the tester showed on a known live source before; `None` where it was not tried.
    pub live_before: Option<Voltage>,
    /// The same after.
    pub live_after: Option<Voltage>,
    /// What it showed at the part, pair by pair.
    pub readings: Vec<PairReading>,
}

/// Another source that was looked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceLook {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// What was looked for: `a generator`.
    pub source: String,
    /// Is there one?
    pub found: bool,
    /// Is it shut down and cut off?
    pub is_cut: bool,
    /// How it was looked for, or how it was cut.
    pub looked: String,
}

/// The utility cut the supply, or gave it back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UtilityCut {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Is it cut from then on?
    pub is_cut: bool,
    /// By whom and how, in words.
    pub words: String,
}

/// Where a handle was moved to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MovedTo {
    /// Closed.
    On,
    /// Opened.
    Off,
}

/// A handle was moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandleMove {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Which.
    pub what: Disconnect,
    /// Where to.
    pub to: MovedTo,
}

/// Does a part count as dead now?
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PartState {
    /// Cut off by the record, every other source ruled out or cut, and proven since.
    ProvenDead {
        /// The proof.
        proof: FactId,
    },
    /// It counts as live.
    NotProven {
        /// What is missing, in plain sentences; never empty.
        missing: Vec<String>,
    },
    /// Voltage or current was found where there should be none.
    Contradicted {
        /// What was found, and what it means.
        sentence: String,
        /// The fact that found it.
        by: FactId,
    },
}

/// A part, and whether it counts as dead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartGate {
    /// The part.
    pub part: Part,
    /// Is it cut off by the handles, the utility's cut and the sources on record? A claim, not a proof.
    pub claimed_cut: bool,
    /// Does it count as dead?
    pub state: PartState,
}

/// Which parts count as dead. Unknown means live.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Gate {
    /// Every part of the installation, in order.
    pub parts: Vec<PartGate>,
    /// What contradicts the record, where something does: then nothing counts as dead.
    pub stop: Option<String>,
}

impl Gate {
    /// The part's entry.
    pub fn part(&self, part: &Part) -> Option<&PartGate> {
        self.parts.iter().find(|entry| entry.part == *part)
    }

    /// Does the part count as dead?
    pub fn is_dead(&self, part: &Part) -> bool {
        self.part(part).is_some_and(|entry| matches!(entry.state, PartState::ProvenDead { .. }))
    }
}
