//! Healthy readings of the shop: how warm sound joints were, by rating and load.

use model::evidence::{ClampPlace, Observed};
use model::job::{Condition, Job};
use model::joint::JointId;
use model::place::Place;
use model::{Date, Slot};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

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
    /// 95 % interval of the median, kelvin; `None` of fewer than six.
    pub range_k: Option<(f64, f64)>,
    /// Jobs behind them, in the order of their names; as many as were asked for.
    pub jobs: Vec<Arc<str>>,
    /// How many there are.
    pub n_jobs: usize,
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
