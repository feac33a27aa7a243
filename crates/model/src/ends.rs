//! Which breaker carries nothing, and which end of a drop is nearer the load.

use crate::breaker::{Handle, LoadClass};
use crate::evidence::{ClampPlace, CurrentReading, DropReading, Observed};
use crate::id::Slot;
use crate::job::Job;
use crate::place::Place;
use crate::quantity::Current;

/// A pole that carries less is as good as unloaded where a drop is read, A: the floor of a clamp's error. Judgement.
const TAP_A: f64 = 0.3;
/// Within this share of the drop's current a clamped one is the same, beyond the other it is not. Judgement.
const SAME: f64 = 0.1;
const OTHER: f64 = 0.25;

impl Job {
    /// The end of a drop nearer the load, whichever way round the ends were written. Of two poles it is the one that may carry current
    /// where the other is an unloaded tap, else the one whose clamped current is that of the drop; of other places the one further
    /// along one conductor of one panel. As written where none of this tells.
    pub fn far_end<'r>(&self, reading: &'r DropReading) -> &'r Place {
        let (from, to) = (&reading.from, &reading.to);
        let is_turned = match (from.slot(), to.slot()) {
            (Some(one), Some(other)) if one != other => {
                let [one_a, other_a] = [one, other].map(|slot| self.known_a(slot, &reading.state));
                let is_tap = |amps: Option<f64>| amps.is_some_and(|amps| amps < TAP_A);
                let fits = |amps: Option<f64>, share: f64| {
                    let read = reading.current.map(Current::a);
                    read.zip(amps).map(|(read, amps)| (amps - read).abs() <= (share * read).max(TAP_A))
                };
                match (is_tap(one_a), is_tap(other_a)) {
                    (false, true) => true,
                    (false, false) => fits(one_a, SAME) == Some(true) && fits(other_a, OTHER) == Some(false),
                    _ => false,
                }
            }
            _ => match (along(from), along(to)) {
                (Some(from_at), Some(to_at)) => {
                    from.panel() == to.panel() && from_at.0 == to_at.0 && to_at.1 < from_at.1
                }
                _ => false,
            },
        };
        if is_turned { from } else { to }
    }

    /// Current of a pole in a load state as it is on record, A: as clamped there, else at another pole of its breaker, else nothing
    /// where the breaker is idle.
    pub fn known_a(&self, slot: &Slot, state: &str) -> Option<f64> {
        let breaker = self.installation.breaker_at(slot)?;
        let clamped = |at: &Slot| {
            self.observations.iter().find_map(|observation| match &observation.what {
                Observed::Current(CurrentReading {
                    state: of,
                    place: ClampPlace::Pole(place),
                    value,
                    ..
                }) => (of == state && place == at).then_some(value.a()),
                _ => None,
            })
        };
        let others = || {
            let poles = breaker.spaces.iter().map(|&space| Slot::new(slot.panel.clone(), space));
            poles.filter_map(|pole| clamped(&pole)).reduce(f64::max)
        };
        clamped(slot).or_else(others).or_else(|| self.is_idle(slot, Some(state)).then_some(0.0))
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
