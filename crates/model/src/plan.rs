//! The plan until the replacement: what is off, what may be used, what to watch, which days hold; promises, what was
//! kept of them, and what is due.

use crate::id::{FactId, Slot};
use jiff::civil::{Date, DateTime};

/// What was found of the smoke alarms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Alarms {
    /// Tested, and they sound.
    Tested,
    /// Tested, and one or more did not sound.
    Failed,
    /// There are none.
    NoneThere,
    /// Nobody tested them.
    NotTested,
}

/// What the customer said to the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Answer {
    /// Agreed to.
    Accepted,
    /// Chose otherwise.
    Declined,
}

/// The plan for the days between finding and replacing, as it was agreed or declined.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Interim {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was made.
    pub at: DateTime,
    /// Who made it, by role or initials.
    pub by: Option<String>,
    /// Breakers that are off and must stay off, by their first poles.
    pub off: Vec<Slot>,
    /// Limits on what may be used, by the ids of the plan's phrases.
    pub limits: Vec<String>,
    /// Further limits, in words.
    pub limits_words: String,
    /// What was moved or changed, why the new place was judged sound, what was not looked at.
    pub done: String,
    /// What to watch for, by the ids of the plan's phrases.
    pub watch: Vec<String>,
    /// What else to watch for, in words.
    pub watch_words: String,
    /// Smoke alarms.
    pub alarms: Alarms,
    /// Where they hang, and what was found.
    pub alarms_words: String,
    /// Medical devices and what bridges an unplanned shut-off; `none` where there are none.
    pub medical: String,
    /// Food and medicine that must stay cold; `none` where there is none.
    pub food: String,
    /// Heating, cooling, pumps; `none` where nothing hangs on the panel.
    pub heat: String,
    /// Last day of the plan.
    pub expires: Date,
    /// Day of the recheck.
    pub recheck: Date,
    /// Day of the replacement, where it is set.
    pub replacement: Option<Date>,
    /// What happens if a day passes without what was to be done, by the ids of the plan's phrases.
    pub slip: Vec<String>,
    /// What the customer said to it.
    pub answer: Answer,
    /// In the customer's words.
    pub answer_words: String,
    /// Who said it, by role.
    pub answer_by: String,
    /// Why it was advised otherwise, where it was declined.
    pub reasons: String,
}

/// What was promised.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PromiseKind {
    /// Anything: a call, a quote, a part.
    Promise,
    /// A visit to compare with the first readings.
    LookBack,
}

/// A promise with its day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Promise {
    /// The fact that holds it.
    pub fact: FactId,
    /// When it was given.
    pub at: DateTime,
    /// Who gave it.
    pub by: Option<String>,
    /// What kind.
    pub kind: PromiseKind,
    /// What.
    pub words: String,
    /// By which day.
    pub due: Date,
}

/// Which of the days of an entry is settled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum KeptWhat {
    /// The recheck was done.
    Recheck,
    /// The stop-gap or the plan has ended: something lasting is in its place, or it was taken out.
    End,
    /// The look-back was done.
    LookBack,
    /// The promise was kept.
    Promise,
}

/// Something due was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// The promise, the work or the plan it settles.
    pub of: FactId,
    /// Which of its days.
    pub what: KeptWhat,
    /// What was found or done.
    pub words: String,
}

/// An entry that could not be used and that may speak against a dead part: a handle, a cut, a source, a test, a voltage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doubt {
    /// The fact.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// What it is about, a word: `handle`, `source`.
    pub kind: &'static str,
    /// Why it could not be used.
    pub why: String,
}

/// Kinds of days on the board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DueKind {
    /// A stop-gap or a plan ends.
    Expiry,
    /// A recheck.
    Recheck,
    /// The replacement.
    Replacement,
    /// A look-back.
    LookBack,
    /// A promise.
    Promise,
}

/// A day on which something is due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Due {
    /// By which day.
    pub day: Date,
    /// What kind.
    pub kind: DueKind,
    /// In words.
    pub words: String,
    /// The entry that sets the day.
    pub of: FactId,
    /// What a [`Kept`] of it must say.
    pub settles: KeptWhat,
    /// The spaces it is about.
    pub slots: Vec<Slot>,
}
