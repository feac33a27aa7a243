//! What was built and proven at the new panel: the permit, breakers as they went in, torque, energising, readings,
//! and the card in the door.
//!
//! Spaces here are those of the new panel; the panels of the installation are the old ones.

use crate::breaker::Protection;
use crate::conductor::WireSize;
use crate::evidence::{Surface, TemperatureMethod};
use crate::id::{FactId, Slot, Space};
use crate::isolation::PairReading;
use crate::quantity::{Current, Length, Temperature, Torque, Voltage};
use crate::system::Leg;
use jiff::civil::{Date, DateTime};
use std::fmt;

/// A place in the new panel where a conductor is tightened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Terminal {
    /// Lug of a leg.
    Lug(Leg),
    /// Lug of the service neutral.
    NeutralLug,
    /// The bond between neutral and cabinet.
    Bond,
    /// Electrode conductor.
    Electrode,
    /// Terminal of the breaker pole in a space.
    Pole(Space),
    /// Neutral of the circuit whose first pole is in a space.
    Neutral(Space),
    /// Equipment ground of that circuit.
    Ground(Space),
}

impl fmt::Display for Terminal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Terminal::Lug(leg) => write!(f, "lug:{leg}"),
            Terminal::NeutralLug => f.write_str("neutral-lug"),
            Terminal::Bond => f.write_str("bond"),
            Terminal::Electrode => f.write_str("electrode"),
            Terminal::Pole(space) => write!(f, "pole:{space}"),
            Terminal::Neutral(space) => write!(f, "neutral:{space}"),
            Terminal::Ground(space) => write!(f, "ground:{space}"),
        }
    }
}

/// Where a torque value comes from. Without one there is no value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TorqueSource {
    /// A photo of the equipment's label, by its hash.
    Label(String),
    /// The maker's sheet: which, and where in it.
    Sheet(String),
}

/// A termination was tightened.
#[derive(Debug, Clone, PartialEq)]
pub struct Torqued {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who, by role or initials.
    pub by: Option<String>,
    /// Where.
    pub terminal: Terminal,
    /// The value to which the tool was set.
    pub value: Torque,
    /// Where the value comes from.
    pub source: TorqueSource,
    /// The tool, by the shop's own name.
    pub tool: String,
    /// Day of the tool's last calibration.
    pub calibrated: Date,
    /// Day on which its next one is due, where its certificate gives one.
    pub due: Option<Date>,
}

/// What an inspector flags, by where the work is to be mended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Flagged {
    /// Directory, labels, warnings.
    Labels,
    /// Electrodes, grounding and bonding.
    Grounding,
    /// Splices and the room they need.
    Splices,
    /// Working space, height, access.
    Clearance,
    /// Breakers and what they protect against.
    Protection,
    /// Conductors, their entry and support.
    Wiring,
    /// Something else, in words.
    Other,
}

impl Flagged {
    /// All of them.
    pub const ALL: [Flagged; 7] = [
        Flagged::Labels,
        Flagged::Grounding,
        Flagged::Splices,
        Flagged::Clearance,
        Flagged::Protection,
        Flagged::Wiring,
        Flagged::Other,
    ];
}

/// The permit as it was filed.
#[derive(Debug, Clone, PartialEq)]
pub struct Permit {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Number.
    pub number: String,
    /// Rating of the new panel as filed.
    pub rating: Option<Current>,
    /// Spaces of the new panel as filed.
    pub n_spaces: Option<u16>,
    /// Circuits as filed: rating of each by its spaces.
    pub circuits: Vec<(Vec<Space>, Current)>,
    /// Day on which the final inspection passed.
    pub passed: Option<Date>,
    /// Day on which an inspection did not pass.
    pub failed: Option<Date>,
    /// What the inspector flagged.
    pub flagged: Vec<Flagged>,
    /// Remarks.
    pub words: String,
}

/// A breaker as it went into the new panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Installed {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who, by role or initials.
    pub by: Option<String>,
    /// Its spaces, in order.
    pub spaces: Vec<Space>,
    /// Its rating.
    pub rating: Current,
    /// What it protects against.
    pub protection: Protection,
    /// Slots of the old panel that the circuit comes from; empty for a new circuit.
    pub from: Vec<Slot>,
    /// Size of its conductors, where it was looked at.
    pub size: Option<WireSize>,
    /// Was a conductor lengthened?
    pub spliced: bool,
    /// What it feeds, and what the next electrician should know.
    pub words: String,
}

/// How far the new panel is switched on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Supply at the line side of the main, the main open.
    Supply,
    /// The main closed, every branch open.
    Main,
    /// Branches closed.
    Branches,
}

impl Stage {
    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Stage::Supply => "supply",
            Stage::Main => "main",
            Stage::Branches => "branches",
        }
    }
}

/// A step of switching the new panel on, and what was read after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Energised {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who, by role or initials.
    pub by: Option<String>,
    /// How far.
    pub stage: Stage,
    /// Branches that were closed in this step; empty for the earlier stages.
    pub spaces: Vec<Space>,
    /// Voltages read after it.
    pub readings: Vec<PairReading>,
    /// Currents of the legs after it, in order of the legs.
    pub legs: Vec<(Leg, Current)>,
    /// The meter, by the shop's own name.
    pub meter: Option<String>,
}

/// A temperature at the new panel under load.
#[derive(Debug, Clone, PartialEq)]
pub struct Verified {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who, by role or initials.
    pub by: Option<String>,
    /// Where.
    pub terminal: Terminal,
    /// As displayed.
    pub value: Temperature,
    /// Room air.
    pub room: Option<Temperature>,
    /// Current through it.
    pub current: Option<Current>,
    /// How long that current had flowed, minutes.
    pub held_min: Option<f64>,
    /// What the surface is.
    pub surface: Surface,
    /// How it was taken.
    pub method: TemperatureMethod,
    /// The instrument, by the shop's own name.
    pub instrument: Option<String>,
}

/// Currents of two circuits that share a neutral, and of the neutral.
#[derive(Debug, Clone, PartialEq)]
pub struct NeutralRead {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who, by role or initials.
    pub by: Option<String>,
    /// Their spaces.
    pub spaces: [Space; 2],
    /// Their currents.
    pub hots: [Current; 2],
    /// Current of the neutral.
    pub neutral: Current,
    /// Voltage between the two hot conductors, where it was taken.
    pub between: Option<Voltage>,
}

/// How a protective device was tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Trial {
    /// Its own test button.
    Button,
    /// A tester at a receptacle of the circuit.
    Tester,
    /// Under the circuit's ordinary loads.
    Load,
    /// Insulation resistance, circuit dead.
    Insulation,
}

impl Trial {
    /// All of them.
    pub const ALL: [Trial; 4] = [Trial::Button, Trial::Tester, Trial::Load, Trial::Insulation];

    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Trial::Button => "button",
            Trial::Tester => "tester",
            Trial::Load => "load",
            Trial::Insulation => "insulation",
        }
    }
}

/// A protective device or circuit was tried.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who, by role or initials.
    pub by: Option<String>,
    /// First space of its breaker.
    pub space: Space,
    /// How.
    pub how: Trial,
    /// Did it do what it should?
    pub passed: bool,
    /// What was seen.
    pub words: String,
}

/// The directory card as it hangs in the door.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Width of the place for it.
    pub width: Option<Length>,
    /// Height of the place for it.
    pub height: Option<Length>,
    /// What it says of each breaker, by its first space.
    pub lines: Vec<(Space, String)>,
}

/// All of it, each list in order of time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Install {
    /// The permit; the last one counts.
    pub permits: Vec<Permit>,
    /// Breakers; of two in one space the later counts.
    pub installed: Vec<Installed>,
    /// Terminations.
    pub torqued: Vec<Torqued>,
    /// Steps of switching on.
    pub energised: Vec<Energised>,
    /// Temperatures.
    pub verified: Vec<Verified>,
    /// Shared neutrals.
    pub neutrals: Vec<NeutralRead>,
    /// Devices that were tried.
    pub tried: Vec<Tried>,
    /// The card; the last one counts.
    pub cards: Vec<Card>,
}

impl Install {
    /// Is nothing recorded of the new panel?
    pub fn is_empty(&self) -> bool {
        *self == Install::default()
    }

    /// The facts that hold it.
    pub fn facts(&self) -> impl Iterator<Item = &FactId> {
        let permits = self.permits.iter().map(|one| &one.fact);
        let installed = self.installed.iter().map(|one| &one.fact);
        let torqued = self.torqued.iter().map(|one| &one.fact);
        let energised = self.energised.iter().map(|one| &one.fact);
        let verified = self.verified.iter().map(|one| &one.fact);
        let neutrals = self.neutrals.iter().map(|one| &one.fact);
        let tried = self.tried.iter().map(|one| &one.fact);
        let cards = self.cards.iter().map(|one| &one.fact);
        let built = permits.chain(installed).chain(torqued).chain(energised);
        built.chain(verified).chain(neutrals).chain(tried).chain(cards)
    }

    /// Breakers that are in now, by their first space: of two in one space the later.
    pub fn breakers(&self) -> Vec<&Installed> {
        let mut kept: Vec<&Installed> = Vec::new();
        for one in self.installed.iter().rev() {
            let is_taken = |space: &Space| {
                kept.iter().any(|later| later.spaces.iter().any(|other| other.overlaps(*space)))
            };
            if !one.spaces.iter().any(is_taken) {
                kept.push(one);
            }
        }
        kept.sort_by_key(|one| one.spaces.first().copied());
        kept
    }

    /// The breaker with a pole in a space.
    pub fn breaker_at(&self, space: Space) -> Option<&Installed> {
        self.breakers().into_iter().find(|one| one.spaces.contains(&space))
    }
}
