//! What lasting work made anew: what was observed there before is of what is no longer there.

use crate::evidence::{Observation, Observed, SignScope};
use crate::job::{Complaint, ComplaintKind, Condition, Job, Opening, Work};
use crate::joint::JointId;
use crate::place::Place;
use crate::{DateTime, PanelId, Slot};
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

    /// The last lasting work that made anew what an observation tells of. A sign of the whole panel or of a leg, as a smell, tells of what
    /// had been found burnt when that was made anew.
    pub fn overtaking(&self, seen: &Observation) -> Option<&Work> {
        let at = self.time_of(seen);
        match (&seen.what, seen.what.tells_of()) {
            (_, Some(slot)) => self.last_after(at, |work| work.slots.contains(slot)),
            (Observed::Sign(sign), None) if sign.present => match &sign.scope {
                SignScope::Panel(panel) | SignScope::Leg(panel, _) => {
                    self.last_after(at, |work| self.mended(work, Some(panel)))
                }
                _ => None,
            },
            _ => None,
        }
    }

    /// The last work that made a joint anew after it was opened. Lasting work makes anew what sits at its spaces. A stop-gap leaves them as
    /// they are, but where a circuit is moved: its wires are taken off, and all is made anew where they go. The stab that they left stays.
    pub fn remaking(&self, opening: &Opening) -> Option<&Work> {
        let slot = opening.joint.slot()?;
        let is_stab = matches!(opening.joint, JointId::Stab(_));
        let is_remade = |work: &&Work| {
            let taken_off = !work.moved_to.is_empty() && !is_stab;
            work.moved_to.contains(slot) || work.slots.contains(slot) && (work.is_lasting() || taken_off)
        };
        self.work.iter().filter(|work| opening.at <= work.at).filter(is_remade).max_by_key(|work| work.at)
    }

    /// Spaces of a lasting work at which nothing was read since.
    pub fn unread_since<'a>(&'a self, work: &'a Work) -> impl Iterator<Item = &'a Slot> {
        let is_read = |slot: &Slot| {
            let is_there = |seen: &Observation| {
                seen.what.tells_of() == Some(slot)
                    && seen.what.state().is_some()
                    && work.at <= self.time_of(seen)
            };
            self.observations.iter().any(is_there)
        };
        work.slots.iter().filter(move |slot| work.is_lasting() && !is_read(slot))
    }

    /// The last lasting work that a complaint may be over with: at its circuit, or where a joint had been found burnt. None is over with
    /// what is wrong before the panel, and none with an inspection.
    pub fn answering(&self, complaint: &Complaint) -> Option<&Work> {
        match complaint.kind {
            ComplaintKind::Trips
            | ComplaintKind::Flicker
            | ComplaintKind::Heat
            | ComplaintKind::Smell
            | ComplaintKind::Noise => self.last_after(complaint.at, |work| {
                complaint
                    .slot
                    .as_ref()
                    .map_or_else(|| self.mended(work, None), |slot| work.slots.contains(slot))
            }),
            ComplaintKind::HalfHouse | ComplaintKind::DimBright | ComplaintKind::Inspection => None,
        }
    }

    fn last_after(&self, at: DateTime, is_of: impl Fn(&Work) -> bool) -> Option<&Work> {
        let later = self.work.iter().filter(|work| work.is_lasting() && at < work.at);
        later.filter(|work| is_of(work)).max_by_key(|work| work.at)
    }

    /// Had a joint been found burnt at the spaces of a work, in one panel or in any?
    fn mended(&self, work: &Work, panel: Option<&PanelId>) -> bool {
        let found =
            self.openings.iter().filter(|opening| opening.found == Condition::Burnt && opening.at <= work.at);
        let slots = found.filter_map(|opening| opening.joint.slot());
        slots
            .filter(|slot| panel.is_none_or(|panel| slot.panel == *panel))
            .any(|slot| work.slots.contains(slot))
    }

    /// The job without the observations and complaints that lasting work has overtaken.
    pub fn standing(&self) -> Cow<'_, Job> {
        let is_over = |seen: &Observation| self.overtaking(seen).is_some();
        let is_answered = |complaint: &Complaint| self.answering(complaint).is_some();
        if !self.observations.iter().any(is_over) && !self.complaints.iter().any(is_answered) {
            return Cow::Borrowed(self);
        }
        let mut standing = self.clone();
        standing.observations.retain(|seen| !is_over(seen));
        standing.complaints.retain(|complaint| !is_answered(complaint));
        Cow::Owned(standing)
    }
}
