//! What the facts of a job say of the present moment: how far the panel is open, what runs, which facts hold.

use crate::context::JobView;
use jiff::civil::DateTime;
use model::breaker::{Handle, LoadClass};
use model::evidence::ClampPlace;
use model::installation::Installation;
use model::job::{Exposure, Job};
use model::panel::Panel;
use model::place::Place;
use model::{FactId, Slot};
use record::fact::LoadStateHeld;
use record::limits;
use record::{Body, Fact};
use std::collections::BTreeSet;

/// Name of the load state that readings belong to before any is described.
pub(crate) const AS_FOUND: &str = "as found";

/// The facts that hold, and what follows from the latest of them.
pub(crate) struct Standing<'a> {
    /// Facts that hold, in order of time.
    pub(crate) live: Vec<&'a Fact>,
    /// The job as the facts leave it.
    job: Option<&'a Job>,
    /// How far the panel is open now.
    pub(crate) exposure: Exposure,
    /// The load state of the latest reading or set-up.
    pub(crate) state: String,
}

impl<'a> Standing<'a> {
    pub(crate) fn of(view: &'a JobView) -> Self {
        let aside: BTreeSet<&FactId> = view.settled.set_aside.iter().map(|aside| &aside.fact).collect();
        let holds = |id: &FactId| !view.settled.replaced.contains_key(id) && !aside.contains(id);
        let mut live: Vec<&Fact> = view.facts.iter().filter(|fact| holds(fact.id())).collect();
        live.sort_by_key(|fact| (fact.at, fact.id().clone()));
        let state = live.iter().rev().find_map(|fact| state_of(&fact.body)).unwrap_or(AS_FOUND).to_owned();
        let job = view.settled.job.as_ref();
        let mut standing = Standing { live, job, exposure: Exposure::CoverOn, state };
        standing.exposure = standing.exposure_at(DateTime::MAX);
        standing
    }

    /// How far the panel was open at a time, by the latest fact about it. Proven dead only where the proofs say so, too.
    pub(crate) fn exposure_at(&self, at: DateTime) -> Exposure {
        let reached = self.live.iter().rev().filter(|fact| fact.at <= at).find_map(|fact| match &fact.body {
            Body::Exposure(body) => Some(body.reached.0),
            _ => None,
        });
        match reached {
            Some(Exposure::ProvenDead) => {
                let at = Some(at).filter(|at| *at < DateTime::MAX);
                self.job.map_or(Exposure::CoverOff, |job| study::allowed(job, at))
            }
            other => other.unwrap_or(Exposure::CoverOn),
        }
    }

    /// The load states, latest first.
    pub(crate) fn states(&self) -> Vec<&'a LoadStateHeld> {
        let mut all: Vec<&LoadStateHeld> = Vec::new();
        for fact in self.live.iter().rev() {
            if let Body::State(body) = &fact.body
                && all.iter().all(|known| known.name != body.name)
            {
                all.push(body);
            }
        }
        all
    }

    pub(crate) fn has_state(&self, name: &str) -> bool {
        self.live.iter().any(|fact| matches!(&fact.body, Body::State(body) if body.name == name))
    }

    /// The instrument of the latest reading for which `of` gives one.
    pub(crate) fn instrument(&self, of: impl Fn(&Body) -> Option<&str>) -> Option<String> {
        self.live.iter().rev().find_map(|fact| of(&fact.body)).map(str::to_owned)
    }

    /// Has a face, branch current or touch been read there in a state?
    pub(crate) fn is_read(&self, series: Series, slot: &Slot, state: &str) -> bool {
        self.live.iter().any(|fact| match (&fact.body, series) {
            (Body::Temperature(body), Series::Faces) => {
                body.state == state && matches!(&body.place.0, Place::Face(face) if face == slot)
            }
            (Body::Clamp(body), Series::Clamps) => {
                body.state == state && matches!(&body.place.0, ClampPlace::Pole(pole) if pole == slot)
            }
            (Body::Drop(body), Series::Drops) => {
                body.state == state && matches!(&body.to.0, Place::Load(pole) if pole == slot)
            }
            (Body::Touch(body), Series::Touches) => body.state == state && body.slot.0 == *slot,
            _ => false,
        })
    }
}

impl Standing<'_> {
    /// Does a pole carry nothing in a state, as far as the record says: off, named as unloaded, clamped at next to
    /// nothing, or a spare?
    pub(crate) fn is_idle(&self, panel: &Panel, pole: &Slot, state: &str) -> bool {
        let Some(breaker) = panel.breaker_at(pole.space) else { return true };
        let spare = breaker.circuit.as_ref().is_some_and(|circuit| circuit.class == Some(LoadClass::Spare));
        let named = self
            .states()
            .into_iter()
            .any(|held| held.name == state && held.unloaded.iter().any(|free| free.0 == *pole));
        let clamped = || self.clamped(pole, state).is_some_and(|amps| amps <= limits::UNLOADED_A_MAX);
        breaker.handle != Handle::On || spare || named || clamped()
    }

    /// The latest current clamped at a pole in a state.
    pub(crate) fn clamped(&self, pole: &Slot, state: &str) -> Option<f64> {
        self.live.iter().rev().find_map(|fact| match &fact.body {
            Body::Clamp(body) if body.state == state && body.place.0 == ClampPlace::Pole(pole.clone()) => {
                Some(body.amps)
            }
            _ => None,
        })
    }
}

/// Readings that are usually taken pole after pole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Series {
    /// Faces of all breakers.
    Faces,
    /// Currents of all branch conductors.
    Clamps,
    /// A hand on all faces.
    Touches,
    /// Drops across stab and pole of all loaded breakers.
    Drops,
}

impl Standing<'_> {
    /// The next pole after this one, down the column and then the other, that is not read yet in the state.
    pub(crate) fn next_pole(
        &self,
        installation: &Installation,
        series: Series,
        slot: &Slot,
        state: &str,
    ) -> Option<Slot> {
        let panel = installation.panel(&slot.panel)?;
        // What carries nothing has no drop to read.
        let carries = |pole: &Slot| series != Series::Drops || !self.is_idle(panel, pole, state);
        let key = |slot: &Slot| (panel.column_of(slot.space), slot.space);
        let mut poles: Vec<Slot> = panel
            .breakers
            .iter()
            .flat_map(|breaker| breaker.spaces.iter().map(|&space| Slot::new(panel.id.clone(), space)))
            .filter(|pole| {
                pole != slot && 0 < pole.space.number && !self.is_read(series, pole, state) && carries(pole)
            })
            .collect();
        poles.sort_by_key(key);
        let after = poles.iter().find(|pole| key(slot) < key(pole)).cloned();
        after.or_else(|| poles.into_iter().next())
    }
}

/// The load state that a fact sets up or was taken in.
pub(crate) fn state_of(body: &Body) -> Option<&str> {
    Some(match body {
        Body::State(body) => &body.name,
        Body::Temperature(body) => &body.state,
        Body::Touch(body) => &body.state,
        Body::Clamp(body) => &body.state,
        Body::Voltage(body) => &body.state,
        Body::Drop(body) => &body.state,
        Body::Trip(body) => body.state.as_deref()?,
        _ => return None,
    })
}

/// The slots that a fact is about.
pub(crate) fn slots_of(body: &Body) -> Vec<&Slot> {
    match body {
        Body::Temperature(body) => body.place.0.slot().into_iter().collect(),
        Body::Touch(body) => vec![&body.slot.0],
        Body::Clamp(body) => match &body.place.0 {
            ClampPlace::Pole(slot) => vec![slot],
            _ => Vec::new(),
        },
        Body::Voltage(body) => [&body.from.0, &body.to.0].into_iter().filter_map(Place::slot).collect(),
        Body::Drop(body) => [&body.from.0, &body.to.0].into_iter().filter_map(Place::slot).collect(),
        Body::Trip(body) => vec![&body.slot.0],
        Body::Sign(body) => match &body.scope.0 {
            model::evidence::SignScope::Slot(slot) => vec![slot],
            _ => Vec::new(),
        },
        Body::Pin(body) => body.slot.iter().map(|slot| &slot.0).collect(),
        Body::Photo(body) => body.slot.iter().map(|slot| &slot.0).collect(),
        Body::Complaint(body) => body.slot.iter().map(|slot| &slot.0).collect(),
        Body::Work(body) => body.slots.iter().chain(&body.moved_to).map(|slot| &slot.0).collect(),
        Body::Interim(body) => body.off.iter().map(|slot| &slot.0).collect(),
        Body::Circuit(body) => vec![&body.slot.0],
        Body::Surprise(body) => body.slot.iter().map(|slot| &slot.0).collect(),
        Body::Opening(body) => body.joint.0.slot().into_iter().collect(),
        _ => Vec::new(),
    }
}
