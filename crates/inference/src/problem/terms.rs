//! Signs and complaints as noisy ORs over the joints they can come from.

use super::{CLASSES, Problem, ResKind, Rivals, Term};
use model::assessment::Cause;
use model::breaker::{LoadClass, Protection};
use model::evidence::{Observed, Sign, SignReading, SignScope};
use model::job::{Complaint, ComplaintKind};
use model::joint::JointId;
use model::{Leg, PanelId, Slot, Temperature};

impl Problem {
    pub(super) fn build_terms(&mut self) {
        let observations = self.job.observations.clone();
        for (idx, observation) in observations.iter().enumerate() {
            let Observed::Sign(reading) = &observation.what else { continue };
            let prior = self.priors.sign(reading.sign).clone();
            let elsewhere = match &reading.scope {
                SignScope::Slot(slot) if self.is_explained(idx, slot, reading) => {
                    prior.elsewhere.slot.max(self.priors.mechanism.shows)
                }
                SignScope::Slot(_) | SignScope::Lug(..) | SignScope::Neutral(_) => prior.elsewhere.slot,
                SignScope::Leg(..) => prior.elsewhere.leg,
                SignScope::Panel(_) => prior.elsewhere.panel,
            };
            let missed = match &reading.scope {
                SignScope::Leg(..) | SignScope::Panel(_) => self.priors.sign_missed,
                SignScope::Slot(_) | SignScope::Lug(..) | SignScope::Neutral(_) => 0.0,
            };
            let joints = (0..self.n_conditioned)
                .filter(|&res| self.in_scope(res, &reading.scope))
                .filter_map(|res| {
                    prior.shows.get(self.kind_word(res)).map(|&shows| (res, self.by_class(res, shows)))
                })
                .collect();
            self.terms.push(Term {
                words: sign_words(reading),
                fact: observation.fact.clone(),
                joints,
                elsewhere,
                missed,
                present: reading.present,
                complaint: None,
            });
        }
        for (idx, complaint) in self.job.complaints.clone().into_iter().enumerate() {
            self.build_complaint(idx, complaint);
        }
    }

    /// Is a stronger sign of a bad mechanism on record at the same breaker, so that this one, of the mechanism too, says little more? Of
    /// two as strong the first counts.
    fn is_explained(&self, idx: usize, slot: &Slot, reading: &SignReading) -> bool {
        if !(reading.present && self.priors.is_of_mechanism(reading.sign)) {
            return false;
        }
        let breaker = self.job.installation.breaker_at(slot);
        let is_same = |at: &Slot| {
            at == slot
                || at.panel == slot.panel && breaker.is_some_and(|breaker| breaker.spaces.contains(&at.space))
        };
        let strength = |sign: Sign| {
            let prior = self.priors.sign(sign);
            prior.shows.get("stab").map_or(0.0, |shows| shows[2] / prior.elsewhere.slot)
        };
        let own = strength(reading.sign);
        self.job.observations.iter().enumerate().any(|(at, other)| match &other.what {
            Observed::Sign(SignReading { sign, scope: SignScope::Slot(other), present: true, .. }) => {
                let beside = strength(*sign);
                at != idx
                    && self.priors.is_of_mechanism(*sign)
                    && is_same(other)
                    && (own < beside || (own <= beside && at < idx))
            }
            _ => false,
        })
    }

    fn build_complaint(&mut self, idx: usize, complaint: Complaint) {
        let prior = self.priors.complaint(complaint.kind).clone();
        let joints: Vec<(usize, [f64; CLASSES])> = (0..self.n_conditioned)
            .filter(|&res| self.concerns(res, &complaint))
            .filter_map(|res| {
                let shows = prior.joints.get(self.kind_word(res));
                shows.map(|&[worn, burnt]| (res, self.by_class(res, [0.0, worn, burnt])))
            })
            .collect();
        let mut chances: Vec<(Cause, f64)> = crate::priors::RIVALS
            .iter()
            .filter_map(|&cause| prior.rivals.get(cause.word()).map(|&chance| (cause, chance)))
            .collect();
        if let Some(slot) = &complaint.slot {
            let share = (self.priors.complaint_named / self.n_circuits().max(1) as f64).min(1.0);
            for (_, chance) in &mut chances {
                *chance = 1.0 - libm::pow(1.0 - *chance, share);
            }
            self.sharpen(slot, prior.protected, &mut chances);
        }
        let mut told = prior.off_voltage.map_or_else(Vec::new, |leads| {
            // What was read of supply and feeder is not spread over circuits either.
            let off = self.off_voltage().map(|off| (Cause::UtilitySide, off.chance, off.words));
            let apart = self.feeder_apart(&complaint).map(|words| (Cause::BeyondPanel, 1.0, words));
            let told: Vec<(Cause, f64, String)> = off.into_iter().chain(apart).collect();
            for (cause, chance) in &mut chances {
                for (_, so, _) in told.iter().filter(|(of, ..)| of == cause) {
                    *chance = 1.0 - (1.0 - *chance) * (1.0 - so * leads);
                }
            }
            told.into_iter().filter(|(_, so, _)| 0.5 < *so).map(|(cause, _, words)| (cause, words)).collect()
        });
        if let (Some(warm), Some(room_c)) = (&prior.warm_room, self.warmest_room_c()) {
            let leads = warm.chance_at(room_c);
            for (_, chance) in chances.iter_mut().filter(|(cause, _)| *cause == Cause::WarmSurroundings) {
                *chance = 1.0 - (1.0 - *chance) * (1.0 - leads);
            }
            if 0.0 < leads {
                told.push((Cause::WarmSurroundings, format!("a room of {room_c:.0} °C")));
            }
        }
        // Chances of rivals are those of independent reasons; together they are the chance of "some other reason".
        let elsewhere = 1.0 - chances.iter().map(|&(_, chance)| 1.0 - chance.min(0.999)).product::<f64>();
        let term = self.terms.len();
        self.terms.push(Term {
            words: format!("complaint: {}", complaint.kind.word()),
            fact: complaint.fact.clone(),
            joints,
            elsewhere,
            missed: 0.0,
            present: true,
            complaint: Some(idx),
        });
        let fact = complaint.fact.clone();
        self.rivals.push(Rivals { complaint, term, chances, told });
        let first = idx == 0 && self.job.complaints.iter().all(|all| all.kind == ComplaintKind::Inspection);
        if let Some(silent) = prior.silent.filter(|_| first) {
            let joints = (0..self.n_conditioned)
                .filter_map(|res| {
                    let shows = silent.joints.get(self.kind_word(res));
                    shows.map(|&[worn, burnt]| (res, self.by_class(res, [0.0, worn, burnt])))
                })
                .collect();
            self.terms.push(Term {
                words: "nobody complained".to_owned(),
                fact,
                joints,
                elsewhere: 0.0,
                missed: silent.unnoticed,
                present: false,
                complaint: None,
            });
        }
    }

    /// Temperature of the room in the warmest load state, °C.
    fn warmest_room_c(&self) -> Option<f64> {
        let rooms = self.job.load_states.iter().filter_map(|state| state.room);
        rooms.map(Temperature::c).reduce(f64::max)
    }

    /// Circuits that a caller could have named.
    fn n_circuits(&self) -> usize {
        let breakers = self.job.installation.panels.iter().flat_map(|panel| &panel.breakers);
        breakers.filter(|breaker| breaker.circuit.is_some()).count()
    }

    /// Replaces the chance of overload by what the clamp says, and that of protection by what the breaker is.
    fn sharpen(&self, slot: &Slot, protected: Option<f64>, chances: &mut [(Cause, f64)]) {
        let Some(breaker) = self.job.installation.breaker_at(slot) else { return };
        let electronics = !matches!(breaker.protection, Protection::ThermalMagnetic | Protection::SwitchOnly);
        let most = self
            .loads
            .iter()
            .filter(|load| {
                load.slots.iter().any(|at| breaker.spaces.contains(&at.space) && at.panel == slot.panel)
            })
            .filter_map(|load| match load.law {
                super::LoadLaw::Measured { a, .. } => Some(a / breaker.rating.a()),
                _ => None,
            })
            .fold(None, |most: Option<f64>, share| Some(most.map_or(share, |most| most.max(share))));
        for (cause, chance) in chances.iter_mut() {
            match cause {
                Cause::Overload => {
                    if let Some(share) = most {
                        *chance = overload_chance(share);
                    }
                }
                // A start that opens or dims needs a motor on the circuit.
                Cause::MotorStart => {
                    let class = breaker.circuit.as_ref().and_then(|circuit| circuit.class);
                    *chance = (*chance * motor_factor(class)).min(0.5);
                }
                Cause::ProtectionWorking if electronics => *chance = protected.unwrap_or(*chance),
                _ => {}
            }
        }
    }

    /// Chances by class from chances by condition: what shows little shows less of every sign, what shows much the more, so
    /// that the mean over burnt joints stays what the file says, as far as a chance can rise.
    fn by_class(&self, res: usize, [sound, worn, burnt]: [f64; 3]) -> [f64; CLASSES] {
        let mild = self.priors.resistance(self.kind_word(res)).burnt.mild;
        let Some(mild) = mild else { return [sound, worn, burnt, burnt] };
        let little = (mild.shows * burnt).max(sound);
        let much = (burnt - mild.share * little) / (1.0 - mild.share);
        [sound, worn, little, much.clamp(burnt, 0.95)]
    }

    fn kind_word(&self, res: usize) -> &'static str {
        match &self.res[res].kind {
            ResKind::Joint(id) => id.kind().word(),
            ResKind::SupplyLeg(_) => "supply-leg",
            ResKind::SupplyNeutral => "supply-neutral",
            ResKind::Pole(_) | ResKind::Main(..) | ResKind::Wire(_) => "",
        }
    }

    fn in_scope(&self, res: usize, scope: &SignScope) -> bool {
        match (scope, &self.res[res].kind) {
            (SignScope::Slot(slot), ResKind::Joint(id)) => id.slot() == Some(slot),
            (
                SignScope::Lug(panel, leg),
                ResKind::Joint(JointId::Lug(at, on) | JointId::Feeder(at, _, on)),
            ) => panel == at && leg == on,
            (SignScope::Neutral(panel), ResKind::Joint(JointId::NeutralLug(at))) => panel == at,
            (SignScope::Neutral(panel), ResKind::Joint(JointId::NeutralTerminal(slot))) => {
                *panel == slot.panel
            }
            (SignScope::Leg(panel, leg), kind) => self.feeds_leg(kind, panel, *leg),
            (SignScope::Panel(panel), ResKind::Joint(id)) => id.panel() == panel,
            (SignScope::Panel(_), ResKind::SupplyLeg(_) | ResKind::SupplyNeutral) => true,
            _ => false,
        }
    }

    /// Joints that carry a whole leg of a panel.
    fn feeds_leg(&self, kind: &ResKind, panel: &PanelId, leg: Leg) -> bool {
        match kind {
            ResKind::Joint(JointId::Lug(at, on) | JointId::Feeder(at, _, on)) => at == panel && *on == leg,
            ResKind::SupplyLeg(on) => *on == leg,
            _ => false,
        }
    }

    /// Can a complaint be about this resistance?
    fn concerns(&self, res: usize, complaint: &Complaint) -> bool {
        let kind = &self.res[res].kind;
        let Some(slot) = &complaint.slot else {
            // Of branch neutrals only the circuit's own can be meant; without a circuit only the neutral lug is.
            return !matches!(kind, ResKind::Joint(JointId::NeutralTerminal(_)));
        };
        let installation = &self.job.installation;
        let Some(breaker) = installation.breaker_at(slot) else { return false };
        let own = |at: &Slot| at.panel == slot.panel && breaker.spaces.contains(&at.space);
        let legs: Vec<Leg> = installation
            .panel(&slot.panel)
            .map(|panel| breaker.spaces.iter().map(|&space| panel.leg_of(space)).collect())
            .unwrap_or_default();
        match kind {
            ResKind::Joint(id) => match id {
                JointId::Stab(at) => own(at) || self.feeds(at, slot),
                JointId::Terminal(at) | JointId::NeutralTerminal(at) => own(at),
                JointId::Lug(at, leg) | JointId::Feeder(at, _, leg) => {
                    *at == slot.panel && legs.contains(leg)
                }
                JointId::NeutralLug(at) => *at == slot.panel,
            },
            ResKind::SupplyLeg(leg) => legs.contains(leg),
            ResKind::SupplyNeutral => true,
            _ => false,
        }
    }

    /// Does the breaker with a pole at `at` feed the section that holds `slot`?
    fn feeds(&self, at: &Slot, slot: &Slot) -> bool {
        let installation = &self.job.installation;
        installation
            .sections_fed_by(at)
            .any(|(panel, section)| panel.id == slot.panel && section.holds_row(panel.row_of(slot.space)))
    }
}

/// How much likelier a motor's start is behind a complaint about a circuit of this class. JUDGEMENT.
fn motor_factor(class: Option<LoadClass>) -> f64 {
    match class {
        Some(LoadClass::Cooling | LoadClass::Motor) => 4.0,
        Some(LoadClass::Dryer) => 2.0,
        Some(LoadClass::WaterHeater | LoadClass::SpaceHeat | LoadClass::Cooking | LoadClass::Vehicle) => 0.2,
        _ => 1.0,
    }
}

/// Chance that a load of this share of the rating makes a breaker open sooner or later: none below 0.9, nearly sure above
/// 1.35, where it must open within the hour (UL 489 for ratings to 50 A, published).
fn overload_chance(share: f64) -> f64 {
    const POINTS: [(f64, f64); 6] =
        [(0.80, 0.01), (0.95, 0.06), (1.05, 0.30), (1.15, 0.70), (1.25, 0.88), (1.35, 0.96)];
    if share <= POINTS[0].0 {
        return POINTS[0].1;
    }
    for pair in POINTS.windows(2) {
        let ((s0, c0), (s1, c1)) = (pair[0], pair[1]);
        if share <= s1 {
            return c0 + (c1 - c0) * (share - s0) / (s1 - s0);
        }
    }
    POINTS[POINTS.len() - 1].1
}

fn sign_words(reading: &SignReading) -> String {
    let found = if reading.present { "seen" } else { "looked for, not seen" };
    format!("{} {found}", reading.sign.word().replace('-', " "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::FactId;

    /// Ten burnt joints of which each shows the sign with one half: were each noticed or not by itself, silence would have a
    /// chance of a thousandth. A sniff that may have been blind as a whole cannot speak louder than that.
    #[test]
    fn silence_of_a_whole_panel_speaks_no_louder_than_the_nose_is_trusted() {
        let term = |missed: f64, present: bool| Term {
            words: String::new(),
            fact: FactId::new("sniff"),
            joints: Vec::new(),
            elsewhere: 0.0,
            missed,
            present,
            complaint: None,
        };
        let none = libm::exp2(-10.0);
        assert!((term(0.0, false).chance(none) - none).abs() < 1e-15);
        assert!(0.3 <= term(0.3, false).chance(none));
        let sum = term(0.3, false).chance(none) + term(0.3, true).chance(none);
        assert!((sum - 1.0).abs() < 1e-15);
    }

    /// A cover at 38 °C is warm to the hand whatever the joints do.
    #[test]
    fn a_warm_room_is_a_reason_for_a_complaint_of_heat() {
        let chance = |room_c: f64| {
            let mut job = crate::testjob::eight_spaces();
            job.load_states[0].room = Some(Temperature::from_c(room_c));
            let options =
                crate::JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..crate::JudgeOptions::default() };
            let problem = Problem::new(&job, crate::Priors::built_in().expect("built-in files"), options);
            let of_heat = &problem.rivals[0];
            let of_warmth = of_heat.chances.iter().find(|(cause, _)| *cause == Cause::WarmSurroundings);
            (of_warmth.expect("a rival of heat").1, of_heat.told.len())
        };
        let [cool, warm] = [22.0, 38.0].map(chance);
        assert!(cool.0 < 0.1 && cool.1 == 0, "{cool:?}");
        assert!(0.6 < warm.0 && warm.1 == 1, "{warm:?}");
    }
}
