//! What lasting work made anew: what was observed there before is of what is no longer there.

use crate::evidence::{Observation, Observed, SignScope};
use crate::job::{Job, Work};
use crate::place::Place;
use crate::{DateTime, Slot};
use std::borrow::Cow;

impl Work {
    /// Is it meant to last? Then it makes anew what sits at its spaces. A move never is.
    pub fn is_lasting(&self) -> bool {
        self.expires.is_none() && self.moved_to.is_empty()
    }
}

impl Observed {
    /// The pole whose joints it tells of: a temperature or touch there, a drop to it, a trip, a sign. Nothing for what is of loads, of the
    /// supply or of a whole panel.
    pub fn tells_of(&self) -> Option<&Slot> {
        let at_pole = |place| match place {
            &(Place::Face(ref slot) | Place::Load(ref slot) | Place::Wire(ref slot)) => Some(slot),
            _ => None,
        };
        match self {
            Observed::Temperature(reading) => at_pole(&reading.place),
            Observed::Drop(reading) => at_pole(&reading.to),
            Observed::Touch(reading) => Some(&reading.slot),
            Observed::Trip(trip) => Some(&trip.slot),
            Observed::Sign(sign) => match &sign.scope {
                SignScope::Slot(slot) => Some(slot),
                _ => None,
            },
            Observed::Current(_) | Observed::Voltage(_) => None,
        }
    }

    /// Name of the load state in which it was read.
    pub fn state(&self) -> Option<&str> {
        match self {
            Observed::Temperature(reading) => Some(&reading.state),
            Observed::Drop(reading) => Some(&reading.state),
            Observed::Touch(reading) => Some(&reading.state),
            Observed::Current(reading) => Some(&reading.state),
            Observed::Voltage(reading) => Some(&reading.state),
            Observed::Trip(trip) => trip.state.as_deref(),
            Observed::Sign(_) => None,
        }
    }
}

impl Job {
    /// When something was observed: a reading with its load state, which may have been written down later.
    pub fn time_of(&self, seen: &Observation) -> DateTime {
        let state =
            seen.what.state().and_then(|name| self.load_states.iter().find(|state| state.name == name));
        state.map_or(seen.at, |state| state.at)
    }

    /// The last lasting work that made anew what an observation tells of.
    pub fn overtaking(&self, seen: &Observation) -> Option<&Work> {
        let slot = seen.what.tells_of()?;
        let at = self.time_of(seen);
        let later = self.work.iter().filter(|work| work.is_lasting() && at < work.at);
        later.filter(|work| work.slots.contains(slot)).max_by_key(|work| work.at)
    }

    /// The job without the observations that lasting work has overtaken.
    pub fn standing(&self) -> Cow<'_, Job> {
        if self.observations.iter().all(|seen| self.overtaking(seen).is_none()) {
            return Cow::Borrowed(self);
        }
        let mut standing = self.clone();
        standing.observations.retain(|seen| self.overtaking(seen).is_none());
        Cow::Owned(standing)
    }
}
