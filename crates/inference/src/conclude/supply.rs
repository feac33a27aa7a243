//! State of the supply as the voltages show it.

use super::{Posterior, interval};
use crate::problem::{Mode, ResKind};
use model::assessment::{Reason, SupplyFinding};

impl Posterior<'_> {
    pub(crate) fn supply_findings(&self) -> Vec<SupplyFinding> {
        let voltages = self.p.obs.iter().any(|obs| {
            obs.mode == Mode::Electrical
                && obs.weights.iter().any(|&(res, _)| {
                    matches!(self.p.res[res].kind, ResKind::SupplyLeg(_) | ResKind::SupplyNeutral)
                })
        });
        if !voltages {
            return Vec::new();
        }
        (self.p.joints.len()..self.p.n_conditioned)
            .map(|res| {
                let path = match &self.p.res[res].kind {
                    ResKind::SupplyLeg(leg) => format!("leg {leg}"),
                    _ => "neutral".to_owned(),
                };
                SupplyFinding {
                    path,
                    resistance_mohm: interval(self.even.iter().map(|draw| draw.ohm[res] * 1e3).collect()),
                    failing: self.probabilities[res][2],
                    reasons: self.supply_reasons(res),
                }
            })
            .collect()
    }

    fn supply_reasons(&self, res: usize) -> Vec<Reason> {
        let mut reasons: Vec<Reason> = self
            .reasons(res, &self.influences(res))
            .into_iter()
            .filter(|reason| reason.fact.is_some())
            .collect();
        reasons.truncate(4);
        reasons
    }
}
