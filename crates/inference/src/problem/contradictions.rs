//! Two readings of the same thing that cannot both be right: said in a note and not averaged. Each of them may be the
//! wrong one, so each is weighed as one that is wrong as likely as not.

use super::{Obs, Problem};
use model::evidence::{ClampPlace, Observation, Observed, SignScope};
use std::collections::BTreeMap;

/// Readings further apart than this many of their joint errors cannot both be right.
pub(super) const FAR: f64 = 5.0;
/// Chance that each of such readings is the wrong one.
pub(super) const WRONG: f64 = 0.5;

/// A reading with what it was of, its value as printed and as compared, and the error of one such reading.
struct Reading {
    of: String,
    shown: String,
    value: f64,
    error: f64,
}

impl Obs {
    /// Is there another reading of the same thing that this one cannot be reconciled with?
    pub(crate) fn is_contradicted(&self) -> bool {
        WRONG <= self.wrong.chance
    }
}

impl Problem {
    /// What a numeric reading is of, and what it shows, in words.
    pub(crate) fn words_of_reading(&self, source: usize) -> Option<(String, String)> {
        self.reading_of(self.observation(source)).map(|reading| (reading.of, reading.shown))
    }

    pub(super) fn flag_contradictions(&mut self) {
        let mut groups: BTreeMap<String, Vec<(usize, Reading)>> = BTreeMap::new();
        for (source, observation) in self.job.observations.iter().enumerate() {
            if self.breaker_that_denies(observation).is_some() {
                continue;
            }
            for reading in self.reading_of(observation).into_iter().chain(self.current_beside(observation)) {
                groups.entry(reading.of.clone()).or_default().push((source, reading));
            }
        }
        for (of, group) in groups {
            let order = |a: &&(usize, Reading), b: &&(usize, Reading)| a.1.value.total_cmp(&b.1.value);
            let (Some(low), Some(high)) = (group.iter().min_by(order), group.iter().max_by(order)) else {
                continue;
            };
            if high.1.value - low.1.value <= FAR * libm::hypot(low.1.error, high.1.error) {
                continue;
            }
            let fact = |source: usize| self.job.observations[source].fact.clone();
            let text = format!(
                "{} (fact {}) and {} (fact {}) cannot both be right. They are not averaged: each is weighed as one that \
                 may be wrong. Look again, and correct the record.",
                low.1.shown,
                fact(low.0),
                high.1.shown,
                fact(high.0)
            );
            let sources: Vec<usize> = group.iter().map(|&(source, _)| source).collect();
            self.note(of, text);
            for obs in self.obs.iter_mut().filter(|obs| sources.contains(&obs.source)) {
                obs.wrong.chance = WRONG;
            }
        }
    }

    /// The current that was read beside a drop: of the pole that the drop is over.
    fn current_beside(&self, observation: &Observation) -> Option<Reading> {
        let Observed::Drop(reading) = &observation.what else { return None };
        let (current, slot) = (reading.current?, reading.to.slot()?);
        Some(Reading {
            of: current_words(&ClampPlace::Pole(slot.clone()), &reading.state),
            shown: format!("{:.1} A beside the drop", current.a().abs()),
            value: current.a().abs(),
            error: self.priors.instrument.clamp_error_a(current.a()),
        })
    }

    fn reading_of(&self, observation: &Observation) -> Option<Reading> {
        let instrument = &self.priors.instrument;
        match &observation.what {
            Observed::Temperature(reading) => Some(Reading {
                of: format!("{} in \"{}\"", reading.place, reading.state),
                shown: format!("{:.1} °C", reading.value.c()),
                value: reading.value.c(),
                // Two spots on one face, or two instruments.
                error: libm::hypot(instrument.infrared_noise_k, instrument.bias_k),
            }),
            Observed::Current(reading) => Some(Reading {
                of: current_words(&reading.place, &reading.state),
                shown: format!("{:.1} A", reading.value.a()),
                value: reading.value.a(),
                error: instrument.clamp_error_a(reading.value.a()),
            }),
            Observed::Voltage(reading) => Some(Reading {
                of: format!("voltage {} to {} in \"{}\"", reading.from, reading.to, reading.state),
                shown: format!("{:.1} V", reading.value.v()),
                value: reading.value.v(),
                error: libm::hypot(instrument.volt_v, instrument.drift_v),
            }),
            Observed::Drop(reading) => Some(Reading {
                of: format!("drop {} to {} in \"{}\"", reading.from, reading.to, reading.state),
                shown: format!("{:.0} mV", reading.value.v() * 1e3),
                value: reading.value.v(),
                error: 0.03 * reading.value.v().abs() + 1e-3 * instrument.drop_mv,
            }),
            Observed::Sign(reading) => Some(Reading {
                of: format!("{} {}", reading.sign.word().replace('-', " "), scope_words(&reading.scope)),
                shown: if reading.present { "seen".into() } else { "looked for, not seen".into() },
                value: if reading.present { 1.0 } else { 0.0 },
                error: 0.1,
            }),
            Observed::Touch(_) | Observed::Trip(_) => None,
        }
    }
}

fn current_words(place: &ClampPlace, state: &str) -> String {
    format!("current {} in \"{state}\"", clamp_words(place))
}

fn clamp_words(place: &ClampPlace) -> String {
    match place {
        ClampPlace::Pole(slot) => format!("of space {slot}"),
        ClampPlace::Line(panel, leg) => format!("of leg {leg} into {panel}"),
        ClampPlace::Neutral(panel) => format!("of the neutral of {panel}"),
        ClampPlace::Electrode(panel) => format!("of the electrode conductor of {panel}"),
    }
}

fn scope_words(scope: &SignScope) -> String {
    match scope {
        SignScope::Slot(slot) => format!("at space {slot}"),
        SignScope::Lug(panel, leg) => format!("at lug {leg} of {panel}"),
        SignScope::Neutral(panel) => format!("at the neutral of {panel}"),
        SignScope::Leg(panel, leg) => format!("on leg {leg} of {panel}"),
        SignScope::Panel(panel) => format!("in {panel} as a whole"),
    }
}
