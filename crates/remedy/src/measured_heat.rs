//! Heat that a reading stands for by itself, whatever the probabilities make of it.

use model::evidence::{
    ClampPlace, CurrentReading, DropReading, Observed, Surface, TemperatureMethod, TemperatureReading,
    TouchReading,
};
use model::job::Job;
use model::panel::{Feed, Panel};
use model::place::Place;
use model::{Current, Leg, Slot, Space, Temperature};
use physics::touch;

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

/// The same across one load terminal, from its screw to the wire behind it.
pub(crate) fn terminal_drops(job: &Job, sound_mv: f64) -> Vec<Beyond<'_, &Place>> {
    last_of_each(job, |what| match what {
        Observed::Drop(reading) => across_terminal(job, reading, sound_mv),
        _ => None,
    })
}

/// The same across one line lug, from the conductor before it. Its rating is that of the main or of the bus.
pub(crate) fn lug_drops(job: &Job, sound_mv: f64) -> Vec<Beyond<'_, &Place>> {
    last_of_each(job, |what| match what {
        Observed::Drop(reading) => across_lug(job, reading, sound_mv),
        _ => None,
    })
}

/// Rise of the faces over the room, K, where the current is on record. That of a sound pole may be `rise_at_rating_k` at its rating, and
/// goes with the square of the current.
pub(crate) fn faces(job: &Job, rise_at_rating_k: f64) -> Vec<Beyond<'_, Slot>> {
    last_of_each(job, |what| match what {
        Observed::Temperature(reading) => {
            let Place::Face(slot) = &reading.place else { return None };
            of_face(job, slot, &reading.state, reading.value.c(), rise_at_rating_k)
        }
        _ => None,
    })
}

/// The same of faces that a bare hand felt and no instrument read in that state, by the lowest temperature that feels so.
pub(crate) fn felt_faces(job: &Job, rise_at_rating_k: f64) -> Vec<Beyond<'_, Slot>> {
    let read = temperatures(job);
    let is_read = |touch: &TouchReading| {
        let is_it = |reading: &&TemperatureReading| {
            reading.state == touch.state && matches!(&reading.place, Place::Face(slot) if *slot == touch.slot)
        };
        read.iter().any(is_it)
    };
    last_of_each(job, |what| match what {
        Observed::Touch(touch) if !is_read(touch) => {
            let low_c = touch::face_interval(touch).ok()?.low?.c();
            of_face(job, &touch.slot, &touch.state, low_c, rise_at_rating_k)
        }
        _ => None,
    })
}

/// Two poles of one breaker at like load, K: how much warmer the face of the one is, where the current of each was clamped in that
/// state and the smaller is within such a share of the larger.
pub(crate) fn poles_apart(job: &Job, within: f64) -> Vec<Beyond<'_, [Slot; 2]>> {
    let faces: Vec<Pole<'_>> =
        temperatures(job).into_iter().filter_map(|reading| of_pole(job, reading)).collect();
    let pairs = faces.iter().flat_map(|warm| faces.iter().map(move |cool| (warm, cool)));
    let alike = pairs.filter(|(warm, cool)| {
        let is_breaker = warm.slot != cool.slot && warm.breaker == cool.breaker && warm.state == cool.state;
        let most_a = warm.current_a.max(cool.current_a);
        let is_like = 0.0 < most_a && (warm.current_a - cool.current_a).abs() <= within * most_a;
        is_breaker && is_like
    });
    alike
        .map(|(warm, cool)| Beyond {
            at: [warm.slot.clone(), cool.slot.clone()],
            state: warm.state,
            current_a: warm.current_a,
            read: warm.face_c,
            beyond: warm.face_c - cool.face_c,
        })
        .collect()
}

/// A pole whose face was read and whose current was clamped.
struct Pole<'a> {
    slot: &'a Slot,
    breaker: Slot,
    state: &'a str,
    face_c: f64,
    current_a: f64,
}

fn of_pole<'a>(job: &'a Job, reading: &'a TemperatureReading) -> Option<Pole<'a>> {
    let Place::Face(slot) = &reading.place else { return None };
    let first = *job.installation.breaker_at(slot)?.spaces.first()?;
    let clamped = job.observations.iter().rev().find_map(|observation| match &observation.what {
        Observed::Current(CurrentReading { place: ClampPlace::Pole(at), value, state, .. }) => {
            (at == slot && *state == reading.state).then_some(value.a().abs())
        }
        _ => None,
    });
    let breaker = Slot::new(slot.panel.clone(), first);
    Some(Pole { slot, breaker, state: &reading.state, face_c: reading.value.c(), current_a: clamped? })
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
    of_drop(job, reading, slot.clone(), slot, sound_mv)
}

fn across_terminal<'a>(job: &Job, reading: &'a DropReading, sound_mv: f64) -> Option<Beyond<'a, &'a Place>> {
    let (at, slot) = match (&reading.from, &reading.to) {
        (at @ Place::Load(slot), Place::Wire(wire)) | (Place::Wire(wire), at @ Place::Load(slot))
            if slot == wire =>
        {
            (at, slot)
        }
        _ => return None,
    };
    of_drop(job, reading, at, slot, sound_mv)
}

fn across_lug<'a>(job: &Job, reading: &'a DropReading, sound_mv: f64) -> Option<Beyond<'a, &'a Place>> {
    let at = match (&reading.from, &reading.to) {
        (Place::Line(panel, leg), lug @ Place::Lug(of, on))
        | (lug @ Place::Lug(of, on), Place::Line(panel, leg))
            if (panel, leg) == (of, on) =>
        {
            lug
        }
        _ => return None,
    };
    let Place::Lug(panel, leg) = at else { return None };
    let panel = job.installation.panel(panel)?;
    let current_a = beside_a(reading).or_else(|| line_a(job, panel, *leg, &reading.state))?;
    Some(heat_beyond(reading, at, current_a, sound_mv / rating_a(job, panel)?))
}

/// A drop that a circuit's own current makes.
fn of_drop<'a, At>(
    job: &Job,
    reading: &'a DropReading,
    at: At,
    slot: &Slot,
    sound_mv: f64,
) -> Option<Beyond<'a, At>> {
    let rating_a = job.installation.breaker_at(slot)?.rating.a();
    let current_a = beside_a(reading).or_else(|| job.known_a(slot, &reading.state))?;
    Some(heat_beyond(reading, at, current_a, sound_mv / rating_a))
}

/// The current that was clamped together with a drop, A.
fn beside_a(reading: &DropReading) -> Option<f64> {
    reading.current.map(|current| current.a().abs())
}

/// Heat of a drop beyond that of something sound, which may show so many millivolts an ampere.
fn heat_beyond<At>(reading: &DropReading, at: At, current_a: f64, sound_mohm: f64) -> Beyond<'_, At> {
    let current_a = current_a.abs();
    let mv = 1e3 * reading.value.v().abs();
    let beyond = 1e-3 * (mv - sound_mohm * current_a) * current_a;
    Beyond { at, state: &reading.state, current_a, read: mv, beyond }
}

fn of_face<'a>(
    job: &Job,
    slot: &Slot,
    state: &'a str,
    face_c: f64,
    rise_at_rating_k: f64,
) -> Option<Beyond<'a, Slot>> {
    let current_a = job.known_a(slot, state)?.abs();
    let share = current_a / job.installation.breaker_at(slot)?.rating.a();
    let beyond = face_c - room_c(job, state)? - rise_at_rating_k * share * share;
    Some(Beyond { at: slot.clone(), state, current_a, read: face_c, beyond })
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
    let by_load_c = room_c(job, &reading.state)? + rise_at_rating_k * share * share;
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

/// Of the room in a load state, °C.
fn room_c(job: &Job, state: &str) -> Option<f64> {
    job.load_states.iter().find(|known| known.name == state)?.room.map(Temperature::c)
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
