//! Readings that can be held against one of another visit, with the current they were taken at.

use super::visits::Visits;
use model::evidence::{
    ClampPlace, DropReading, Observation, Observed, TemperatureMethod, TemperatureReading,
};
use model::job::Job;
use model::load::LoadState;
use model::place::Place;
use model::{Current, Date, DateTime, Slot};

/// The value.
#[derive(Debug, Clone, Copy)]
pub(super) enum What<'a> {
    /// Volts along a path.
    Drop { value_v: f64 },
    /// A temperature.
    Rise(&'a TemperatureReading),
}

/// One reading.
#[derive(Debug, Clone, Copy)]
pub(super) struct Read<'a> {
    pub(super) seen: &'a Observation,
    pub(super) what: What<'a>,
    /// Nearer end of a drop; the place itself for a temperature.
    pub(super) from: &'a Place,
    pub(super) place: &'a Place,
    method: Option<TemperatureMethod>,
    pub(super) state: &'a LoadState,
    pub(super) at: DateTime,
    pub(super) visit: usize,
    pub(super) day: Date,
    pub(super) current_a: Option<f64>,
    /// Was the current clamped together with the reading?
    pub(super) together: bool,
}

impl<'a> Read<'a> {
    /// What two readings must have in common.
    pub(super) fn key(&self) -> (&'a Place, &'a Place, Option<bool>) {
        (self.place, self.from, self.method.map(|method| method == TemperatureMethod::Infrared))
    }

    /// The pole it belongs to.
    pub(super) fn slot(&self) -> Option<&'a Slot> {
        self.place.slot().or_else(|| self.from.slot())
    }
}

/// Pole or lug that a temperature, touch or drop was taken at, and its load state.
pub(super) fn on_pole(what: &Observed) -> Option<(String, &str)> {
    let name = |place: &Place| place.slot().map_or_else(|| place.to_string(), Slot::to_string);
    match what {
        Observed::Temperature(reading) => Some((name(&reading.place), &reading.state)),
        Observed::Touch(reading) => Some((reading.slot.to_string(), &reading.state)),
        Observed::Drop(reading) => Some((name(&reading.to), &reading.state)),
        Observed::Current(_) | Observed::Voltage(_) | Observed::Trip(_) | Observed::Sign(_) => None,
    }
}

/// All of them in a job.
pub(super) fn reads<'a>(job: &'a Job, visits: &Visits) -> Vec<Read<'a>> {
    job.observations.iter().filter_map(|seen| read(job, visits, seen)).collect()
}

fn read<'a>(job: &'a Job, visits: &Visits, seen: &'a Observation) -> Option<Read<'a>> {
    let (what, from, place, method, state, own) = match &seen.what {
        Observed::Temperature(reading) => {
            let place = &reading.place;
            (What::Rise(reading), place, place, Some(reading.method), &reading.state, None)
        }
        Observed::Drop(DropReading { from, to, value, current, state, .. }) => {
            (What::Drop { value_v: value.v().abs() }, from, to, None, state, *current)
        }
        _ => return None,
    };
    let visit = visits.of_state(state)?;
    let state = job.load_states.iter().find(|known| known.name == *state)?;
    let current = own.or_else(|| current_in(job, state, place)).map(|current| current.a().abs());
    Some(Read {
        seen,
        what,
        from,
        place,
        method,
        state,
        at: state.at,
        visit,
        day: visits.day(visit),
        current_a: current,
        together: own.is_some(),
    })
}

/// Current at a place in a load state, where it was clamped or is none.
fn current_in(job: &Job, state: &LoadState, place: &Place) -> Option<Current> {
    let clamp = match place {
        Place::Face(slot) | Place::Load(slot) | Place::Wire(slot) => {
            if state.unloaded.contains(slot) {
                return Some(Current::from_a(0.0));
            }
            ClampPlace::Pole(slot.clone())
        }
        Place::Lug(panel, leg) | Place::Line(panel, leg) => ClampPlace::Line(panel.clone(), *leg),
        Place::NeutralLug(panel) | Place::NeutralLine(panel) => ClampPlace::Neutral(panel.clone()),
        _ => return None,
    };
    job.observations.iter().find_map(|seen| match &seen.what {
        Observed::Current(read) if read.state == state.name && read.place == clamp => Some(read.value),
        _ => None,
    })
}
