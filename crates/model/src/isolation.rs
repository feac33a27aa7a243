//! What hand movements cut off, what stays live, and what must be proven before a part counts as dead.

use crate::cite::Note;
use crate::id::{PanelId, SectionId, Slot};
use crate::system::Leg;

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
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
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
