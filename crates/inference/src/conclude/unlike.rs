//! Readings that nothing else on record fits: said in a note, so that nobody takes for weighed what hardly counts.

use super::Posterior;
use crate::problem::{Mode, Obs};
use crate::sampler::Draw;
use model::{FactId, Note};

/// A reading is told of from this probability that it is wrong.
pub(super) const LEAST: f64 = 0.5;
/// A temperature is not explained where more of its rise than this, and more kelvin than that, is laid to errors. Judgement.
const MOST_OF_RISE: f64 = 0.5;
const MOST_K: f64 = 10.0;

impl Posterior<'_> {
    /// Fact and note of each reading that is more likely wrong than right by all others. Those that contradict another one have theirs.
    pub(super) fn unlike(&self, wrong: &[f64]) -> Vec<(FactId, Note)> {
        let readings = self.p.obs.iter().zip(wrong);
        readings
            .filter(|(obs, _)| obs.censored.is_none() && !obs.is_contradicted())
            .filter_map(|(obs, &wrong)| {
                let (of, shown) = self.p.words_of_reading(obs.source).filter(|_| LEAST <= wrong)?;
                let text = format!(
                    "{shown} (fact {}) fits nothing else on record: with {wrong:.2} it is wrong, or of something that the record \
                     does not tell, so it hardly counts. Read it again, and correct the record; if it is right, look for what \
                     makes it so.",
                    obs.fact
                );
                Some((obs.fact.clone(), Note::new(of, text)))
            })
            .collect()
    }

    /// Probability that each reading is wrong altogether or, a temperature, not explained by anything but errors; an interval never is.
    pub(super) fn wrong(&self) -> Vec<f64> {
        let of_reading = |(idx, obs): (usize, &Obs)| {
            if obs.censored.is_none() { self.is_wrong(idx, obs) } else { 0.0 }
        };
        self.p.obs.iter().enumerate().map(of_reading).collect()
    }

    fn is_wrong(&self, idx: usize, obs: &Obs) -> f64 {
        let flat = obs.wrong.density(obs.value);
        let of_draw = |draw: &Draw| {
            let is_unexplained = self.is_unexplained(idx, obs, draw);
            if is_unexplained { 1.0 } else { flat / obs.density(draw.predicted[idx], &self.p.errors) }
        };
        self.draws.iter().zip(self.exact.all()).map(|(draw, weight)| weight * of_draw(draw)).sum()
    }

    /// Is most of the rise of a temperature laid to its own error and to what the network does not know of the pole?
    fn is_unexplained(&self, idx: usize, obs: &Obs, draw: &Draw) -> bool {
        if obs.mode != Mode::Thermal {
            return false;
        }
        let of_pole = obs.offsets.iter().filter(|&&(offset, _)| self.p.offsets[offset].tail.is_some());
        let of_pole: f64 = of_pole.map(|&(offset, weight)| weight * draw.offsets[offset]).sum();
        let rise_k = obs.value - draw.offsets[self.p.states[obs.state].room_offset];
        let error_k = obs.value - draw.predicted[idx] + of_pole;
        MOST_K.max(MOST_OF_RISE * libm::fabs(rise_k)) < libm::fabs(error_k)
    }
}
