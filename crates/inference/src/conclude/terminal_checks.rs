//! Checks of a load terminal that is in question: its drop alone, screw to wire, and its temperature.

use super::Posterior;
use super::checks::{Candidate, Lost, Taken};
use crate::problem::{Mode, Obs, ResKind};
use model::Slot;
use model::advice::CheckAdvice;
use model::evidence::Observed;
use model::job::Exposure;
use model::joint::JointId;
use model::place::Place;

/// From this probability of burnt a terminal is worth a check of its own: half of what makes a joint suspect. Judgement.
const IN_QUESTION: f64 = 0.1;

impl Posterior<'_> {
    pub(super) fn terminal_checks(
        &self,
        panel: usize,
        state: usize,
        slot: &Slot,
        wrong: &[f64],
    ) -> Vec<Candidate> {
        let terminal = self.p.find(&ResKind::Joint(JointId::Terminal(slot.clone())));
        let in_question = |&res: &usize| IN_QUESTION <= self.probabilities[res][2];
        let Some(terminal) = terminal.filter(in_question).filter(|_| self.carries(state, slot)) else {
            return Vec::new();
        };
        let drop = self.terminal_drop(state, slot, terminal, wrong);
        drop.into_iter().chain(self.terminal_warmth(panel, state, slot, terminal, wrong)).collect()
    }

    /// Millivolts across the terminal alone.
    fn terminal_drop(&self, state: usize, slot: &Slot, terminal: usize, wrong: &[f64]) -> Option<Candidate> {
        let places = [Place::Load(slot.clone()), Place::Wire(slot.clone())];
        let is_across = |source: usize| match &self.p.job.observations[source].what {
            Observed::Drop(reading) => places.contains(&reading.from) && places.contains(&reading.to),
            _ => false,
        };
        let again = self.taken(wrong, |_, obs| is_across(obs.source));
        if again == Taken::Stands {
            return None;
        }
        let [screw, wire] = &places;
        let Lost { reads, sigma, .. } = self.lost(state, screw, wire)?;
        let advice = CheckAdvice {
            what: format!(
                "Under \"{}\", read the millivolts across the load terminal of space {} alone, from its screw to the bare wire \
                 beside it, with its current clamped at the same time.{}",
                self.p.states[state].name,
                slot.space,
                again.words()
            ),
            kind: "drop".into(),
            places: places.to_vec(),
            joints: Vec::new(),
            exposure: Exposure::CoverOff,
            who: "qualified person with protective gear and category III leads".into(),
            minutes: 3.0,
            gain_bits: 0.0,
            expects: Vec::new(),
            cautions: vec![
                "Both ends are live at line voltage to ground. Do not move the wire and do not tighten the screw: live, and before it \
                 is read, that hides what is wrong."
                    .into(),
                "Do not pull the breaker: the reading needs none pulled.".into(),
            ],
        };
        Some(Candidate { advice, reads, sigma, unit: "mV", about: vec![terminal] })
    }

    /// Temperature of the terminal.
    fn terminal_warmth(
        &self,
        panel: usize,
        state: usize,
        slot: &Slot,
        terminal: usize,
        wrong: &[f64],
    ) -> Option<Candidate> {
        let place = Place::Load(slot.clone());
        let node = self.p.thermals[panel].networks[0].node_of(&place)?;
        let is_of_it = |idx: usize, obs: &Obs| {
            let at = self.p.place_of_obs(idx).filter(|_| obs.mode == Mode::Thermal && obs.censored.is_none());
            matches!(at, Some(Place::Load(at) | Place::Wire(at)) if at == *slot)
        };
        let again = self.taken(wrong, is_of_it);
        if again == Taken::Stands {
            return None;
        }
        let (reads, sigma) =
            self.temperatures(panel, state, node, self.p.priors.instrument.contact_noise_k)?;
        let stab = self.p.find(&ResKind::Joint(JointId::Stab(slot.clone())));
        let advice = CheckAdvice {
            what: format!(
                "Read the temperature of the load terminal of space {}, by a contact probe or by infrared on the wire's insulation \
                 within 25 mm of it, with \"{}\" running.{}",
                slot.space,
                self.p.states[state].name,
                again.words()
            ),
            kind: "terminal-temperature".into(),
            places: vec![place],
            joints: Vec::new(),
            exposure: Exposure::CoverOff,
            who: "qualified person with protective gear".into(),
            minutes: 2.0,
            gain_bits: 0.0,
            expects: Vec::new(),
            cautions: vec![
                "The screw is live at line voltage to ground: put no hand on it, and tape only what is dead.".into(),
                "Infrared reads matte insulation, never bare metal; a contact probe must be rated for the voltage.".into(),
            ],
        };
        let about = std::iter::once(terminal).chain(stab).collect();
        Some(Candidate { advice, reads, sigma, unit: "°C", about })
    }
}
