//! Metal of which a temperature can be read: a lug, a load terminal, the neutral bar.
//!
//! How such metal gets rid of its own heat is hardly known: a watt warms a terminal on a 12 AWG wire alone by some 66 K (fin with a
//! film of 10 to 15 W/m²K), a fifth of that where it is seated well in the body of its breaker, and wires, screws, straps and films
//! differ by more than twice. So each piece has a factor of its own, lognormal, on what it warms by its own heat, beside what
//! the network's knobs turn in the whole panel. Where it warms more because the way to the rest is worse, the rest gets less. Without
//! this a terminal far too hot for its load was a wrong reading, the surer the hotter it was, for so much heat would have warmed what
//! is around it.

use super::{Mode, Problem};
use crate::sampler::Draw;

/// A piece of metal.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Metal {
    /// Resistances whose heat arises in it.
    pub(crate) res: Vec<usize>,
    /// Observations of its temperature.
    pub(crate) own: Vec<usize>,
    /// The other observations of temperatures in its panel.
    pub(crate) others: Vec<usize>,
}

/// How much more than by the network alone the metal and everything else answer to the heat that arises in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Answers {
    pub(crate) own: f64,
    pub(crate) others: f64,
}

impl Answers {
    /// Least part of the rest's share that is left to it.
    const LEAST: f64 = 0.05;

    /// By the logarithm of the factor, where the share `alone` of the heat does not go to the rest of the panel in any case.
    pub(crate) fn of(log: f64, alone: f64) -> Self {
        let own = libm::exp(log);
        Answers { own, others: ((1.0 - alone * own) / (1.0 - alone)).max(Self::LEAST) }
    }
}

impl Problem {
    /// Finds all metal in the panels, read or not: a reading that comes later finds its factor drawn already.
    pub(super) fn build_metals(&mut self) {
        (self.metal_of_obs, self.metal_of_res) = (vec![None; self.obs.len()], vec![None; self.res.len()]);
        for (panel, thermals) in self.thermals.iter().enumerate() {
            // What has two places, as a stab between finger and jaw, is no metal of its own.
            let whole = |res: usize| match thermals.shares[res].as_slice() {
                &[(node, _)] => Some(node),
                _ => None,
            };
            let mut nodes: Vec<usize> = (0..self.joints.len()).filter_map(whole).collect();
            nodes.sort_unstable();
            nodes.dedup();
            let spot_of = |obs: usize| {
                let spot = self.obs[obs].thermal.as_ref().filter(|_| self.obs[obs].mode == Mode::Thermal)?;
                (self.views[spot.view].panel == panel).then_some(spot.node)
            };
            for node in nodes {
                let here = self.metals.len();
                let res: Vec<usize> = (0..self.res.len()).filter(|&res| whole(res) == Some(node)).collect();
                let in_panel = (0..self.obs.len()).filter(|&obs| spot_of(obs).is_some());
                let (own, others): (Vec<usize>, Vec<usize>) =
                    in_panel.partition(|&obs| spot_of(obs) == Some(node));
                own.iter().for_each(|&idx| self.metal_of_obs[idx] = Some(here));
                res.iter().for_each(|&idx| self.metal_of_res[idx] = Some(here));
                self.metals.push(Metal { res, own, others });
            }
        }
    }

    /// How much more than by the network alone an observation of a temperature moves with the heat of a resistance at a draw.
    pub(crate) fn answers_more(&self, obs: usize, res: usize, draw: &Draw) -> f64 {
        let Some(metal) = self.metal_of_res[res] else { return 1.0 };
        let answers = Answers::of(draw.metal[metal], self.priors.discrepancy.metal_alone);
        if self.metal_of_obs[obs] == Some(metal) { answers.own } else { answers.others }
    }
}
