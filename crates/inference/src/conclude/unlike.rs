//! Readings that nothing else on record fits: said in a note, so that nobody takes for weighed what hardly counts.

use super::Posterior;
use crate::problem::Obs;
use model::Note;

/// A reading is told of from this probability that it is wrong.
const LEAST: f64 = 0.5;

impl Posterior<'_> {
    /// A note for each reading that is more likely wrong than right by all others. Those that contradict another one have theirs.
    pub(super) fn unlike(&self, wrong: &[f64]) -> Vec<Note> {
        let readings = self.p.obs.iter().zip(wrong);
        readings
            .filter(|(obs, _)| obs.censored.is_none() && !obs.is_contradicted())
            .filter_map(|(obs, &wrong)| {
                let (of, shown) = self.p.words_of_reading(obs.source).filter(|_| LEAST <= wrong)?;
                let text = format!(
                    "{shown} (fact {}) fits nothing else on record: wrong with {wrong:.2}, so it hardly counts. Read it \
                     again, and correct the record; if it is right, something is at work that the record does not tell.",
                    obs.fact
                );
                Some(Note::new(of, text))
            })
            .collect()
    }

    /// Probability that each reading is wrong altogether; an interval never is.
    pub(super) fn wrong(&self) -> Vec<f64> {
        let of_reading = |(idx, obs): (usize, &Obs)| {
            if obs.censored.is_none() { self.is_wrong(idx, obs) } else { 0.0 }
        };
        self.p.obs.iter().enumerate().map(of_reading).collect()
    }

    fn is_wrong(&self, idx: usize, obs: &Obs) -> f64 {
        let flat = obs.wrong.density(obs.value);
        let of_draw = |predicted: f64| flat / obs.density(predicted, &self.p.errors);
        self.draws
            .iter()
            .zip(self.exact.all())
            .map(|(draw, weight)| weight * of_draw(draw.predicted[idx]))
            .sum()
    }
}
