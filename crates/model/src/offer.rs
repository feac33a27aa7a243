//! Price and day of a job: quotes as issued, the booked day, steps ticked, parts used.

use crate::id::FactId;
use jiff::civil::{Date, DateTime};

/// A time of day, minutes after midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Clock(pub u16);

/// A quote as it was given to the owner.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quote {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was given.
    pub at: DateTime,
    /// What was offered, by the word of the option.
    pub option: String,
    /// Contested items that are in it.
    pub with: Vec<String>,
    /// Lower end, middle and upper end of the range, US dollars.
    pub range_usd: (u32, u32, u32),
    /// Last day on which it holds.
    pub valid_until: Date,
    /// The price book it was made from.
    pub book: String,
    /// What else was said.
    pub words: String,
}

/// The day without power as it was booked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outage {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was booked.
    pub at: DateTime,
    /// What is done, by the word of the option.
    pub option: String,
    /// The day.
    pub date: Date,
    /// Day on which the utility was asked for it.
    pub asked: Option<Date>,
    /// Start of the crew.
    pub start: Option<Clock>,
    /// People.
    pub crew: Option<u8>,
    /// Window of the cut.
    pub cut: (Option<Clock>, Option<Clock>),
    /// Window of the inspector.
    pub inspector: (Option<Clock>, Option<Clock>),
    /// Window in which the supply is given back, where it is booked ahead.
    pub reconnect: (Option<Clock>, Option<Clock>),
    /// Latest time at which the supply is given back.
    pub reconnect_by: Option<Clock>,
    /// Steps done before the day.
    pub done: Vec<String>,
    /// Who said so.
    pub told: String,
}

/// A step begun or done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tick {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// The step.
    pub step: String,
    /// Done, or only begun.
    pub done: bool,
    /// People at it, where it was said.
    pub people: Option<u8>,
    /// What held it up.
    pub words: String,
}

/// Parts used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Used {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// The part, as in the price book.
    pub part: String,
    /// How many.
    pub count: u32,
    /// Why more or fewer.
    pub words: String,
}
