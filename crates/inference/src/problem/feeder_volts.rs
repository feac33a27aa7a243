//! What the voltages of a panel that a breaker of another one feeds tell of its feeder.
//!
//! The feeder's conductors are not among the unknowns, so no probability is given; but legs that are thrown apart there and not at the
//! service are told of, for electronics do not wait.

use super::Problem;
use model::job::Complaint;
use model::{Leg, PanelId, System};

/// Legs of a fed panel that lie apart by more are thrown apart, V each way: more than a long feeder loses under load. Judgement.
const APART_V: f64 = 5.0;

/// What the voltages of a fed panel tell of its feeder.
struct FeederTold {
    /// The panel that it feeds.
    panel: PanelId,
    /// What was read, in words.
    read: String,
    /// Its legs are thrown apart while the service's are not.
    is_its_neutral: bool,
    /// What follows, in words.
    text: String,
}

impl Problem {
    pub(super) fn tell_of_feeders(&mut self) {
        for told in self.feeders_told() {
            self.note(format!("feeder of {}", told.panel), format!("{}{}", told.read, told.text));
        }
    }

    /// What is told of the feeders of all panels, in every state in which both legs were read.
    fn feeders_told(&self) -> Vec<FeederTold> {
        let panels = self.job.installation.panels.iter();
        let fed = panels.filter(|panel| panel.system == System::SplitPhase && self.fed(&panel.id).is_some());
        fed.flat_map(|panel| self.states.iter().filter_map(|state| self.feeder_in(&panel.id, &state.name)))
            .collect()
    }

    fn feeder_in(&self, panel: &PanelId, state: &str) -> Option<FeederTold> {
        let own = self.legs_in(state, |at| at == panel)?;
        let service = self.legs_in(state, |at| self.fed(at).is_none());
        let [below_a, below_b] = match service {
            Some(service) => [service[0] - own[0], service[1] - own[1]],
            None => [0.5 * (own[1] - own[0]), 0.5 * (own[0] - own[1])],
        };
        let (apart, both) = (0.5 * (below_a - below_b).abs(), 0.5 * (below_a + below_b));
        let (leg, below, other) =
            if below_a < below_b { (Leg::B, below_b, below_a) } else { (Leg::A, below_a, below_b) };
        let are_apart = APART_V < apart && both.abs() < 0.5 * apart;
        let is_low = service.is_some() && APART_V < below && other.abs() < 0.3 * below;
        let no_chance = "The feeder's conductors are not among the unknowns: no probability is given.";
        let text = if are_apart {
            let beside = if service.is_some() {
                "the service's legs are not, so it is the feeder's neutral that fails, its lug, or its bar"
            } else {
                "the neutral of the feeder or of the service fails; the service's legs in the same state would tell which"
            };
            format!(
                ": thrown apart by {apart:.0} V each way; {beside}. {no_chance} Electronics and lamps there are at risk: nothing of \
                 120 V is to run in this panel until it is found."
            )
        } else if is_low {
            format!(
                ": leg {leg} is {below:.0} V below the service's, the other is not. Its feeder's breaker, conductor or lug loses that. \
                 {no_chance}"
            )
        } else {
            return None;
        };
        let read = format!("{:.1} V on leg A and {:.1} V on leg B in \"{state}\"", own[0], own[1]);
        Some(FeederTold { panel: panel.clone(), read, is_its_neutral: are_apart && service.is_some(), text })
    }

    /// What was read of the feeder that throws the legs apart of what a complaint can be about: of a circuit's own panel, or of
    /// any.
    pub(super) fn feeder_apart(&self, complaint: &Complaint) -> Option<String> {
        let concerns =
            |told: &FeederTold| complaint.slot.as_ref().is_none_or(|slot| slot.panel == told.panel);
        let apart = self.feeders_told().into_iter().find(|told| told.is_its_neutral && concerns(told))?;
        let FeederTold { panel, read, .. } = apart;
        Some(format!("the feeder of {panel}: {read}, thrown apart while the service's legs are not"))
    }

    /// Voltages to neutral of both legs of the panels that are meant, the last of each.
    fn legs_in(&self, state: &str, meant: impl Fn(&PanelId) -> bool) -> Option<[f64; 2]> {
        let of_leg = |leg: Leg| {
            let read = self.job.voltages_in(state).filter_map(|reading| {
                let (panel, on) = reading.whole_leg()?;
                (on == leg && meant(panel)).then(|| reading.value.v().abs())
            });
            read.last()
        };
        Some([of_leg(Leg::A)?, of_leg(Leg::B)?])
    }
}

#[cfg(test)]
mod tests {
    use crate::problem::Problem;
    use crate::testjob::{self, leg_voltage, observe, slot};
    use crate::{JudgeOptions, Priors};
    use model::evidence::Observed;
    use model::panel::Feed;
    use model::place::Place;
    use model::{Leg, PanelId};

    /// What is told of the feeder of a sub-panel, by its leg voltages and those of the service where these were read.
    fn told(own: [f64; 2], service: Option<[f64; 2]>) -> Vec<String> {
        let mut job = testjob::eight_spaces();
        let (mut sub, panel) = (job.installation.panels[0].clone(), PanelId::new("sub"));
        sub.id = panel.clone();
        sub.sections[0].feed = Feed::Breaker { slot: slot(1) };
        job.installation.panels.push(sub);
        let legs = [Leg::A, Leg::B];
        for (leg, volts) in legs.into_iter().zip(own) {
            observe(&mut job, leg_voltage(leg, volts, "evening"));
            if let Some(Observed::Voltage(reading)) = job.observations.last_mut().map(|last| &mut last.what) {
                (reading.from, reading.to) =
                    (Place::Lug(panel.clone(), leg), Place::NeutralBar(panel.clone()));
            }
        }
        for (leg, volts) in legs.into_iter().zip(service.into_iter().flatten()) {
            observe(&mut job, leg_voltage(leg, volts, "evening"));
        }
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let notes = Problem::new(&job, Priors::built_in().expect("built-in files"), options).notes;
        notes.into_iter().filter(|note| note.subject == "feeder of sub").map(|note| note.text).collect()
    }

    #[test]
    fn legs_thrown_apart_behind_a_feeder_are_told_of() {
        let at_service = Some([120.0, 120.6]);
        let neutral = told([110.0, 130.0], at_service);
        assert!(neutral.len() == 1 && neutral[0].contains("it is the feeder's neutral"), "{neutral:?}");
        let either = told([110.0, 130.0], None);
        assert!(either.len() == 1 && either[0].contains("would tell which"), "{either:?}");
        let leg = told([113.0, 120.3], at_service);
        assert!(leg.len() == 1 && leg[0].contains("leg A is 7 V below"), "{leg:?}");
    }

    #[test]
    fn what_the_service_has_too_is_not_the_feeders() {
        for (own, service) in [
            ([118.4, 120.2], [120.0, 120.6]),
            ([108.0, 131.0], [109.0, 131.5]),
            ([111.0, 111.2], [112.0, 112.0]),
        ] {
            assert_eq!(told(own, Some(service)), Vec::<String>::new(), "{own:?} with {service:?}");
        }
    }
}
