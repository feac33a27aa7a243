//! Checks of what all of a leg flows through: its lug by temperature, the way from there to the bus by a drop.

use super::Posterior;
use super::checks::{Candidate, Lost, Taken};
use crate::problem::{Mode, Obs};
use model::advice::CheckAdvice;
use model::evidence::Observed;
use model::job::Exposure;
use model::joint::JointId;
use model::place::Place;
use model::{Leg, Slot};

impl Posterior<'_> {
    pub(super) fn trunk_checks(&self, panel: usize, state: usize, wrong: &[f64]) -> Vec<Candidate> {
        let legs = self.p.job.installation.panels[panel].system.legs();
        let of_leg = |&leg: &Leg| {
            let drops = self.trunk_drops(panel, state, leg, wrong);
            self.lug_check(panel, state, leg, wrong).into_iter().chain(drops)
        };
        legs.iter().flat_map(of_leg).collect()
    }

    /// Temperature of a lug.
    fn lug_check(&self, panel: usize, state: usize, leg: Leg, wrong: &[f64]) -> Option<Candidate> {
        let id = &self.p.job.installation.panels[panel].id;
        let place = Place::Lug(id.clone(), leg);
        let lug = self.p.joints.iter().position(|joint| joint.id == JointId::Lug(id.clone(), leg))?;
        let node = self.p.thermals[panel].networks[0].node_of(&place)?;
        let is_of_lug = |idx: usize, obs: &Obs| {
            obs.mode == Mode::Thermal
                && obs.censored.is_none()
                && self.p.place_of_obs(idx).is_some_and(|at| self.node_of(panel, &at) == Some(node))
        };
        let again = self.taken(wrong, is_of_lug);
        if again == Taken::Stands {
            return None;
        }
        let (reads, sigma) =
            self.temperatures(panel, state, node, self.p.priors.instrument.contact_noise_k)?;
        let of_feeder =
            self.p.joints.iter().enumerate().filter(
                |(_, joint)| matches!(&joint.id, JointId::Feeder(at, _, of) if at == id && *of == leg),
            );
        let about = std::iter::once(lug).chain(of_feeder.map(|(idx, _)| idx)).collect();
        let advice = CheckAdvice {
            what: format!(
                "Read the temperature of line lug {leg} of panel {id}, with \"{}\" running.{}",
                self.p.states[state].name,
                again.words()
            ),
            kind: "lug-temperature".into(),
            places: vec![place],
            joints: Vec::new(),
            exposure: Exposure::CoverOff,
            who: "qualified person with protective gear".into(),
            minutes: 3.0,
            gain_bits: 0.0,
            expects: Vec::new(),
            cautions: vec![
                "Lugs stay live with every handle off. Put no tape and no hand on them.".into(),
                "Infrared reads matte metal or the insulation beside it, never bare metal; a contact probe must be rated for the voltage.".into(),
            ],
        };
        Some(Candidate { advice, reads, sigma, unit: "°C", about })
    }

    fn node_of(&self, panel: usize, place: &Place) -> Option<usize> {
        let id = &self.p.job.installation.panels[panel].id;
        self.p.thermals[panel].networks[0].node_of(place).filter(|_| place.panel() == id)
    }

    /// Millivolts from a lug to the bus of each section behind joints, by an unloaded breaker as its tap.
    fn trunk_drops(&self, panel: usize, state: usize, leg: Leg, wrong: &[f64]) -> Vec<Candidate> {
        let panel = &self.p.job.installation.panels[panel];
        let lug = Place::Lug(panel.id.clone(), leg);
        let tap_of = |section: &model::panel::Section| {
            let breakers =
                panel.breakers.iter().filter(|breaker| breaker.handle == model::breaker::Handle::On);
            let mut spaces = breakers.flat_map(|breaker| breaker.spaces.iter().copied());
            spaces
                .find(|&space| {
                    panel.leg_of(space) == leg
                        && section.holds_row(panel.row_of(space))
                        && !self.carries(state, &Slot::new(panel.id.clone(), space))
                })
                .map(|space| Slot::new(panel.id.clone(), space))
        };
        panel
            .sections
            .iter()
            .filter_map(tap_of)
            .filter_map(|tap| self.trunk_drop(state, &lug, tap, wrong))
            .collect()
    }

    fn trunk_drop(&self, state: usize, lug: &Place, tap: Slot, wrong: &[f64]) -> Option<Candidate> {
        let space = tap.space;
        let tap = Place::Load(tap);
        let Lost { reads, sigma, joints } = self.lost(state, lug, &tap)?;
        let about: Vec<usize> =
            joints.into_iter().filter(|&res| matches!(self.p.joints[res].id, JointId::Feeder(..))).collect();
        let is_between = |source: usize| match &self.p.job.observations[source].what {
            Observed::Drop(reading) => {
                let ends = [&reading.from, &reading.to];
                ends.contains(&lug) && ends.contains(&&tap)
            }
            _ => false,
        };
        let again = self.taken(wrong, |_, obs| is_between(obs.source));
        if about.is_empty() || again == Taken::Stands {
            return None;
        }
        let Place::Lug(_, leg) = lug else { return None };
        let advice = CheckAdvice {
            what: format!(
                "Under \"{}\", read the millivolts from line lug {leg} to the load terminal of the unloaded breaker in space {space} \
                 (a tap on the bus).{}",
                self.p.states[state].name,
                again.words()
            ),
            kind: "drop".into(),
            places: vec![lug.clone(), tap],
            joints: Vec::new(),
            exposure: Exposure::CoverOff,
            who: "qualified person with protective gear and category III leads".into(),
            minutes: 3.0,
            gain_bits: 0.0,
            expects: Vec::new(),
            cautions: vec![
                "Probe screw heads only. Both ends are live at line voltage to ground.".into(),
                "Do not pull the breaker: the reading needs none pulled.".into(),
            ],
        };
        Some(Candidate { advice, reads, sigma, unit: "mV", about })
    }
}
