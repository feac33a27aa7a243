//! One finding a joint.

use super::predict::Influence;
use super::{Posterior, interval};
use crate::problem::{Law, ResKind};
use crate::run::{Run, in_stretches};
use crate::sampler::Draw;
use model::assessment::{ConditionProbability, Interval, JointFinding};
use model::{Current, Resistance, Temperature};
use physics::contact::drop::JointDrop;
use physics::contact::voltage_temperature::hot_spot;

impl Posterior<'_> {
    pub(crate) fn joint_findings(&self, run: &impl Run) -> Vec<JointFinding> {
        let priors: Vec<(usize, f64)> = self.prior_burnt().into_iter().enumerate().collect();
        in_stretches(run, &priors, |part| {
            part.iter().map(|&(res, prior)| self.joint_finding(res, prior)).collect()
        })
    }

    fn joint_finding(&self, res: usize, prior_burnt: f64) -> JointFinding {
        let content = &self.p.res[res];
        let resistance = self.values(|draw| draw.ohm[res]);
        let state = self.most_loaded(res);
        let carried = state.filter(|&state| !self.p.carry[state][res].is_empty());
        let currents = carried.map(|state| self.values(|draw| self.p.current(state, res, &draw.loads).abs()));
        let heats = currents.as_ref().map(|currents| {
            currents.iter().zip(&resistance).map(|(a, ohm)| a * a * ohm).collect::<Vec<f64>>()
        });
        let rated = content.rated_a;
        let influences = self.influences(res);
        JointFinding {
            joint: self.p.joints[res].clone(),
            probability: self.probability(res),
            prior_burnt,
            resistance_mohm: interval(resistance.iter().map(|ohm| ohm * 1e3).collect()),
            heat_now_w: heats.map(interval),
            current_now_a: currents.map(interval),
            heat_rated_w: interval(resistance.iter().map(|ohm| rated * rated * ohm).collect()),
            current_rated_a: rated,
            hot_spot_c: carried.and_then(|state| self.hot_spot_c(res, state)),
            reasons: self.reasons(res, &influences),
            observed: self.is_observed(res, &influences),
        }
    }

    fn values(&self, value: impl Fn(&Draw) -> f64) -> Vec<f64> {
        self.even.iter().map(|draw| value(draw)).collect()
    }

    fn probability(&self, res: usize) -> ConditionProbability {
        let raw = self.probabilities[res];
        let total: f64 = raw.iter().sum();
        ConditionProbability {
            sound: raw[0] / total,
            worn: raw[1] / total,
            burnt: raw[2] / total,
            burnt_standard_error: self.settled[res].standard_error,
        }
    }

    /// State in which a joint carries most, by the mean of the squared current.
    pub(crate) fn most_loaded(&self, res: usize) -> Option<usize> {
        (0..self.p.states.len())
            .map(|state| {
                let squares: f64 = self
                    .exact
                    .picked
                    .iter()
                    .map(|&at| {
                        let current = self.p.current(state, res, &self.draws[at].loads);
                        current * current
                    })
                    .sum();
                (state, squares)
            })
            .fold(None, |best: Option<(usize, f64)>, next| match best {
                Some(best) if next.1 <= best.1 => Some(best),
                _ => Some(next),
            })
            .map(|(state, _)| state)
    }

    /// Hottest metal of the joint; `None` where the relation does not hold in more than one draw in twenty.
    fn hot_spot_c(&self, res: usize, state: usize) -> Option<Interval> {
        let ResKind::Joint(id) = &self.p.res[res].kind else { return None };
        let panel = self.p.job.installation.panels.iter().position(|panel| panel.id == *id.panel())?;
        let view = self.p.views.iter().position(|view| view.panel == panel && view.state == state)?;
        let shares = &self.p.thermals[panel].shares[res];
        let (mut low, mut middle, mut high) = (Vec::new(), Vec::new(), Vec::new());
        for (&at, views) in self.exact.picked.iter().zip(&self.exact.temperature_k) {
            let draw = self.draws[at];
            let temperatures = &views[view];
            let body_k: f64 =
                shares.iter().filter_map(|&(node, share)| temperatures.get(node).map(|t| share * t)).sum();
            let current = Current::from_a(self.p.current(state, res, &draw.loads).abs());
            let drop = JointDrop::across(Resistance::from_ohm(draw.ohm[res]), current).ok();
            let spot = drop.and_then(|drop| hot_spot(Temperature::from_k(body_k), drop).ok());
            if let Some(spot) = spot {
                low.push(spot.spot.low.c());
                middle.push(0.5 * (spot.spot.low.c() + spot.spot.high.c()));
                high.push(spot.spot.high.c());
            }
        }
        if shares.is_empty() || low.len() * 20 < self.exact.picked.len() * 19 {
            return None;
        }
        Some(Interval { low: interval(low).low, median: interval(middle).median, high: interval(high).high })
    }

    fn is_observed(&self, res: usize, influences: &[Influence]) -> bool {
        let own_sign = self
            .p
            .terms
            .iter()
            .any(|term| term.complaint.is_none() && term.joints.iter().any(|&(at, _)| at == res));
        own_sign || influences.iter().any(|influence| 0.3 < influence.strength)
    }

    /// Probability of burnt by the panel's description alone, clusters averaged.
    fn prior_burnt(&self) -> Vec<f64> {
        let cluster = &self.p.priors.cluster;
        (0..self.p.joints.len())
            .map(|res| {
                let Law::Conditioned { odds: [worn, burnt], .. } = self.p.res[res].law else { return 0.0 };
                let mut total = 0.0;
                for prevalence in &cluster.prevalence {
                    let fingers: &[(f64, f64, f64)] = if self.p.finger_of[res].is_some() {
                        &[
                            (1.0 - cluster.finger_probability, 1.0, 1.0),
                            (cluster.finger_probability, cluster.finger_worn, cluster.finger_burnt),
                        ]
                    } else {
                        &[(1.0, 1.0, 1.0)]
                    };
                    for &(chance, more_worn, more_burnt) in fingers {
                        let w = worn * prevalence.worn * more_worn;
                        let b = burnt * prevalence.burnt * more_burnt;
                        total += prevalence.weight * chance * b / (1.0 + w + b);
                    }
                }
                total
            })
            .collect()
    }
}
