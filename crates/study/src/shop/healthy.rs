//! Healthy readings of the shop: how warm sound joints were, by rating and load.

use model::evidence::{ClampPlace, Observed};
use model::job::{Condition, Job};
use model::joint::JointId;
use model::place::Place;
use model::{Date, Slot};
use serde::{Deserialize, Serialize};

/// Share of the rating within which two loads count as alike.
const ALIKE: f64 = 0.1;

/// Shortest time under load for a reading to count, minutes; common practice, no source. A breaker's body needs about
/// twenty minutes to come near its temperature.
const HELD_MIN: f64 = 20.0;

/// A reading at the face of a breaker whose stab was later opened and found sound.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Healthy {
    /// The job.
    pub job: String,
    /// When it was read.
    pub day: Date,
    /// Rating of the breaker, amperes.
    pub rating_a: f64,
    /// Current as a share of the rating.
    pub load: f64,
    /// Kelvin above the room.
    pub rise_k: f64,
}

/// Readings of one rating within one fifth of the load.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// Rating, amperes.
    pub rating_a: f64,
    /// Share of the rating, from and to.
    pub load: (f64, f64),
    /// Readings.
    pub n: usize,
    /// Lowest, median and highest rise, kelvin.
    pub rise_k: (f64, f64, f64),
    /// Jobs behind them.
    pub jobs: Vec<String>,
}

/// Readings of a job at joints found sound.
pub(super) fn of(name: &str, job: &Job) -> Vec<Healthy> {
    let sound = job.openings.iter().filter(|opening| opening.found == Condition::Sound);
    let slots: Vec<&Slot> = sound
        .filter_map(|opening| match &opening.joint {
            JointId::Stab(slot) => Some(slot),
            _ => None,
        })
        .collect();
    let mut readings = Vec::new();
    for observation in &job.observations {
        let Observed::Temperature(reading) = &observation.what else { continue };
        let Place::Face(slot) = &reading.place else { continue };
        if !slots.contains(&slot) {
            continue;
        }
        let state = job.load_states.iter().find(|state| state.name == reading.state);
        let Some(state) = state.filter(|state| state.held_min.is_none_or(|held| HELD_MIN <= held)) else {
            continue;
        };
        let current = job.observations.iter().find_map(|other| match &other.what {
            Observed::Current(clamp) if clamp.state == reading.state => match &clamp.place {
                ClampPlace::Pole(pole) if pole == slot => Some(clamp.value.a()),
                _ => None,
            },
            _ => None,
        });
        let panel = job.installation.panels.iter().find(|panel| panel.id == slot.panel);
        let breaker = panel.and_then(|panel| panel.breaker_at(slot.space));
        if let (Some(current), Some(room), Some(breaker)) = (current, state.room, breaker) {
            let rating_a = breaker.rating.a();
            readings.push(Healthy {
                job: name.to_owned(),
                day: observation.at.date(),
                rating_a,
                load: current / rating_a,
                rise_k: reading.value.c() - room.c(),
            });
        }
    }
    readings
}

/// All readings by rating and fifth of the load, in that order.
pub fn bands<'a>(readings: impl IntoIterator<Item = &'a Healthy>) -> Vec<Band> {
    let mut cells: std::collections::BTreeMap<(i64, i64), Vec<&Healthy>> = Default::default();
    for reading in readings {
        let rating = (reading.rating_a * 10.0).round() as i64;
        let fifth = (reading.load * 5.0).floor() as i64;
        cells.entry((rating, fifth)).or_default().push(reading);
    }
    let band = |((rating, fifth), readings): ((i64, i64), Vec<&Healthy>)| {
        let mut rises: Vec<f64> = readings.iter().map(|reading| reading.rise_k).collect();
        rises.sort_by(f64::total_cmp);
        let mut jobs: Vec<String> = readings.iter().map(|reading| reading.job.clone()).collect();
        jobs.sort();
        jobs.dedup();
        let n = rises.len();
        Some(Band {
            rating_a: rating as f64 / 10.0,
            load: (fifth as f64 / 5.0, (fifth + 1) as f64 / 5.0),
            n,
            rise_k: (*rises.first()?, (rises.get((n - 1) / 2)? + rises.get(n / 2)?) / 2.0, *rises.last()?),
            jobs,
        })
    };
    cells.into_iter().filter_map(band).collect()
}

/// Of the healthy readings at this rating and about this load: how many are lower than `rise_k`, and how many there are.
pub fn rank<'a>(
    readings: impl IntoIterator<Item = &'a Healthy>,
    rating_a: f64,
    load: f64,
    rise_k: f64,
) -> (usize, usize) {
    let alike = |reading: &&Healthy| {
        (reading.rating_a - rating_a).abs() < 0.05 && (reading.load - load).abs() <= ALIKE
    };
    let alike: Vec<&Healthy> = readings.into_iter().filter(alike).collect();
    (alike.iter().filter(|reading| reading.rise_k < rise_k).count(), alike.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(load: f64, rise_k: f64) -> Healthy {
        Healthy { job: "a".to_owned(), day: Date::constant(2026, 1, 1), rating_a: 20.0, load, rise_k }
    }

    #[test]
    fn a_reading_is_ranked_among_those_of_its_rating_and_load() {
        let readings: Vec<Healthy> = (0..100).map(|at| reading(0.55, f64::from(at) / 10.0)).collect();
        let others = [reading(0.9, 50.0), Healthy { rating_a: 30.0, ..reading(0.55, 50.0) }];
        let all = || readings.iter().chain(&others);
        assert_eq!(rank(all(), 20.0, 0.55, 9.25), (93, 100), "higher than 93 of 100 at this load");
        assert_eq!(rank(all(), 15.0, 0.55, 9.25), (0, 0));
        let bands = bands(all());
        assert_eq!(bands.iter().map(|band| band.n).collect::<Vec<_>>(), [100, 1, 1]);
        assert_eq!((bands[0].load, bands[0].rise_k), ((0.4, 0.6), (0.0, 4.95, 9.9)));
    }
}
