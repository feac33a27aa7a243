//! Readings that are odd by themselves and told of in a note: faces that look like °F, a current through a handle that is off.

use super::{Posterior, place_words};
use model::Note;
use model::breaker::Handle;
use model::evidence::{ClampPlace, Observed};
use model::isolation::{Disconnect, MovedTo};
use model::place::Place;

/// Faces of one state look like °F where so many or more all lie so far over the room, K, with no more between the lowest and the highest,
/// K, and would lie this near the room if they were. Judgement.
const N_FACES: usize = 4;
const OVER_ROOM_K: f64 = 30.0;
const APART_K: f64 = 15.0;
const NEAR_K: f64 = 12.0;
/// A clamp shows less than this beside live conductors, A. Judgement.
const PICKED_UP_A: f64 = 0.5;

impl Posterior<'_> {
    pub(super) fn odd_readings(&self) -> Vec<Note> {
        self.fahrenheit().into_iter().chain(self.through_handles_off()).collect()
    }

    fn fahrenheit(&self) -> Vec<Note> {
        let of_state = |state: &model::load::LoadState| {
            let room_c = state.room?.c();
            let faces: Vec<f64> = self
                .p
                .job
                .observations
                .iter()
                .filter_map(|observation| match &observation.what {
                    Observed::Temperature(reading) if reading.state == state.name => {
                        matches!(reading.place, Place::Face(_)).then(|| reading.value.c())
                    }
                    _ => None,
                })
                .collect();
            let low = faces.iter().copied().fold(f64::INFINITY, f64::min);
            let high = faces.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let if_f = |shown: f64| (shown - 32.0) / 1.8;
            let is_near = |shown: f64| (if_f(shown) - room_c).abs() <= NEAR_K;
            let looks_so = N_FACES <= faces.len()
                && OVER_ROOM_K <= low - room_c
                && high - low <= APART_K
                && is_near(low)
                && is_near(high);
            looks_so.then(|| {
                let text = format!(
                    "all {} faces lie between {low:.0} and {high:.0} °C, {:.0} K and more over a room of {room_c:.0} °C and near one another. \
                     If the instrument showed °F, they are {:.0} to {:.0} °C, as faces in such a room are with little load. They are weighed as \
                     °C, as entered: look at the instrument, and correct the record if it was °F.",
                    faces.len(),
                    low - room_c,
                    if_f(low),
                    if_f(high)
                );
                Note::new(format!("load state \"{}\"", state.name), text)
            })
        };
        self.p.job.load_states.iter().filter_map(of_state).collect()
    }

    fn through_handles_off(&self) -> Vec<Note> {
        let job = &self.p.job;
        let note = |observation: &model::evidence::Observation| {
            let Observed::Current(reading) = &observation.what else { return None };
            let ClampPlace::Pole(slot) = &reading.place else { return None };
            let breaker = job.installation.breaker_at(slot)?;
            let own = |at: &model::Slot| at.panel == slot.panel && breaker.spaces.contains(&at.space);
            let switched_on = job.handles.iter().any(|moved| {
                moved.to == MovedTo::On && matches!(&moved.what, Disconnect::Breaker(at) if own(at))
            });
            let amps = reading.value.a().abs();
            (breaker.handle != Handle::On && !switched_on && PICKED_UP_A <= amps).then(|| {
                let text = format!(
                    "{amps:.1} A (fact {}) in \"{}\" through a breaker whose handle is recorded as off. It is weighed as clamped. Either the \
                     handle was on, or the clamp held another wire, or the pole did not open, or the circuit is fed from elsewhere: look \
                     again, and treat the circuit as live.",
                    observation.fact, reading.state
                );
                Note::new(place_words(&Place::Wire(slot.clone())), text)
            })
        };
        job.observations.iter().filter_map(note).collect()
    }
}
