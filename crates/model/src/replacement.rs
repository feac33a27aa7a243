//! The replacement as it is prepared: the circuits as surveyed, the surprises asked for, the layout that was chosen.

use crate::breaker::{LoadClass, Protection};
use crate::conductor::Conductor;
use crate::id::{FactId, PanelId, Slot, Space};
use crate::offer::{Outage, Quote, Tick, Used};
use crate::panel::{Cabinet, HalfWidth};
use crate::quantity::Current;
use crate::system::Leg;
use jiff::civil::DateTime;

/// What was recorded for the replacement. Of several entries about one thing the last one counts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Replacement {
    /// Circuits as surveyed, in order of time.
    pub circuits: Vec<SurveyedCircuit>,
    /// Answers to the list of surprises, in order of time.
    pub surprises: Vec<SurpriseAnswer>,
    /// Layouts that were chosen, in order of time.
    pub arrangements: Vec<Arrangement>,
    /// Quotes as they were given, in order of time.
    pub quotes: Vec<Quote>,
    /// The day as it was booked, in order of time; the last one counts.
    pub outages: Vec<Outage>,
    /// Steps begun and done, in order of time.
    pub ticks: Vec<Tick>,
    /// Parts used, in order of time.
    pub used: Vec<Used>,
}

impl Replacement {
    /// The survey of the circuit whose breaker has its first pole in this slot.
    pub fn circuit(&self, slot: &Slot) -> Option<&SurveyedCircuit> {
        self.circuits.iter().rev().find(|circuit| circuit.slot == *slot)
    }

    /// The answer to a question of the list, for one circuit or for the job. `None`: never asked.
    pub fn answer(&self, question: &str, slot: Option<&Slot>) -> Option<&SurpriseAnswer> {
        self.surprises.iter().rev().find(|answer| answer.question == question && answer.slot.as_ref() == slot)
    }

    /// The layout that was chosen last for the circuits of a panel.
    pub fn arrangement(&self, panel: &PanelId) -> Option<&Arrangement> {
        self.arrangements.iter().rev().find(|chosen| chosen.panel == *panel)
    }
}

/// A circuit as it was surveyed before the replacement. What was not looked at is `None` or empty: not known.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyedCircuit {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was surveyed.
    pub at: DateTime,
    /// Who surveyed it, by role or initials.
    pub by: Option<String>,
    /// First pole of its breaker in the old panel.
    pub slot: Slot,
    /// Number or name on its tag.
    pub name: String,
    /// Poles that it needs.
    pub poles: Option<u8>,
    /// Rating that it needs in the new panel.
    pub rating: Option<Current>,
    /// What it feeds.
    pub feeds: String,
    /// In which room.
    pub room: String,
    /// Rough class of the load.
    pub class: Option<LoadClass>,
    /// Its conductor: size, metal, side of entry, free length.
    pub conductor: Conductor,
    /// Is it half of a multiwire circuit?
    pub multiwire: Option<bool>,
    /// The space of the pole that shares its neutral.
    pub partner: Option<Space>,
    /// Does it use the neutral?
    pub uses_neutral: Option<bool>,
    /// Does its cable bring an equipment ground?
    pub grounded: Option<bool>,
    /// Protection that it has now.
    pub protection: Option<Protection>,
    /// Protection that it gets with the new panel.
    pub protection_after: Option<Protection>,
    /// Does it run for three hours or more?
    pub continuous: Option<bool>,
    /// Is it a motor?
    pub motor: Option<bool>,
    /// Circuits of one group stay next to each other for the owner's sake.
    pub together: String,
    /// Remarks.
    pub words: String,
}

/// Answer to a question of the list of surprises.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Found {
    /// It is so.
    Yes,
    /// It was looked for and is not so.
    No,
    /// Nobody knows before the day.
    Unknown,
}

/// How the price carries what is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Carry {
    /// By an allowance from how often it comes and what it costs.
    Allowance,
    /// Not at all: it is named among the exclusions.
    Exclusion,
}

/// What was answered to one question of the list of surprises.
#[derive(Debug, Clone, PartialEq)]
pub struct SurpriseAnswer {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who, by role or initials.
    pub by: Option<String>,
    /// Id of the question.
    pub question: String,
    /// First pole of the circuit it is about; `None`: the whole job.
    pub slot: Option<Slot>,
    /// The answer.
    pub found: Found,
    /// How the price carries it while it is not known; `None`: as the list proposes.
    pub carry: Option<Carry>,
    /// What it cost, where it came.
    pub cost: SurpriseCost,
    /// What was seen.
    pub words: String,
}

/// What a surprise cost beyond the work as it was planned. What nobody wrote down is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SurpriseCost {
    /// Hours of all people together.
    pub hours: Option<f64>,
    /// Parts and others, whole US dollars, without the hours.
    pub usd: Option<u32>,
    /// Was it on the bill?
    pub charged: Option<bool>,
}

impl SurpriseCost {
    /// Is any of it on record?
    pub fn is_known(&self) -> bool {
        self.hours.is_some() || self.usd.is_some() || self.charged.is_some()
    }
}

/// Where a new panel is fed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PanelEnd {
    /// At the top.
    Top,
    /// At the bottom.
    Bottom,
}

/// A new panel by what it must have, not by make.
#[derive(Debug, Clone, PartialEq)]
pub struct NewPanel {
    /// Spaces.
    pub n_spaces: u16,
    /// One or two columns.
    pub n_columns: u8,
    /// Leg of the first row.
    pub first_leg: Leg,
    /// Where the bus is fed; `None`: not known.
    pub fed_at: Option<PanelEnd>,
    /// Where half-width breakers may go.
    pub half_width: HalfWidth,
    /// Rating of the bus.
    pub bus_rating: Option<Current>,
    /// Rating of the main breaker; `None`: without one, or not known.
    pub main: Option<Current>,
    /// Largest sum of the ratings on one stab, where the label states one.
    pub stab_limit: Option<Current>,
    /// Its cabinet.
    pub cabinet: Cabinet,
}

impl NewPanel {
    /// Two columns, fed at the top, whole breakers, nothing else known.
    pub fn of_spaces(n_spaces: u16) -> Self {
        NewPanel {
            n_spaces,
            n_columns: 2,
            first_leg: Leg::A,
            fed_at: Some(PanelEnd::Top),
            half_width: HalfWidth::Nowhere,
            bus_rating: None,
            main: None,
            stab_limit: None,
            cabinet: Cabinet::default(),
        }
    }
}

/// What goes into a place of the new panel.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Seated {
    /// A circuit of the old panel, by the first pole of its breaker.
    Circuit(Slot),
    /// A new circuit, by the name under which it is planned.
    New(String),
}

/// Where one breaker goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ArrangedSeat {
    /// What.
    pub what: Seated,
    /// Spaces in the new panel, in the order of the poles.
    pub spaces: Vec<Space>,
    /// Was the place decided by a person and not to be moved?
    pub locked: bool,
}

/// What a place is held for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HeldFor {
    /// A generator breaker with its interlock.
    Generator,
    /// A breaker for solar or a battery.
    Solar,
    /// A surge device.
    Surge,
    /// Spare.
    Spare,
    /// Something else, in the words of the layout.
    Other,
}

/// Spaces held free.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldSpaces {
    /// Which.
    pub spaces: Vec<Space>,
    /// For what.
    pub held_for: HeldFor,
}

/// The layout that was chosen for a new panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrangement {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was chosen.
    pub at: DateTime,
    /// Who chose it, by role or initials.
    pub by: Option<String>,
    /// The old panel whose circuits move.
    pub panel: PanelId,
    /// The new panel.
    pub new: NewPanel,
    /// Where each circuit goes.
    pub seats: Vec<ArrangedSeat>,
    /// Spaces held free.
    pub held: Vec<HeldSpaces>,
    /// The aim under which it was made.
    pub aim: String,
    /// Why this one.
    pub words: String,
}

impl Arrangement {
    /// Where a circuit of the old panel goes.
    pub fn seat(&self, slot: &Slot) -> Option<&ArrangedSeat> {
        self.seats.iter().find(|seat| matches!(&seat.what, Seated::Circuit(of) if of == slot))
    }
}
