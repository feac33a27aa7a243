//! What comes before any reading: a first round of faces, and the voltages of the legs where a complaint asks for them.

use super::Posterior;
use super::checks::entropy_bits;
use model::advice::CheckAdvice;
use model::assessment::JointFinding;
use model::breaker::{Breaker, Handle, LoadClass};
use model::evidence::Observed;
use model::job::{ComplaintKind, Exposure};
use model::panel::Panel;
use model::place::Place;
use model::{Leg, Slot};

impl Posterior<'_> {
    /// Without any load state there is nothing to read yet: make one. Nothing heavy is switched on while an open neutral is possible,
    /// and what is suspect stays off.
    pub(super) fn first_look(&self, joints: &[JointFinding]) -> Option<CheckAdvice> {
        let exposure = self.p.job.exposure;
        if !self.p.states.is_empty() || exposure == Exposure::ProvenDead || self.legs_unread() {
            return None;
        }
        let off = self.left_off(joints);
        let is_off = |finding: &JointFinding| {
            let slot = finding.joint.id.slot();
            slot.is_some_and(|slot| off.iter().any(|(slots, _)| slots.contains(slot)))
        };
        let read: Vec<&JointFinding> = joints.iter().filter(|finding| !is_off(finding)).collect();
        // What a round of faces tells at least: the uncertainty of the likeliest joints, halved (a bound, not a forecast).
        let gain = read.iter().map(|finding| entropy_bits(finding.probability.burnt)).sum::<f64>() * 0.5;
        let named: Vec<&str> = off.iter().map(|(_, words)| words.as_str()).collect();
        let but = if named.is_empty() {
            "leave off what smells or buzzes".to_owned()
        } else {
            format!("leave off {} (suspect) and whatever else smells or buzzes", named.join(", "))
        };
        Some(CheckAdvice {
            what: format!(
                "Switch on the usual heavy loads for half an hour, but {but}; note the room temperature, and read the face of every \
                 breaker by infrared."
            ),
            kind: "face-temperature".into(),
            places: self.p.job.installation.panels.iter().map(|panel| Place::Cover(panel.id.clone())).collect(),
            joints: read.iter().map(|finding| finding.joint.id.clone()).collect(),
            exposure: Exposure::CoverOn,
            who: "anyone trained to use the instrument".into(),
            minutes: 35.0,
            gain_bits: gain,
            expects: Vec::new(),
            cautions: vec!["The dead front can stay on for this: leave it on, or put it back. Stop at smoke, crackle or a face that smells.".into()],
        })
    }

    /// Breakers that are not switched on with the others: those with a suspect joint, and those that show what makes one switch them
    /// off. With their words.
    fn left_off(&self, joints: &[JointFinding]) -> Vec<(Vec<Slot>, String)> {
        let least = self.p.priors.running.check.left_off;
        let panels = &self.p.job.installation.panels;
        let breakers =
            panels.iter().flat_map(|panel| panel.breakers.iter().map(move |breaker| (panel, breaker)));
        breakers
            .filter_map(|(panel, breaker)| {
                let slots: Vec<Slot> =
                    breaker.spaces.iter().map(|&space| Slot::new(panel.id.clone(), space)).collect();
                let is_suspect = joints.iter().any(|finding| {
                    least <= finding.probability.burnt
                        && finding.joint.id.slot().is_some_and(|slot| slots.contains(slot))
                });
                if !is_suspect && !self.is_kept_off(&slots) {
                    return None;
                }
                let spaces: Vec<String> = breaker.spaces.iter().map(ToString::to_string).collect();
                let of = if panels.len() == 1 { String::new() } else { format!(" of panel {}", panel.id) };
                let words = format!("breaker {}{of}", spaces.join("/"));
                Some((slots, words))
            })
            .collect()
    }

    /// Voltages of both legs in two load states, where a complaint asks for it and none were taken.
    pub(super) fn leg_check(&self) -> Option<CheckAdvice> {
        let asked = self.p.job.complaints.iter().any(|complaint| {
            matches!(
                complaint.kind,
                ComplaintKind::Flicker | ComplaintKind::HalfHouse | ComplaintKind::DimBright
            )
        });
        let states_read = self
            .p
            .states
            .iter()
            .filter(|state| {
                self.p.job.observations.iter().any(|observation| {
                    matches!(&observation.what, Observed::Voltage(reading) if reading.state == state.name)
                })
            })
            .count();
        if !asked || 2 <= states_read || self.p.job.exposure == Exposure::ProvenDead {
            return None;
        }
        let supply = self.p.joints.len()..self.p.n_conditioned;
        let gain: f64 = supply.map(|res| entropy_bits(self.probabilities[res][2])).sum();
        let panel = self.p.job.installation.panels.first()?;
        let at: Vec<Slot> = panel.system.legs().iter().filter_map(|&leg| receptacle_on(panel, leg)).collect();
        // In the form of the job file, which takes the neutral's slot of a receptacle for the neutral bar.
        let such = if at.is_empty() {
            String::new()
        } else {
            let all: Vec<String> = at.iter().map(|slot| format!("receptacle:{}", slot.space)).collect();
            format!(" (for example {}, each to neutral-bar)", all.join(" and "))
        };
        Some(CheckAdvice {
            what: format!(
                "Read both legs to neutral at one receptacle a leg{such}: first as it is, then with a known heater on one leg, then on the \
                 other."
            ),
            kind: "leg-voltages".into(),
            places: at.into_iter().map(Place::Receptacle).collect(),
            joints: Vec::new(),
            exposure: Exposure::CoverOn,
            who: "qualified person".into(),
            minutes: 6.0,
            gain_bits: gain,
            expects: vec![
                ("the service neutral is failing".into(), "one leg falls, the other rises by as much; the sum stays".into()),
                ("a leg is failing".into(), "that leg falls, the other stays; the sum falls".into()),
                ("neither".into(), "both stay within 2 V".into()),
            ],
            cautions: vec![
                "Above 130 V or below 105 V on a leg: add no load, unplug electronics and call the utility now.".into(),
            ],
        })
    }
}

/// A circuit of a leg that is likely to have receptacles.
fn receptacle_on(panel: &Panel, leg: Leg) -> Option<Slot> {
    let mut breakers =
        panel.breakers.iter().filter(|breaker| breaker.handle == Handle::On && breaker.n_poles() == 1);
    let has_some = |breaker: &&Breaker| {
        let class = breaker.circuit.as_ref().map(|circuit| circuit.class);
        matches!(class, Some(None | Some(LoadClass::General | LoadClass::SmallAppliance)))
    };
    let space = |breaker: &Breaker| breaker.spaces[0];
    breakers
        .find(|breaker| has_some(breaker) && panel.leg_of(space(breaker)) == leg)
        .map(|breaker| Slot::new(panel.id.clone(), space(breaker)))
}
