//! Which breaker carries nothing, and which end of a drop is nearer the load.

use crate::breaker::{Handle, LoadClass};
use crate::evidence::{ClampPlace, CurrentReading, DropReading, Observed};
use crate::id::Slot;
use crate::job::Job;
use crate::place::Place;

impl Job {
    /// The end of a drop nearer the load, whichever way round the ends were written: the pole that may carry current where the other
    /// one is an unloaded tap, else the place further along one conductor of one panel; as written where neither tells.
    pub fn far_end<'r>(&self, reading: &'r DropReading) -> &'r Place {
        let (from, to) = (&reading.from, &reading.to);
        let is_clamped = |slot: &Slot| {
            self.observations.iter().any(|observation| match &observation.what {
                // One pole that was clamped says that the breaker carries something.
                Observed::Current(CurrentReading { state, place: ClampPlace::Pole(at), .. }) => {
                    *state == reading.state
                        && at.panel == slot.panel
                        && self.installation.breaker_at(slot).is_some_and(|of| of.spaces.contains(&at.space))
                }
                _ => false,
            })
        };
        let is_tap = |place: &Place| {
            place.slot().is_some_and(|slot| self.is_idle(slot, Some(&reading.state)) && !is_clamped(slot))
        };
        let is_turned = match (from.slot(), to.slot()) {
            (Some(one), Some(other)) if one != other => !is_tap(from) && is_tap(to),
            _ => match (along(from), along(to)) {
                (Some(from_at), Some(to_at)) => {
                    from.panel() == to.panel() && from_at.0 == to_at.0 && to_at.1 < from_at.1
                }
                _ => false,
            },
        };
        if is_turned { from } else { to }
    }

    /// Does a breaker carry nothing in a load state, by what is on record of it but for a clamped current? Without a state: before the
    /// record, when a handle may have stood otherwise.
    pub fn is_idle(&self, slot: &Slot, state: Option<&str>) -> bool {
        let Some(breaker) = self.installation.breaker_at(slot) else { return false };
        let poles: Vec<Slot> =
            breaker.spaces.iter().map(|&space| Slot::new(slot.panel.clone(), space)).collect();
        let known = self.load_states.iter().find(|known| Some(known.name.as_str()) == state);
        let is_listed = known.is_some_and(|known| poles.iter().any(|pole| known.unloaded.contains(pole)));
        let class = breaker.circuit.as_ref().and_then(|circuit| circuit.class);
        let feeds_section = poles.iter().any(|pole| self.installation.sections_fed_by(pole).next().is_some());
        is_listed
            || state.is_some() && breaker.handle != Handle::On
            || class == Some(LoadClass::Spare)
            || breaker.circuit.is_none() && !feeds_section
    }
}

/// How far along a conductor a place is, from the source; hot conductors are one kind, neutral ones the other.
const fn along(place: &Place) -> Option<(bool, u8)> {
    match place {
        Place::Line(..) => Some((true, 0)),
        Place::Lug(..) => Some((true, 1)),
        Place::Load(_) => Some((true, 2)),
        Place::Wire(_) => Some((true, 3)),
        Place::Receptacle(_) => Some((true, 4)),
        Place::NeutralLine(_) => Some((false, 0)),
        Place::NeutralLug(_) => Some((false, 1)),
        Place::NeutralBar(_) => Some((false, 2)),
        Place::NeutralWire(_) => Some((false, 3)),
        Place::Face(_) | Place::Cover(_) | Place::Earth(_) => None,
    }
}
