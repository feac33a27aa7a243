//! Readings that a note asks to take again: listed among the checks with how to take them, whatever they are expected to tell.

use super::checks::{Candidate, Lost};
use super::unlike::LEAST;
use super::{Posterior, place_words};
use crate::problem::Obs;
use model::advice::CheckAdvice;
use model::assessment::JointFinding;
use model::evidence::Observed;
use model::job::Exposure;
use model::place::Place;

/// Readings that are asked for again.
const MOST: usize = 2;

impl Posterior<'_> {
    /// Readings that nothing else fits, and those that contradict one another: the likeliest to be wrong first, each thing once.
    pub(super) fn again_checks(&self, joints: &[JointFinding], wrong: &[f64]) -> Vec<CheckAdvice> {
        let reached = self.p.job.exposure;
        let mut doubted: Vec<(&Obs, f64)> = self
            .p
            .obs
            .iter()
            .zip(wrong)
            .filter(|(obs, wrong)| obs.censored.is_none() && (obs.is_contradicted() || LEAST <= **wrong))
            .map(|(obs, &wrong)| (obs, wrong))
            .collect();
        doubted.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut all: Vec<CheckAdvice> = Vec::new();
        for (obs, _) in doubted {
            let Some(candidate) = self.again(obs, joints) else { continue };
            let advice = &candidate.advice;
            let is_listed = all.iter().any(|one| one.kind == advice.kind && one.places == advice.places);
            if is_listed || reached < advice.exposure || reached == Exposure::ProvenDead {
                continue;
            }
            all.push(self.score(&candidate, joints).0);
            if all.len() == MOST {
                break;
            }
        }
        all
    }

    /// A reading taken again in its own load state.
    fn again(&self, obs: &Obs, joints: &[JointFinding]) -> Option<Candidate> {
        let state = &self.p.states.get(obs.state)?.name;
        let instrument = &self.p.priors.instrument;
        let none = || (vec![f64::NAN; self.exact.picked.len()], 1.0);
        let about = |places: &[Place]| -> Vec<usize> {
            let own = |id: &model::joint::JointId| {
                places.iter().any(|place| match place.slot() {
                    Some(slot) => id.slot() == Some(slot),
                    None => matches!((place, id), (Place::Lug(of, on), model::joint::JointId::Lug(at, leg)) if of == at && on == leg),
                })
            };
            (0..joints.len()).filter(|&res| own(&joints[res].joint.id)).collect()
        };
        let (what, kind, places, (reads, sigma), unit) = match &self.p.observation(obs.source).what {
            Observed::Temperature(reading) => {
                let spot = obs.thermal.as_ref()?;
                let panel = self.p.views[spot.view].panel;
                let noise_k = match reading.place {
                    Place::Face(_) => instrument.infrared_noise_k,
                    _ => instrument.contact_noise_k,
                };
                let kind = match reading.place {
                    Place::Face(_) | Place::Cover(_) => "face-temperature",
                    Place::Load(_) | Place::Wire(_) => "terminal-temperature",
                    _ => "lug-temperature",
                };
                let what = format!(
                    "Take the temperature of {} again, with \"{state}\" running: from straight ahead at the middle of a matte spot, with \
                     nothing hot mirrored in it; look whether the instrument shows °C or °F, and read it twice.",
                    place_words(&reading.place)
                );
                let reads = self.temperatures(panel, obs.state, spot.node, noise_k).unwrap_or_else(none);
                (what, kind, vec![reading.place.clone()], reads, "°C")
            }
            Observed::Drop(reading) => {
                let what = format!(
                    "Under \"{state}\", read the millivolts from {} to {} again, with the current clamped at the same time: the same two \
                     spots of bare metal, leads twisted, then with the leads swapped, and once with the load off, which is to be taken \
                     away.",
                    place_words(&reading.from),
                    place_words(&reading.to)
                );
                let reads = self.lost(obs.state, &reading.from, &reading.to);
                let reads = reads.map_or_else(none, |Lost { reads, sigma, .. }| (reads, sigma));
                (what, "drop", vec![reading.from.clone(), reading.to.clone()], reads, "mV")
            }
            Observed::Voltage(reading) => {
                let what = format!(
                    "Read the voltage from {} to {} again, with \"{state}\" running, and that of the other leg right after it with the \
                     same loads.",
                    place_words(&reading.from),
                    place_words(&reading.to)
                );
                (what, "leg-voltages", vec![reading.from.clone(), reading.to.clone()], none(), "V")
            }
            Observed::Current(_) | Observed::Touch(_) | Observed::Trip(_) | Observed::Sign(_) => return None,
        };
        let is_outside =
            |place: &Place| matches!(place, Place::Face(_) | Place::Cover(_) | Place::Receptacle(_));
        let outside = places.iter().all(is_outside);
        let (exposure, who, caution) = if outside {
            let caution = "The dead front can stay on for this: leave it on, or put it back.";
            (Exposure::CoverOn, "anyone trained to use the instrument", caution)
        } else {
            let caution = "Live parts are open. Do not move conductors; do not pull the breaker.";
            (Exposure::CoverOff, "qualified person with protective gear", caution)
        };
        let about = about(&places);
        let advice = CheckAdvice {
            what,
            kind: kind.into(),
            places,
            joints: Vec::new(),
            exposure,
            who: who.into(),
            minutes: 2.0,
            gain_bits: 0.0,
            expects: Vec::new(),
            cautions: vec![caution.into()],
        };
        Some(Candidate { advice, reads, sigma, unit, about })
    }
}
