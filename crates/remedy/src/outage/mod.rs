//! The day of the work: steps with durations, people and windows; what it looks like on a usual day, and how likely the
//! house has its power back by an hour.

mod ahead;
mod day;
mod people;
mod run;
#[cfg(test)]
mod tests;

pub use ahead::{BookingHour, best_hour, booking_hours};
pub use day::{Booking, day};
pub use people::{Need, Tell, needs, tells};
pub use run::{outlook, usual};

use crate::dice::Three;

/// Runs of a day, unless the caller says otherwise: a chance then has a standard error of half a percent at most.
pub const RUNS: usize = 10_000;

/// Minutes after midnight.
pub type Minute = f64;

/// Somebody from outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Arrival {
    /// Comes at some time of a window, and leaves again if the crew is not ready in the end.
    Booked {
        /// Start of the window.
        from: Minute,
        /// End of it.
        to: Minute,
        /// Until when a crew that is not ready is waited for.
        until: Minute,
    },
    /// Comes after a wait once called; not if that would be later than `latest`.
    Called {
        /// Minutes of waiting.
        wait: Three,
        /// Not later than this.
        latest: Minute,
    },
}

/// A visit.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// Name.
    pub id: String,
    /// Who comes.
    pub words: String,
    /// How.
    pub arrival: Arrival,
    /// Chance that nobody comes.
    pub no_show: f64,
}

/// A surprise that makes a task longer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Delay {
    /// Places where it is so.
    pub n_yes: u32,
    /// Places where nobody knows.
    pub n_unknown: u32,
    /// Chance of each of those.
    pub chance: f64,
    /// Minutes of a place.
    pub minutes: Three,
}

/// A task of the day.
#[derive(Debug, Clone, PartialEq)]
pub struct Task {
    /// Name of the step.
    pub id: String,
    /// What is done.
    pub words: String,
    /// Minutes on a day of usual pace.
    pub minutes: Three,
    /// People it holds.
    pub people: u32,
    /// Tasks before it, by their places in the list; each smaller than its own.
    pub after: Vec<usize>,
    /// Whoever it waits for.
    pub visit: Option<Visit>,
    /// Surprises that fall at it.
    pub delays: Vec<Delay>,
    /// Is the house without power?
    pub dark: bool,
    /// Has the house its power back after it?
    pub back: bool,
}

/// A day.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// Start of the crew.
    pub start: Minute,
    /// People.
    pub crew: u32,
    /// Factor on the minutes of all tasks, drawn once a day.
    pub pace: Three,
    /// Tasks in an order in which none waits for a later one; a person takes the next one of this order.
    pub tasks: Vec<Task>,
}

/// When a task begins and ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// Begin.
    pub start: Minute,
    /// End.
    pub end: Minute,
}

/// What a day looks like.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// Runs of the simulation.
    pub n_runs: usize,
    /// Seed.
    pub seed: u64,
    /// Share of the runs in which the power is back by each quarter of an hour, from the first in which it ever is.
    pub back_by: Vec<(Minute, f64)>,
    /// Time of the power back: a tenth, half and nine tenths of all runs; `None` where fewer runs have it back that day.
    pub back: [Option<Minute>; 3],
    /// Hours in the dark of the runs with the power back that day: a tenth, half, nine tenths.
    pub dark_h: [f64; 3],
    /// Share of the runs in which the power does not come back that day because a visit was missed, by visit.
    pub missed: Vec<(String, f64)>,
    /// How often each task is on the critical path, in the order of the tasks.
    pub critical: Vec<f64>,
    /// Each task on the usual day; `None` after a visit that is missed even then.
    pub usual: Vec<Option<Slot>>,
    /// Tasks of the critical path of the usual day, first to last.
    pub path: Vec<usize>,
}

impl Outlook {
    /// Share of the runs with the power back by a time.
    pub fn chance_by(&self, minute: Minute) -> f64 {
        self.back_by.iter().rev().find(|(at, _)| *at <= minute).map_or(0.0, |(_, share)| *share)
    }

    /// Share of the runs in which the power is not back that day.
    pub fn not_that_day(&self) -> f64 {
        self.missed.iter().map(|(_, share)| share).sum()
    }
}

/// `HH:MM` of a minute after midnight; of the next day with a mark.
pub fn clock(minute: Minute) -> String {
    let whole = minute.round().max(0.0) as u64;
    let next = if 24 * 60 <= whole { " next day" } else { "" };
    format!("{:02}:{:02}{next}", whole / 60 % 24, whole % 60)
}

/// The minute after midnight of `HH:MM`.
pub fn minute_of(text: &str) -> Option<Minute> {
    let (hours, minutes) = text.split_once(':')?;
    let (hours, minutes): (u32, u32) = (hours.parse().ok()?, minutes.parse().ok()?);
    (hours < 24 && minutes < 60).then(|| f64::from(hours * 60 + minutes))
}
