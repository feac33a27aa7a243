//! Readings that are no fact for an owner: those that another one of the same place and load state contradicts, and those that
//! a later one there, or lasting work, replaced. The judgement weighs all but what lasting work replaced; here is only what may be
//! told as it stands.

use model::assessment::SetAgainst;
use model::evidence::{ClampPlace, Observation, Observed};
use model::job::Job;
use std::collections::BTreeMap;

/// Kind of reading with its place and state, as a key.
type Spot = (&'static str, String, String);

/// A reading of one spot.
struct Reading<'a> {
    seen: &'a Observation,
    value: f64,
    /// Furthest that an honest second reading is from this one. Judgement: about five times the error of two instruments.
    apart: f64,
    /// Only compared with, as the current that was read beside a drop.
    beside: bool,
}

/// All of them.
pub fn set_against(job: &Job) -> SetAgainst {
    let mut spots: BTreeMap<Spot, Vec<Reading<'_>>> = BTreeMap::new();
    let mut found = SetAgainst::default();
    for seen in &job.observations {
        if job.overtaking(seen).is_some() {
            found.replaced.push(seen.fact.clone());
            continue;
        }
        for (spot, reading) in readings(seen) {
            spots.entry(spot).or_default().push(reading);
        }
    }
    for mut group in spots.into_values() {
        group.sort_by_key(|reading| reading.seen.at);
        let order = |one: &&Reading<'_>, other: &&Reading<'_>| one.value.total_cmp(&other.value);
        let (low, high) = (group.iter().min_by(order), group.iter().max_by(order));
        let contradicted = low.zip(high).is_some_and(|(low, high)| {
            let apart = if low.apart < high.apart { high.apart } else { low.apart };
            apart < high.value - low.value
        });
        let own = group.iter().filter(|reading| !reading.beside).map(|reading| reading.seen.fact.clone());
        if contradicted {
            found.contradicted.extend(own);
        } else {
            let mut own: Vec<_> = own.collect();
            own.pop();
            found.replaced.extend(own);
        }
    }
    found
}

fn readings(seen: &Observation) -> Vec<(Spot, Reading<'_>)> {
    let reading = |value, apart, beside| Reading { seen, value, apart, beside };
    match &seen.what {
        Observed::Temperature(read) => {
            let spot = ("temperature", read.place.to_string(), read.state.clone());
            vec![(spot, reading(read.value.c(), 11.0, false))]
        }
        Observed::Current(read) => {
            let amps = read.value.a().abs();
            vec![(current(&read.place, &read.state), reading(amps, apart_a(amps), false))]
        }
        Observed::Voltage(read) => {
            let spot = ("voltage", format!("{} to {}", read.from, read.to), read.state.clone());
            vec![(spot, reading(read.value.v(), 3.5, false))]
        }
        Observed::Drop(read) => {
            let volts = read.value.v();
            let spot = ("drop", format!("{} to {}", read.from, read.to), read.state.clone());
            let mut all = vec![(spot, reading(volts, 0.2 * volts.abs() + 0.0035, false))];
            if let Some((amps, slot)) = read.current.zip(read.to.slot()) {
                let amps = amps.a().abs();
                let spot = current(&ClampPlace::Pole(slot.clone()), &read.state);
                all.push((spot, reading(amps, apart_a(amps), true)));
            }
            all
        }
        Observed::Touch(_) | Observed::Trip(_) | Observed::Sign(_) => Vec::new(),
    }
}

fn current(place: &ClampPlace, state: &str) -> Spot {
    ("current", format!("{place:?}"), state.to_owned())
}

/// How far a second clamp reading may be from this one, A.
fn apart_a(amps: f64) -> f64 {
    0.2 * amps + 0.7
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{Sample, sound_panel};
    use model::Current;
    use model::evidence::CurrentReading;
    use model::id::{FactId, PanelId, Slot, Space};

    /// A panel with these clamp readings of space 4 in one state, one a minute, each with its own fact.
    fn clamped(amps: &[f64], state: &str) -> Sample {
        let mut sample = sound_panel();
        for (idx, &amps) in amps.iter().enumerate() {
            sample = sample.observed(Observed::Current(CurrentReading {
                place: ClampPlace::Pole(Slot::new(PanelId::new("main"), Space::whole(4))),
                value: Current::from_a(amps),
                instrument: None,
                state: state.to_owned(),
            }));
            let seen = sample.job.observations.last_mut().expect("it was pushed just now");
            seen.fact = FactId::new(format!("clamp-{idx}"));
            seen.at = model::Date::constant(2026, 3, 4).at(9, idx as i8, 0, 0);
        }
        sample
    }

    #[test]
    fn a_mistyped_reading_and_the_one_that_denies_it_are_no_facts() {
        for amps in [[250.0, 0.0], [0.0, 250.0]] {
            let found = set_against(&clamped(&amps, "evening").job);
            assert_eq!(found.contradicted, [FactId::new("clamp-0"), FactId::new("clamp-1")]);
            assert!(found.replaced.is_empty());
            assert!(!found.stands(&FactId::new("clamp-0")) && !found.stands(&FactId::new("clamp-1")));
        }
    }

    #[test]
    fn of_readings_that_agree_the_last_one_stands() {
        let found = set_against(&clamped(&[12.1, 12.4, 12.3], "evening").job);
        assert!(found.contradicted.is_empty(), "{found:?}");
        assert_eq!(found.replaced, [FactId::new("clamp-0"), FactId::new("clamp-1")]);
        assert!(found.stands(&FactId::new("clamp-2")));
    }

    #[test]
    fn another_state_is_another_matter() {
        let mut sample = clamped(&[250.0], "evening");
        sample.job.observations.extend(clamped(&[0.0], "all off").job.observations);
        assert_eq!(set_against(&sample.job), SetAgainst::default());
    }
}
