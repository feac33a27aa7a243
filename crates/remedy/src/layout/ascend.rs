//! Better prices: steps up the slope of the bound (Held and Karp 1971; the slopes of the last steps mixed in, Camerini,
//! Fratta and Maffioli 1975).

use crate::layout::relax::{Frame, MILLI, Open, Valued};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Part of the newest slope in the direction of a step.
const NEWEST: f64 = 0.3;
/// By how much the steps become shorter.
const SHORTER: f64 = 0.8;
/// Part of the first length at which no better prices are expected.
const SHORTEST: f64 = 1e-3;
/// Largest price, in thousandths of a point: far above any layout, far below what sums of whole numbers can hold.
const DEAREST: f64 = 1e9;
/// Fillings whose mean says how the bound would share the circuits out.
const MEAN: usize = 24;

/// The ways that a filling uses: block and way.
type Filling = Vec<(usize, u16)>;

/// How prices are looked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Climb {
    /// Steps.
    pub(crate) n_steps: usize,
    /// Length of the first step, as part of what would close the gap were the bound straight.
    pub(crate) length: f64,
    /// Steps without a better bound after which they become shorter.
    pub(crate) patience: usize,
}

/// Where the prices ended.
#[derive(Debug, Clone)]
pub(crate) struct Climbed {
    pub(crate) valued: Valued,
    pub(crate) prices: Vec<i64>,
    /// The last fillings, and the rows that the groups asked with each.
    pub(crate) last: Vec<(Filling, Vec<usize>)>,
}

impl Climbed {
    /// Ways of the last fillings, those used most often first.
    pub(crate) fn usual(&self) -> Filling {
        let mut counts: BTreeMap<(usize, u16), usize> = BTreeMap::new();
        for &way in self.last.iter().flat_map(|(chosen, _)| chosen) {
            *counts.entry(way).or_default() += 1;
        }
        let mut all: Vec<((usize, u16), usize)> = counts.into_iter().collect();
        all.sort_by_key(|&(_, n)| Reverse(n));
        all.into_iter().map(|(way, _)| way).collect()
    }
}

impl Frame<'_> {
    /// Length of a unit of each price: legs are counted in tenths of amperes, the rest in ones.
    fn scale(&self) -> Vec<f64> {
        let mut scale = vec![1.0; self.n_prices];
        for scenario in 0..self.wish.scenarios.len() {
            let squares: i64 = self.net.iter().flatten().map(|pole| pole[scenario] * pole[scenario]).sum();
            let n = self.net.iter().flatten().filter(|pole| pole[scenario] != 0).count().max(1);
            let usual = (squares as f64 / n as f64).sqrt().max(1.0);
            for pair in 0..self.pairs.len() {
                scale[self.first_leg + scenario * self.pairs.len() + pair] = 1.0 / usual;
            }
        }
        scale
    }

    /// Some steps from given prices, the best kept; `None` where nothing is left.
    pub(crate) fn climb(&self, open: &Open, prices: &[i64], pace: Climb, limit: i64) -> Option<Climbed> {
        let scale = self.scale();
        let known = self.known(open);
        let mut at: Vec<f64> = prices.iter().map(|&price| price as f64).collect();
        let mut whole = prices.to_vec();
        let mut kept =
            Climbed { valued: self.value(open, &known, &whole)?, prices: whole.clone(), last: Vec::new() };
        // The value of the last step, where it is not the one that is kept.
        let mut lower: Option<Valued> = None;
        let mut direction = vec![0.0; at.len()];
        let (mut length, mut idle) = (pace.length, 0);
        for step in 0..=pace.n_steps {
            let now = lower.as_ref().unwrap_or(&kept.valued);
            if pace.n_steps < step + MEAN {
                kept.last.push((now.chosen.clone(), now.asked.clone()));
            }
            let enough = MILLI * (limit - 1) < kept.valued.bound || length < pace.length * SHORTEST;
            if step == pace.n_steps || enough {
                break;
            }
            let slope = self.slope(now, &whole);
            if slope.iter().all(|&one| one == 0) {
                break;
            }
            let newest = if step == 0 { 1.0 } else { NEWEST };
            let mut norm = 0.0;
            for ((direction, &slope), scale) in direction.iter_mut().zip(&slope).zip(&scale) {
                *direction = newest * slope as f64 * scale + (1.0 - newest) * *direction;
                norm += *direction * *direction;
            }
            let far = (MILLI * limit - now.bound).max(MILLI / 2) as f64;
            let stride = length * far / norm.max(1e-6);
            for ((at, direction), scale) in at.iter_mut().zip(&direction).zip(&scale) {
                *at = (*at + stride * direction * scale).clamp(-DEAREST, DEAREST);
            }
            self.allowed(&mut at);
            whole = at.iter().map(|one| one.round() as i64).collect();
            self.capped(&mut whole);
            let next = self.value(open, &known, &whole)?;
            if kept.valued.bound < next.bound {
                (kept.valued, lower, idle) = (next, None, 0);
                kept.prices.clone_from(&whole);
            } else {
                lower = Some(next);
                idle += 1;
                if pace.patience <= idle {
                    (length, idle) = (length * SHORTER, 0);
                }
            }
        }
        if kept.last.is_empty() {
            let now = lower.as_ref().unwrap_or(&kept.valued);
            kept.last.push((now.chosen.clone(), now.asked.clone()));
        }
        Some(kept)
    }

    /// Prices of the legs within what a difference counts.
    fn allowed(&self, at: &mut [f64]) {
        let most = (MILLI * self.wish.weights.leg_difference) as f64;
        let n = self.wish.scenarios.len() * self.pairs.len();
        for scenario in at[self.first_leg..self.first_leg + n].chunks_mut(self.pairs.len().max(1)) {
            let sum: f64 = scenario.iter().map(|price| price.abs()).sum();
            if most < sum {
                scenario.iter_mut().for_each(|price| *price *= most / sum);
            }
        }
    }

    /// The same for whole prices, where rounding may have gone beyond.
    fn capped(&self, prices: &mut [i64]) {
        let most = MILLI * self.wish.weights.leg_difference;
        let n = self.wish.scenarios.len() * self.pairs.len();
        for scenario in prices[self.first_leg..self.first_leg + n].chunks_mut(self.pairs.len().max(1)) {
            let sum: i64 = scenario.iter().map(|price| price.abs()).sum();
            if most < sum {
                scenario.iter_mut().for_each(|price| *price = *price * most / sum);
            }
        }
    }
}
