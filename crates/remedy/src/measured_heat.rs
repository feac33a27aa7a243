//! Heat that a reading stands for by itself, whatever the probabilities make of it.

use model::Slot;
use model::evidence::{DropReading, Observed, TemperatureReading};
use model::job::Job;
use model::place::Place;

/// A reading of one pole, with the heat or the warmth that no sound pole has at that load.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Beyond<'a> {
    pub(crate) slot: Slot,
    pub(crate) state: &'a str,
    pub(crate) current_a: f64,
    /// As read: millivolts, or degrees Celsius.
    pub(crate) read: f64,
    /// Beyond that of a sound pole: watts, or kelvin.
    pub(crate) beyond: f64,
}

/// Heat of the drops over one pole, W, from the bus to its load terminal, where the current is on record. A sound pole may show
/// `sound_mv` at its rating, and in proportion below.
pub(crate) fn drops(job: &Job, sound_mv: f64) -> Vec<Beyond<'_>> {
    last_of_each(job, |what| match what {
        Observed::Drop(reading) => over_pole(job, reading, sound_mv),
        _ => None,
    })
}

/// Rise of the faces over the room, K, where the current is on record. That of a sound pole may be `rise_at_rating_k` at its rating, and
/// goes with the square of the current.
pub(crate) fn faces(job: &Job, rise_at_rating_k: f64) -> Vec<Beyond<'_>> {
    last_of_each(job, |what| match what {
        Observed::Temperature(reading) => of_face(job, reading, rise_at_rating_k),
        _ => None,
    })
}

/// Of the readings of one pole in one load state the last: one that was taken again counts as it was read then.
fn last_of_each<'a>(job: &'a Job, beyond: impl Fn(&'a Observed) -> Option<Beyond<'a>>) -> Vec<Beyond<'a>> {
    let mut all: Vec<Beyond<'a>> = Vec::new();
    for found in job.observations.iter().filter_map(|observation| beyond(&observation.what)) {
        all.retain(|other| (&other.slot, other.state) != (&found.slot, found.state));
        all.push(found);
    }
    all
}

fn over_pole<'a>(job: &Job, reading: &'a DropReading, sound_mv: f64) -> Option<Beyond<'a>> {
    let far = job.far_end(reading);
    let near = if *far == reading.to { &reading.from } else { &reading.to };
    let (Place::Load(slot) | Place::Wire(slot)) = far else { return None };
    let is_bus = matches!(near, Place::Lug(..) | Place::Load(_)) && near.slot() != Some(slot);
    if !is_bus || near.panel() != far.panel() {
        return None;
    }
    let rating_a = job.installation.breaker_at(slot)?.rating.a();
    let beside = reading.current.map(|current| current.a().abs());
    let current_a = beside.or_else(|| job.known_a(slot, &reading.state))?;
    let mv = 1e3 * reading.value.v().abs();
    let beyond = 1e-3 * (mv - sound_mv * current_a / rating_a) * current_a;
    Some(Beyond { slot: slot.clone(), state: &reading.state, current_a, read: mv, beyond })
}

fn of_face<'a>(job: &Job, reading: &'a TemperatureReading, rise_at_rating_k: f64) -> Option<Beyond<'a>> {
    let Place::Face(slot) = &reading.place else { return None };
    let state = job.load_states.iter().find(|state| state.name == reading.state)?;
    let current_a = job.known_a(slot, &reading.state)?.abs();
    let share = current_a / job.installation.breaker_at(slot)?.rating.a();
    let beyond = reading.value.c() - state.room?.c() - rise_at_rating_k * share * share;
    Some(Beyond { slot: slot.clone(), state: &reading.state, current_a, read: reading.value.c(), beyond })
}

/// The one that is furthest beyond, where it is at least so far.
pub(crate) fn furthest(readings: Vec<Beyond<'_>>, at_least: f64) -> Option<Beyond<'_>> {
    let most = readings.into_iter().max_by(|one, other| one.beyond.total_cmp(&other.beyond))?;
    (at_least <= most.beyond).then_some(most)
}
