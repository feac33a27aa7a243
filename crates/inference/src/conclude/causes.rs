//! Which cause explains each complaint.
//!
//! A complaint is a noisy OR of its possible causes. In each draw every active cause that may lead to it is given the rate
//! −ln(1 − chance), and the complaint is shared among them in proportion: the chance that this cause was the one that
//! came first. Shares are averaged over the draws.

use super::Posterior;
use crate::problem::{LoadLaw, ResKind, Rivals};
use model::assessment::{Cause, CauseFinding, ComplaintFinding, JointFinding};
use model::joint::JointKind;
use std::collections::BTreeMap;

impl Posterior<'_> {
    pub(crate) fn complaint_findings(&self, joints: &[JointFinding]) -> Vec<ComplaintFinding> {
        self.p.rivals.iter().map(|rivals| self.complaint_finding(rivals, joints)).collect()
    }

    fn complaint_finding(&self, rivals: &Rivals, joints: &[JointFinding]) -> ComplaintFinding {
        let term = &self.p.terms[rivals.term];
        let mut by_cause: BTreeMap<Cause, f64> = BTreeMap::new();
        let mut by_joint: BTreeMap<usize, f64> = BTreeMap::new();
        let rate = |chance: f64| -libm::log(1.0 - chance.min(0.999));
        let fixed: f64 = rivals.chances.iter().map(|&(_, chance)| rate(chance)).sum();
        let n = self.even.len().max(1) as f64;
        for draw in &self.even {
            let rates: Vec<(usize, f64)> = term
                .joints
                .iter()
                .map(|&(res, shows)| (res, rate(shows[usize::from(draw.condition[res])])))
                .filter(|&(_, rate)| 0.0 < rate)
                .collect();
            let total = fixed + rates.iter().map(|&(_, rate)| rate).sum::<f64>();
            if total <= 0.0 {
                *by_cause.entry(Cause::NotExplained).or_insert(0.0) += 1.0 / n;
                continue;
            }
            for (res, rate) in rates {
                *by_joint.entry(res).or_insert(0.0) += rate / total / n;
                *by_cause.entry(self.cause_of(res)).or_insert(0.0) += rate / total / n;
            }
            for &(cause, chance) in &rivals.chances {
                *by_cause.entry(cause).or_insert(0.0) += rate(chance) / total / n;
            }
        }
        let mut causes: Vec<CauseFinding> = by_cause
            .into_iter()
            .map(|(cause, probability)| {
                let mut pointed: Vec<(usize, f64)> = by_joint
                    .iter()
                    .filter(|&(&res, &share)| self.cause_of(res) == cause && 0.02 < share)
                    .map(|(&res, &share)| (res, share))
                    .collect();
                pointed.sort_by(|a, b| b.1.total_cmp(&a.1));
                pointed.truncate(4);
                CauseFinding {
                    cause,
                    probability,
                    reasons: self.cause_reasons(cause, rivals, &pointed, joints),
                    joints: pointed
                        .iter()
                        .filter_map(|&(res, _)| self.p.joints.get(res))
                        .map(|joint| joint.id.clone())
                        .collect(),
                }
            })
            .collect();
        causes.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        let separates = match causes.as_slice() {
            [first, second, ..] if 0.05 < second.probability => Some(separates(first.cause, second.cause)),
            _ => None,
        };
        ComplaintFinding {
            kind: rivals.complaint.kind,
            words: rivals.complaint.words.clone(),
            slot: rivals.complaint.slot.clone(),
            causes,
            separates,
        }
    }

    fn cause_of(&self, res: usize) -> Cause {
        match &self.p.res[res].kind {
            ResKind::Joint(id) => match id.kind() {
                JointKind::Stab => Cause::BurntStab,
                JointKind::Terminal => Cause::LooseTerminal,
                JointKind::Lug | JointKind::Feeder => Cause::LooseLug,
                JointKind::Neutral => Cause::PanelNeutral,
            },
            ResKind::SupplyLeg(_) => Cause::LostLeg,
            ResKind::SupplyNeutral => Cause::ServiceNeutral,
            ResKind::Pole(_) | ResKind::Main(..) | ResKind::Wire(_) => Cause::NotExplained,
        }
    }

    fn cause_reasons(
        &self,
        cause: Cause,
        rivals: &Rivals,
        pointed: &[(usize, f64)],
        joints: &[JointFinding],
    ) -> Vec<String> {
        let mut reasons = Vec::new();
        for &(res, _) in pointed {
            if let Some(finding) = joints.get(res) {
                reasons.push(format!(
                    "{}: burnt with probability {:.2}",
                    finding.joint.id, finding.probability.burnt
                ));
                reasons.extend(
                    finding
                        .reasons
                        .first()
                        .filter(|first| 0.0 < first.weight_db)
                        .map(|first| first.text.clone()),
                );
            } else {
                let failing = self.probabilities[res][2];
                reasons.push(format!(
                    "failing with probability {failing:.2} by the voltages and signs recorded"
                ));
            }
        }
        if cause == Cause::Overload {
            reasons.extend(self.overload_words(rivals));
        }
        reasons.extend(rivals.told.iter().filter(|(of, _)| *of == cause).map(|(_, words)| words.clone()));
        if reasons.is_empty() {
            reasons.push(
                "no reading speaks for or against it; this is its usual share of such complaints".to_owned(),
            );
        }
        reasons
    }

    fn overload_words(&self, rivals: &Rivals) -> Option<String> {
        let slot = rivals.complaint.slot.as_ref()?;
        let breaker = self.p.job.installation.breaker_at(slot)?;
        let most = self
            .p
            .loads
            .iter()
            .filter(|load| {
                load.slots.iter().any(|at| at.panel == slot.panel && breaker.spaces.contains(&at.space))
            })
            .filter_map(|load| match load.law {
                LoadLaw::Measured { a, .. } => Some((a, load.state)),
                _ => None,
            })
            .max_by(|a, b| a.0.total_cmp(&b.0))?;
        let state = &self.p.states[most.1].name;
        Some(format!("{:.1} A measured in \"{state}\" on a {:.0} A breaker", most.0, breaker.rating.a()))
    }
}

/// What would separate two causes.
fn separates(first: Cause, second: Cause) -> String {
    let is = |cause: Cause| first == cause || second == cause;
    let joint = is(Cause::BurntStab) || is(Cause::LooseTerminal) || is(Cause::LooseLug);
    let text = if is(Cause::ServiceNeutral) && is(Cause::PanelNeutral) {
        "millivolts under load from the service neutral to the neutral lug (cover off, qualified person): a large drop \
         there is the panel's, none is the utility's"
    } else if is(Cause::LostLeg) && is(Cause::LooseLug) {
        "millivolts under load from the service conductor to the lug (cover off, qualified person)"
    } else if is(Cause::ServiceNeutral) || is(Cause::LostLeg) || is(Cause::UtilitySide) {
        "voltages of both legs, with a known load first on one leg, then on the other"
    } else if is(Cause::BurntStab) && is(Cause::LooseTerminal) {
        "millivolts under load across the load terminal alone, screw to wire (cover off, qualified person)"
    } else if joint && is(Cause::Overload) {
        "the circuit's current while it happens, and the face temperature at that current"
    } else if is(Cause::Overload) {
        "the circuit's current at the moment it opens"
    } else if is(Cause::WeakBreaker) {
        "whether it opens at the same current when it and its neighbours are cold"
    } else if is(Cause::MotorStart) && is(Cause::BeyondPanel) {
        "whether it happens at the start of one motor only, and with that motor on another circuit too"
    } else if is(Cause::MotorStart) {
        "the clamp's inrush reading at the start of the motor, and whether it ever happens with the motor off"
    } else if is(Cause::ProtectionWorking) {
        "whether it opens with everything on the circuit unplugged"
    } else if is(Cause::BeyondPanel) {
        "whether it follows one appliance to another circuit"
    } else {
        "a face temperature and a current taken together while it happens"
    };
    text.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn separating_two_causes_does_not_depend_on_their_order() {
        let all = [
            Cause::BurntStab,
            Cause::Overload,
            Cause::ServiceNeutral,
            Cause::PanelNeutral,
            Cause::BeyondPanel,
            Cause::MotorStart,
            Cause::ProtectionWorking,
        ];
        for a in all {
            for b in all {
                assert_eq!(separates(a, b), separates(b, a));
            }
        }
    }
}
