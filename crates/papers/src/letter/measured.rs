//! What was measured, in plain words, what matters most first.

use super::Letter;
use crate::clean::clean;
use crate::number::{amperes, fahrenheit, plain, volts};
use crate::phrases::fill;
use model::evidence::{ClampPlace, Observation, Observed, Surface, TemperatureMethod, TemperatureReading};
use model::id::{PanelId, Slot};
use model::place::Place;
use model::system::Leg;

/// From this difference between the legs on the voltages come before everything else, volts.
/// Source: common practice, no source: a split of five volts and more that moves with load is looked into.
const SPLIT_V: f64 = 5.0;

/// Voltages to neutral of the legs of a panel in one state, V.
struct LegsRead<'a> {
    panel: &'a PanelId,
    state: &'a str,
    volts: Vec<(Leg, f64)>,
}

impl Letter<'_> {
    pub(super) fn measured(&self) -> Vec<String> {
        let (wide, even) = self.leg_voltages();
        let mut texts = wide;
        texts.extend(self.overloads());
        texts.extend(self.temperatures());
        texts.extend(self.trips());
        let n_contradicted = self.assessment.set_against.contradicted.len();
        if 0 < n_contradicted {
            texts.push(fill(&self.phrases.letter.contradicted, &[("n", &n_contradicted.to_string())]));
        }
        texts.extend(self.drops());
        texts.extend(even);
        texts
    }

    /// Readings that may be told as they stand, the latest of each place and load state.
    fn readings(&self) -> impl Iterator<Item = &Observation> + Clone {
        let told = &self.assessment.set_against;
        self.job.observations.iter().filter(|observation| told.stands(&observation.fact))
    }

    /// One sentence a panel and load state: legs that differ, the widest difference first, then legs that do not.
    fn leg_voltages(&self) -> (Vec<String>, Vec<String>) {
        let mut read: Vec<LegsRead<'_>> = Vec::new();
        for observation in self.readings() {
            let Observed::Voltage(reading) = &observation.what else { continue };
            let Some((panel, leg)) = reading.whole_leg() else { continue };
            let (state, value) = (reading.state.as_str(), (leg, reading.value.v()));
            match read.iter_mut().find(|one| one.panel == panel && one.state == state) {
                Some(legs) => legs.volts.push(value),
                None => read.push(LegsRead { panel, state, volts: vec![value] }),
            }
        }
        read.sort_by(|one, two| spread(&two.volts).total_cmp(&spread(&one.volts)));
        let (mut wide, mut even) = (Vec::new(), Vec::new());
        for mut legs in read {
            let is_wide = SPLIT_V <= spread(&legs.volts);
            legs.volts.sort_by_key(|(leg, _)| *leg);
            legs.volts.dedup_by_key(|(leg, _)| *leg);
            let text = self.legs(&legs);
            if is_wide { wide.push(text) } else { even.push(text) }
        }
        (wide, even)
    }

    fn legs(&self, LegsRead { panel, state, volts }: &LegsRead<'_>) -> String {
        let words = &self.phrases.letter;
        let side = |(leg, volts): &(Leg, f64)| {
            fill(&words.side, &[("leg", &leg.to_string()), ("volts", &plain(*volts, 0))])
        };
        let sides: Vec<String> = volts.iter().map(side).collect();
        let (sides, state) = (self.list(&sides), clean(state));
        // Behind another panel's breaker it is that panel's own supply.
        if self.job.installation.panels.first().is_some_and(|first| first.id == **panel) {
            return fill(&words.legs, &[("sides", &sides), ("state", &state)]);
        }
        let panel = clean(&panel.to_string());
        fill(&words.legs_of_panel, &[("panel", &panel), ("sides", &sides), ("state", &state)])
    }

    /// Circuits that carried more than their rating.
    fn overloads(&self) -> Vec<String> {
        let mut texts = Vec::new();
        for observation in self.readings() {
            let Observed::Current(reading) = &observation.what else { continue };
            let ClampPlace::Pole(slot) = &reading.place else { continue };
            let Some(breaker) = self.job.installation.breaker_at(slot) else { continue };
            if breaker.rating < reading.value {
                texts.push(fill(
                    &self.phrases.letter.overload,
                    &[
                        ("breaker", &self.breaker_name(slot)),
                        ("current", &amperes(reading.value)),
                        ("rating", &amperes(breaker.rating)),
                    ],
                ));
            }
        }
        texts
    }

    /// One sentence a load state, the hottest state first: the two hottest places, the range of the others.
    fn temperatures(&self) -> Vec<String> {
        let mut states: Vec<(&str, Vec<&TemperatureReading>)> = Vec::new();
        for observation in self.readings() {
            let Observed::Temperature(reading) = &observation.what else { continue };
            let refused =
                reading.method == TemperatureMethod::Infrared && reading.surface == Surface::BareMetal;
            if refused || !reading.value.k().is_finite() {
                continue;
            }
            match states.iter_mut().find(|(state, _)| *state == reading.state) {
                Some((_, readings)) => readings.push(reading),
                None => states.push((&reading.state, vec![reading])),
            }
        }
        for (_, readings) in &mut states {
            readings.sort_by(|one, two| two.value.k().total_cmp(&one.value.k()));
            // of the poles of one breaker the hottest speaks for all
            let mut named: Vec<String> = Vec::new();
            readings.retain(|reading| {
                let name = self.place(&reading.place);
                let fresh = !named.contains(&name);
                named.push(name);
                fresh
            });
        }
        let hottest = |readings: &[&TemperatureReading]| readings.first().map_or(0.0, |it| it.value.k());
        states.sort_by(|(_, one), (_, two)| hottest(two).total_cmp(&hottest(one)));
        states.iter().map(|(state, readings)| self.temperatures_in(state, readings)).collect()
    }

    fn temperatures_in(&self, state: &str, readings: &[&TemperatureReading]) -> String {
        let words = &self.phrases.letter;
        let n_named = if readings.len() <= 3 { readings.len() } else { 2 };
        let named: Vec<String> =
            readings.iter().take(n_named).map(|reading| self.warm_place(reading)).collect();
        let state = clean(state);
        let mut text = fill(&words.warmest, &[("places", &self.list(&named)), ("state", &state)]);
        let rest = &readings[n_named..];
        if let (Some(first), Some(last)) = (rest.first(), rest.last()) {
            let (high, low) = (fahrenheit(first.value), fahrenheit(last.value));
            let n = rest.len().to_string();
            text = format!("{text} {}", fill(&words.others, &[("n", &n), ("low", &low), ("high", &high)]));
        }
        text
    }

    /// `breaker 15 (kitchen) 119 °F (48 °C) with 13.2 A`.
    fn warm_place(&self, reading: &TemperatureReading) -> String {
        let words = &self.phrases.letter;
        let value = fahrenheit(reading.value);
        let slot = match &reading.place {
            Place::Face(slot) | Place::Load(slot) => Some(slot),
            _ => None,
        };
        let place = match slot {
            Some(slot) => self.breaker_name(slot),
            None => self.place(&reading.place),
        };
        match slot.and_then(|slot| self.current_in(slot, &reading.state)) {
            Some(current) => fill(
                &words.warm_with,
                &[("place", &place), ("value", &value), ("current", &amperes(current))],
            ),
            None => fill(&words.warm_place, &[("place", &place), ("value", &value)]),
        }
    }

    fn current_in(&self, slot: &Slot, state: &str) -> Option<model::Current> {
        self.readings().find_map(|observation| match &observation.what {
            Observed::Current(reading)
                if reading.state == state && reading.place == ClampPlace::Pole(slot.clone()) =>
            {
                Some(reading.value)
            }
            _ => None,
        })
    }

    fn trips(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let mut texts = Vec::new();
        for observation in &self.job.observations {
            let Observed::Trip(trip) = &observation.what else { continue };
            let breaker = self.breaker_name(&trip.slot);
            let rating = self.job.installation.breaker_at(&trip.slot).map(|it| amperes(it.rating));
            let rating = rating.unwrap_or_default();
            let text = match (trip.current, trip.after_min) {
                (Some(current), Some(minutes)) => fill(
                    &words.trip_after,
                    &[
                        ("breaker", &breaker),
                        ("current", &amperes(current)),
                        ("minutes", &plain(minutes, 0)),
                        ("rating", &rating),
                    ],
                ),
                (Some(current), None) => fill(
                    &words.trip_at,
                    &[("breaker", &breaker), ("current", &amperes(current)), ("rating", &rating)],
                ),
                (None, _) => fill(&words.trip, &[("breaker", &breaker)]),
            };
            texts.push(text);
        }
        texts
    }

    /// All voltage drops in one sentence, with the largest.
    fn drops(&self) -> Option<String> {
        let drops = self.readings().filter_map(|observation| match &observation.what {
            Observed::Drop(reading) => Some(reading),
            _ => None,
        });
        let n = drops.clone().count();
        let largest = drops.max_by(|one, two| one.value.v().abs().total_cmp(&two.value.v().abs()))?;
        let place = self.place(self.job.far_end(largest));
        if n == 1 {
            let values = [("value", volts(largest.value)), ("place", place)];
            let values = values.each_ref().map(|(name, value)| (*name, value.as_str()));
            return Some(fill(&self.phrases.letter.drop, &values));
        }
        let n = n.to_string();
        let values = [("n", n.as_str()), ("value", &volts(largest.value)), ("place", &place)];
        Some(fill(&self.phrases.letter.drops, &values))
    }
}

/// Difference between the highest and the lowest value.
fn spread(values: &[(Leg, f64)]) -> f64 {
    let volts = values.iter().map(|(_, volts)| *volts);
    volts.clone().fold(f64::NEG_INFINITY, f64::max) - volts.fold(f64::INFINITY, f64::min)
}
