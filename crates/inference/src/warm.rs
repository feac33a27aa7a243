//! Judging again after a new fact. What is kept of a judgement are its draws, for what they tell of the fact ([`crate::told`]), and
//! where its chains stood: they can go on from there, and the networks are linearised where they ended, so neither pilot runs nor a
//! long burn-in are needed.

use crate::problem::{N_KNOBS, Problem, ResKind};
use crate::sampler::{Draw, Draws};
use model::{PanelId, Slot};
use std::collections::BTreeMap;

/// The draws of an earlier judgement, with the problem that they are of.
#[derive(Debug, Clone)]
pub struct Warm {
    pub(crate) problem: Problem,
    pub(crate) chains: Vec<Draws>,
}

impl PartialEq for Warm {
    fn eq(&self, other: &Warm) -> bool {
        self.chains == other.chains
    }
}

/// Draws that are kept, at most: those of the usual number of sweeps. A longer judgement would fill the memory.
const N_DRAWS: usize = 1_600;
/// Of so many draws one is enough to go the way of all.
const FEW: usize = 8;
/// Draws through which lines are laid for chains that go on.
const N_SPREAD: usize = 48;

/// Values of all unknowns, by what they are and not by their place in a list.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Standing {
    pub(crate) ohm: BTreeMap<ResKind, (f64, u8)>,
    /// By name of the state and pole; before the record there is no name.
    pub(crate) loads: BTreeMap<(String, Slot), f64>,
    pub(crate) offsets: BTreeMap<String, f64>,
    pub(crate) knobs: BTreeMap<PanelId, [f64; N_KNOBS]>,
    pub(crate) finger: BTreeMap<Slot, bool>,
    pub(crate) prevalence: usize,
}

impl Warm {
    /// The same with few draws, spread over all.
    #[must_use]
    pub fn few(&self) -> Warm {
        let every = |chain: &Draws| Draws(chain.0.iter().step_by(FEW).cloned().collect());
        Warm { problem: self.problem.clone(), chains: self.chains.iter().map(every).collect() }
    }
}

impl Problem {
    /// Keeps the draws, for [`crate::prepare_told`] and [`crate::prepare_warm`].
    pub fn keep_warm(self, chains: Vec<Draws>) -> Warm {
        let n_draws: usize = chains.iter().map(|chain| chain.0.len()).sum();
        let every = n_draws.div_ceil(N_DRAWS).max(1);
        // The last draw is where a chain goes on.
        let thinned = |chain: Draws| {
            let first = chain.0.len().saturating_sub(1) % every;
            Draws(chain.0.into_iter().skip(first).step_by(every).collect())
        };
        Warm { problem: self, chains: chains.into_iter().map(thinned).collect() }
    }

    pub(crate) fn standing(&self, draw: &Draw) -> Standing {
        let mut standing = Standing { prevalence: draw.prevalence, ..Standing::default() };
        for (idx, res) in self.res.iter().enumerate() {
            let class = draw.condition.get(idx).copied().unwrap_or(0);
            standing.ohm.insert(res.kind.clone(), (draw.ohm[idx], class));
            if let (ResKind::Joint(id), Some(finger)) =
                (&res.kind, self.finger_of.get(idx).copied().flatten())
                && let Some(slot) = id.slot()
            {
                standing.finger.insert(slot.clone(), draw.finger[finger]);
            }
        }
        for idx in 0..self.loads.len() {
            for key in self.load_keys(idx) {
                standing.loads.insert(key, draw.loads[idx]);
            }
        }
        for (offset, value) in self.offsets.iter().zip(&draw.offsets) {
            standing.offsets.insert(offset.name.clone(), *value);
        }
        for (panel, knobs) in self.job.installation.panels.iter().zip(&draw.knobs) {
            standing.knobs.insert(panel.id.clone(), *knobs);
        }
        standing
    }

    /// Names of a load: its state and each of its poles.
    pub(crate) fn load_keys(&self, load: usize) -> Vec<(String, Slot)> {
        let load = &self.loads[load];
        let state = self.states.get(load.state).map_or(String::new(), |state| state.name.clone());
        load.slots.iter().map(|slot| (state.clone(), slot.clone())).collect()
    }
}

impl Warm {
    /// Where a chain stood; chains beyond those kept begin where another stood.
    pub(crate) fn chain(&self, number: usize) -> Option<Standing> {
        let chain = self.chains.get(number % self.chains.len().max(1))?;
        chain.0.last().map(|draw| self.problem.standing(draw))
    }

    /// Mean resistances and loads; all else as where the first chain stood.
    pub(crate) fn mean(&self) -> Standing {
        let mut mean = self.chain(0).unwrap_or_default();
        let n = self.chains.len().max(1) as f64;
        let means: Vec<(Vec<f64>, Vec<f64>)> = self.chains.iter().map(Draws::means).collect();
        for (idx, res) in self.problem.res.iter().enumerate() {
            if let Some((ohm, _)) = mean.ohm.get_mut(&res.kind) {
                *ohm = means.iter().map(|(ohm, _)| ohm[idx]).sum::<f64>() / n;
            }
        }
        for idx in 0..self.problem.loads.len() {
            let value = means.iter().map(|(_, loads)| loads[idx]).sum::<f64>() / n;
            for key in self.problem.load_keys(idx) {
                mean.loads.insert(key, value);
            }
        }
        mean
    }

    /// Some of the draws, evenly over the chains.
    pub(crate) fn spread(&self) -> Vec<Standing> {
        let draws: Vec<&Draw> = self.chains.iter().flat_map(|chain| &chain.0).collect();
        let n_kept = N_SPREAD.min(draws.len());
        (0..n_kept).map(|nth| self.problem.standing(draws[nth * draws.len() / n_kept])).collect()
    }
}
