//! Statements made from the facts themselves, where the judgement brings none of a class.

use super::Letter;
use super::classes::ready;
use crate::clean::clean;
use crate::number::{amperes, fahrenheit, volts};
use crate::phrases::fill;
use crate::terms;
use model::evidence::{ClampPlace, Observed, TemperatureReading};
use model::place::Place;
use std::cmp::Ordering;

impl Letter<'_> {
    /// Complaints, signs that were found, touches.
    pub(super) fn seen_facts(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let mut texts = Vec::new();
        for complaint in &self.job.complaints {
            let said = clean(&complaint.words);
            if !said.is_empty() {
                texts.push(ready(&fill(&words.said, &[("words", &said)])));
            }
        }
        for observation in &self.job.observations {
            match &observation.what {
                Observed::Sign(sign) if sign.present => {
                    let name = self.phrases.word("sign", sign.sign.word());
                    let scope = terms::scope(self.phrases, &sign.scope);
                    texts.push(ready(&fill(&words.look, &[("sign", name), ("scope", &scope)])));
                }
                Observed::Touch(touch) if !touch.void => {
                    let feel = self.phrases.word("feel-owner", terms::feel(touch.feel));
                    let place = terms::place(self.phrases, &Place::Face(touch.slot.clone()));
                    texts.push(ready(&format!("{place}: {feel}")));
                }
                _ => {}
            }
        }
        texts
    }

    /// Readings, the hottest first.
    pub(super) fn measured_facts(&self) -> Vec<String> {
        let mut warm: Vec<&TemperatureReading> = Vec::new();
        let mut texts = Vec::new();
        for observation in &self.job.observations {
            match &observation.what {
                Observed::Temperature(reading) => warm.push(reading),
                Observed::Current(reading) => {
                    if let ClampPlace::Pole(slot) = &reading.place {
                        let place = terms::clamp(self.phrases, &ClampPlace::Pole(slot.clone()));
                        texts.push(self.reading(&place, &amperes(reading.value), &reading.state));
                    }
                }
                Observed::Voltage(reading) => {
                    let from = terms::place(self.phrases, &reading.from);
                    let to = terms::place(self.phrases, &reading.to);
                    texts.push(self.reading(
                        &format!("{from} – {to}"),
                        &volts(reading.value),
                        &reading.state,
                    ));
                }
                _ => {}
            }
        }
        warm.sort_by(|one, two| two.value.partial_cmp(&one.value).unwrap_or(Ordering::Equal));
        let warm = warm.into_iter().map(|reading| {
            let place = terms::place(self.phrases, &reading.place);
            self.reading(&place, &fahrenheit(reading.value), &reading.state)
        });
        warm.chain(texts).collect()
    }

    fn reading(&self, place: &str, value: &str, state: &str) -> String {
        let state = clean(state);
        if state.is_empty() {
            return ready(&format!("{place}: {value}"));
        }
        let state = fill(&self.phrases.letter.state, &[("state", &state)]);
        ready(&format!("{place}: {value} {state}"))
    }

    /// The leading causes of each complaint.
    pub(super) fn inferred_causes(&self) -> Vec<String> {
        let mut texts = Vec::new();
        for complaint in &self.assessment.causes {
            for cause in complaint.causes.iter().take(2) {
                let name = self.phrases.word("cause", cause.cause.word());
                let chance = crate::chance::in_words(self.phrases, cause.probability);
                texts.push(ready(&format!("{name}: {chance}")));
            }
        }
        texts
    }
}
