//! A breaker's own contacts: how likely it is that they are bad, and what its stab owes to that.
//!
//! Heat and volts of a pole are its stab's or its own, and outside the breaker nothing tells one from the other.

use super::Posterior;
use crate::problem::{Law, ResKind};
use model::Note;
use model::assessment::{Class, Reason};
use model::joint::JointId;

/// From this probability on a breaker is named, and from this one on it is a reason at its stab. Judgement.
const NAMED: f64 = 0.15;
const A_REASON: f64 = 0.05;

impl Posterior<'_> {
    /// Breakers whose own contacts may be bad.
    pub(super) fn own_contacts(&self) -> Vec<Note> {
        let note = |pole: usize| {
            let ResKind::Pole(slot) = &self.p.res[pole].kind else { return None };
            let bad = self.mean_over(|at| self.bad_contacts(pole, at));
            (NAMED <= bad).then(|| {
                let text = format!(
                    "the breaker's own contacts are bad with {:.0} %: it loses more than breakers of its kind, inside or at its stab, and \
                     nothing read from outside tells one from the other. Look at its stab with the panel proven dead; where that is \
                     sound, it is the breaker that has to be replaced.",
                    100.0 * bad
                );
                Note::new(format!("breaker {slot}"), text)
            })
        };
        (self.p.n_conditioned..self.p.res.len()).filter_map(note).collect()
    }

    /// How far the breaker's own contacts hold a stab's odds of burnt down: these as they are, over what they would be were its contacts
    /// known to be good.
    pub(super) fn own_contacts_reason(&self, res: usize) -> Option<Reason> {
        let ResKind::Joint(JointId::Stab(slot)) = &self.p.res[res].kind else { return None };
        let pole = self.p.find(&ResKind::Pole(slot.clone()))?;
        let bad = self.mean_over(|at| self.bad_contacts(pole, at));
        if bad < A_REASON {
            return None;
        }
        let burnt = |at: usize| self.even[at].at_ohm[res][2];
        let good = |at: usize| 1.0 - self.bad_contacts(pole, at);
        let odds = |burnt: f64, all: f64| burnt / (all - burnt).max(1e-12);
        let as_is = odds(self.mean_over(burnt), 1.0);
        let with_good = odds(self.mean_over(|at| burnt(at) * good(at)), self.mean_over(good));
        (0.0 < as_is && 0.0 < with_good).then(|| Reason {
            text: format!("the breaker's own contacts may be it: bad with {:.0} %", 100.0 * bad),
            class: Class::Inferred,
            weight_db: 10.0 * libm::log10(as_is / with_good),
            fact: None,
        })
    }

    /// Chance of bad contacts in one of the draws that count alike.
    fn bad_contacts(&self, pole: usize, at: usize) -> f64 {
        match &self.p.res[pole].law {
            Law::Pole(law) => law.bad_chance(self.even[at].own[pole]),
            Law::Conditioned { .. } | Law::Known => 0.0,
        }
    }

    fn mean_over(&self, value: impl Fn(usize) -> f64) -> f64 {
        (0..self.even.len()).map(value).sum::<f64>() / self.even.len().max(1) as f64
    }
}
