//! Heat that a reading stands for by itself, whatever the probabilities make of it.

use model::evidence::{
    ClampPlace, CurrentReading, DropReading, Observed, Surface, TemperatureMethod, TemperatureReading,
};
use model::job::Job;
use model::panel::{Feed, Panel};
use model::place::Place;
use model::{Current, Leg, Slot, Space, Temperature};

/// A reading of a pole or of metal, with the heat or the warmth that nothing sound has at that load.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Beyond<'a, At> {
    pub(crate) at: At,
    pub(crate) state: &'a str,
    pub(crate) current_a: f64,
    /// As read: millivolts, or degrees Celsius.
    pub(crate) read: f64,
    /// Beyond that of a sound one: watts, or kelvin.
    pub(crate) beyond: f64,
}

/// Heat of the drops over one pole, W, from the bus to its load terminal, where the current is on record. A sound pole may show
/// `sound_mv` at its rating, and in proportion below.
pub(crate) fn drops(job: &Job, sound_mv: f64) -> Vec<Beyond<'_, Slot>> {
    last_of_each(job, |what| match what {
        Observed::Drop(reading) => over_pole(job, reading, sound_mv),
        _ => None,
    })
}

/// Rise of the faces over the room, K, where the current is on record. That of a sound pole may be `rise_at_rating_k` at its rating, and
/// goes with the square of the current.
pub(crate) fn faces(job: &Job, rise_at_rating_k: f64) -> Vec<Beyond<'_, Slot>> {
    last_of_each(job, |what| match what {
        Observed::Temperature(reading) => of_face(job, reading, rise_at_rating_k),
        _ => None,
    })
}

/// Lugs and load terminals, K, where the current is on record: over what a sound one may have at that load, or over what else was read in that
/// panel and state (the middle of it) where that is warmer, since the cabinet's air is. A sound one may be `rise_at_rating_k` over the room at
/// the rating of its breaker, of the main or of the bus, and its rise goes with the square of the current.
pub(crate) fn metal(job: &Job, rise_at_rating_k: f64) -> Vec<Beyond<'_, &Place>> {
    let all = temperatures(job);
    last_of_each(job, |what| match what {
        Observed::Temperature(reading) => of_metal(job, reading, &all, rise_at_rating_k),
        _ => None,
    })
}

/// Of the readings at one place in one load state the last: one that was taken again counts as it was read then.
fn last_of_each<'a, At: PartialEq>(
    job: &'a Job,
    beyond: impl Fn(&'a Observed) -> Option<Beyond<'a, At>>,
) -> Vec<Beyond<'a, At>> {
    let found = job.observations.iter().filter_map(|observation| beyond(&observation.what));
    last(found, |one, other| (&one.at, one.state) == (&other.at, other.state))
}

/// Of those that are of the same the last.
fn last<T>(found: impl Iterator<Item = T>, are_same: impl Fn(&T, &T) -> bool) -> Vec<T> {
    found.fold(Vec::new(), |mut all, found| {
        all.retain(|other| !are_same(other, &found));
        all.push(found);
        all
    })
}

/// Temperatures as they were read last in each load state, without those that tell nothing: infrared on bare metal.
fn temperatures(job: &Job) -> Vec<&TemperatureReading> {
    let telling = job.observations.iter().filter_map(|observation| match &observation.what {
        Observed::Temperature(reading) if !is_blind(reading) => Some(reading),
        _ => None,
    });
    last(telling, |one, other| (&one.place, &one.state) == (&other.place, &other.state))
}

fn over_pole<'a>(job: &Job, reading: &'a DropReading, sound_mv: f64) -> Option<Beyond<'a, Slot>> {
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
    Some(Beyond { at: slot.clone(), state: &reading.state, current_a, read: mv, beyond })
}

fn of_face<'a>(
    job: &Job,
    reading: &'a TemperatureReading,
    rise_at_rating_k: f64,
) -> Option<Beyond<'a, Slot>> {
    let Place::Face(slot) = &reading.place else { return None };
    let current_a = job.known_a(slot, &reading.state)?.abs();
    let share = current_a / job.installation.breaker_at(slot)?.rating.a();
    let beyond = reading.value.c() - room_c(job, reading)? - rise_at_rating_k * share * share;
    Some(Beyond { at: slot.clone(), state: &reading.state, current_a, read: reading.value.c(), beyond })
}

fn of_metal<'a>(
    job: &Job,
    reading: &'a TemperatureReading,
    all: &[&TemperatureReading],
    rise_at_rating_k: f64,
) -> Option<Beyond<'a, &'a Place>> {
    let (current_a, rating_a) = match &reading.place {
        Place::Load(slot) | Place::Wire(slot) => {
            (job.known_a(slot, &reading.state)?, job.installation.breaker_at(slot)?.rating.a())
        }
        Place::Lug(panel, leg) | Place::Line(panel, leg) => {
            let panel = job.installation.panel(panel)?;
            (line_a(job, panel, *leg, &reading.state)?, rating_a(job, panel)?)
        }
        _ => return None,
    };
    if is_blind(reading) {
        return None;
    }
    let share = current_a / rating_a;
    let by_load_c = room_c(job, reading)? + rise_at_rating_k * share * share;
    let beyond = reading.value.c() - by_load_c.max(beside_c(all, reading).unwrap_or(by_load_c));
    let current_a = current_a.abs();
    Some(Beyond { at: &reading.place, state: &reading.state, current_a, read: reading.value.c(), beyond })
}

/// Current into a panel on a leg, A: as clamped there, else what its breakers carry where every one is on record.
fn line_a(job: &Job, panel: &Panel, leg: Leg, state: &str) -> Option<f64> {
    let clamped = job.observations.iter().rev().find_map(|observation| match &observation.what {
        Observed::Current(CurrentReading { place: ClampPlace::Line(at, on), value, state: of, .. }) => {
            (*at == panel.id && *on == leg && of == state).then_some(value.a())
        }
        _ => None,
    });
    let all_poles = || {
        let spaces = panel.breakers.iter().flat_map(|breaker| &breaker.spaces);
        let on_leg = spaces.filter(|&&space| panel.leg_of(space) == leg);
        let known = |&space: &Space| job.known_a(&Slot::new(panel.id.clone(), space), state);
        // What feeds a section of its own panel carries what is counted there.
        (panel.sections.len() == 1).then(|| on_leg.map(known).sum::<Option<f64>>()).flatten()
    };
    clamped.or_else(all_poles)
}

/// Rating of what feeds a panel, else of its bus, A.
fn rating_a(job: &Job, panel: &Panel) -> Option<f64> {
    let feed = panel.sections.iter().find_map(|section| match &section.feed {
        Feed::MainBreaker { rating } => Some(*rating),
        Feed::Breaker { slot } if slot.panel != panel.id => {
            job.installation.breaker_at(slot).map(|breaker| breaker.rating)
        }
        Feed::ServiceLugs | Feed::Breaker { .. } => None,
    });
    feed.or(panel.bus.rating).map(Current::a)
}

/// Middle of the temperatures read at other places of the panel in the same load state, °C.
fn beside_c(all: &[&TemperatureReading], reading: &TemperatureReading) -> Option<f64> {
    let is_beside = |other: &&&TemperatureReading| {
        other.state == reading.state
            && other.place != reading.place
            && other.place.panel() == reading.place.panel()
    };
    let mut others: Vec<f64> = all.iter().filter(is_beside).map(|other| other.value.c()).collect();
    others.sort_by(f64::total_cmp);
    others.get(others.len() / 2).copied()
}

/// Of the room in its load state, °C.
fn room_c(job: &Job, reading: &TemperatureReading) -> Option<f64> {
    job.load_states.iter().find(|state| state.name == reading.state)?.room.map(Temperature::c)
}

/// Infrared on bare metal tells nothing.
fn is_blind(reading: &TemperatureReading) -> bool {
    reading.method == TemperatureMethod::Infrared && reading.surface == Surface::BareMetal
}

/// The hottest metal behind the dead front: a lug, a load terminal, the neutral bar.
pub(crate) fn hottest_metal(job: &Job) -> Option<&TemperatureReading> {
    let metal = temperatures(job).into_iter().filter(|reading| !reading.place.is_outside());
    metal.max_by(|one, other| one.value.c().total_cmp(&other.value.c()))
}

/// The one that is furthest beyond, where it is at least so far.
pub(crate) fn furthest<At>(readings: Vec<Beyond<'_, At>>, at_least: f64) -> Option<Beyond<'_, At>> {
    let most = readings.into_iter().max_by(|one, other| one.beyond.total_cmp(&other.beyond))?;
    (at_least <= most.beyond).then_some(most)
}
