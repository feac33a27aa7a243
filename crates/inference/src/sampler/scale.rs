//! Updates of error scales, offsets, knobs and the common pole factor.

use super::state::Chain;
use crate::problem::{Law, N_KNOBS};
use crate::rng::normal_below;

impl Chain<'_> {
    /// Student-t errors as normals of random scale; censored readings as values drawn inside their interval.
    pub(super) fn update_error_scales(&mut self) {
        let nu = self.p.priors.instrument.degrees_of_freedom;
        for idx in 0..self.n_obs {
            let obs = &self.p.obs[idx];
            let sigma = obs.sigma;
            match obs.censored {
                None => {
                    let flat = obs.wrong.chance / obs.wrong.width;
                    let right = (1.0 - obs.wrong.chance) * obs.right_density(self.predicted[idx], nu);
                    if self.rng.uniform() * (flat + right) < flat {
                        self.weight[idx] = 0.0;
                        continue;
                    }
                    let z = (self.value[idx] - self.predicted[idx]) / sigma;
                    let scale = self.rng.gamma(0.5 * (nu + 1.0)) / (0.5 * (nu + z * z));
                    self.weight[idx] = scale / (sigma * sigma);
                }
                Some(censored) => {
                    let low = (censored.low - self.predicted[idx]) / sigma;
                    let high = (censored.high - self.predicted[idx]) / sigma;
                    let inside = (normal_below(high) - normal_below(low)).max(1e-12);
                    let void =
                        censored.void_chance / (censored.void_chance + (1.0 - censored.void_chance) * inside);
                    if self.rng.uniform() < void {
                        self.weight[idx] = 0.0;
                    } else {
                        self.weight[idx] = 1.0 / (sigma * sigma);
                        self.value[idx] = self.predicted[idx] + sigma * self.rng.normal_between(low, high);
                    }
                }
            }
        }
    }

    pub(super) fn update_offsets(&mut self) {
        for offset in 0..self.offsets.len() {
            let prior = &self.p.offsets[offset];
            if let Some(nu) = prior.tail {
                let z = (self.offsets[offset] - prior.mean) / prior.sd;
                self.offset_scale[offset] = self.rng.gamma(0.5 * (nu + 1.0)) / (0.5 * (nu + z * z));
            }
            let mut precision = self.offset_scale[offset] / (prior.sd * prior.sd);
            let mut pull = (prior.mean - self.offsets[offset]) * precision;
            for idx in 0..self.n_obs {
                for &(at, weight) in &self.p.obs[idx].offsets {
                    if at == offset {
                        precision += self.weight[idx] * weight * weight;
                        pull += self.weight[idx] * weight * (self.value[idx] - self.predicted[idx]);
                    }
                }
            }
            let change = pull / precision + self.rng.normal() / libm::sqrt(precision);
            self.offsets[offset] += change;
            for idx in 0..self.n_obs {
                for &(at, weight) in &self.p.obs[idx].offsets {
                    if at == offset {
                        self.predicted[idx] += weight * change;
                    }
                }
            }
        }
    }

    /// Predictions are linear in each knob while the others stay.
    pub(super) fn update_knobs(&mut self) {
        let mut moved = false;
        for panel in 0..self.knobs.len() {
            let spots: Vec<usize> = (0..self.n_obs)
                .filter(|&idx| {
                    self.p.obs[idx]
                        .thermal
                        .as_ref()
                        .is_some_and(|spot| self.p.views[spot.view].panel == panel)
                })
                .collect();
            for knob in 0..N_KNOBS {
                let sd = self.p.knob_sd[knob];
                let mut precision = 1.0 / (sd * sd);
                let mut pull = -self.knobs[panel][knob] * precision;
                let mut slopes = Vec::with_capacity(spots.len());
                for &idx in &spots {
                    let linear = &self.p.linear[idx];
                    let mut slope = linear.intercept[knob + 1];
                    for (res, per_watt) in linear.slope.iter().enumerate() {
                        slope += per_watt[knob + 1] * self.square[res * self.n_obs + idx] * self.ohm[res];
                    }
                    precision += self.weight[idx] * slope * slope;
                    pull += self.weight[idx] * slope * (self.value[idx] - self.predicted[idx]);
                    slopes.push(slope);
                }
                let change = pull / precision + self.rng.normal() / libm::sqrt(precision);
                self.knobs[panel][knob] += change;
                for (&idx, slope) in spots.iter().zip(&slopes) {
                    self.predicted[idx] += slope * change;
                }
                moved |= !spots.is_empty();
            }
        }
        if moved {
            self.refresh_slopes();
            for res in 0..self.p.res.len() {
                self.refresh_column(res);
            }
            self.refresh_predictions();
        }
    }

    /// Factors that poles share: each first given its poles, then together with them.
    pub(super) fn update_factors(&mut self) {
        for factor in 0..self.factors.len() {
            let content = &self.p.factors[factor];
            let mut precision = 1.0 / (content.sd * content.sd);
            let mut pull = 0.0;
            for &res in &content.poles {
                if let Law::Pole { mean, sd } = self.p.res[res].law {
                    let rest = self.pole_mean(res, mean) - self.factors[factor];
                    precision += 1.0 / (sd * sd);
                    pull += (self.ln_ohm[res] - rest) / (sd * sd);
                }
            }
            self.factors[factor] = pull / precision + self.rng.normal() / libm::sqrt(precision);
            for step in [0.25, 0.08] {
                self.scale_poles(factor, false, step);
            }
            // Poles that no millivolt reading ties down follow the factor as a group of their own.
            if self.loose[factor].len() < content.poles.len() {
                for step in [0.25, 0.12, 0.06] {
                    self.scale_poles(factor, true, step);
                }
            }
        }
    }

    /// Moves a factor together with its poles, or with the loose ones among them.
    fn scale_poles(&mut self, factor: usize, only_loose: bool, step: f64) {
        let content = &self.p.factors[factor];
        let change = step * self.rng.normal();
        let (here, there) = (self.factors[factor], self.factors[factor] + change);
        let mut log_ratio = 0.5 * (here * here - there * there) / (content.sd * content.sd);
        let group = if only_loose { self.loose[factor].clone() } else { content.poles.clone() };
        for &res in &content.poles {
            if let (Law::Pole { mean, sd }, false) = (&self.p.res[res].law, group.contains(&res)) {
                let from = self.ln_ohm[res] - self.pole_mean(res, *mean);
                let to = from - change;
                log_ratio += 0.5 * (from * from - to * to) / (sd * sd);
            }
        }
        let more = libm::exp(change) - 1.0;
        let mut moves = vec![0.0; self.n_obs];
        for &res in &group {
            let column = &self.coef[res * self.n_obs..(res + 1) * self.n_obs];
            for (moved, coef) in moves.iter_mut().zip(column) {
                *moved += coef * self.ohm[res] * more;
            }
        }
        for (idx, moved) in moves.iter().enumerate() {
            let residual = self.value[idx] - self.predicted[idx];
            log_ratio += self.weight[idx] * (residual * moved - 0.5 * moved * moved);
        }
        if libm::log(self.rng.uniform().max(1e-300)) < log_ratio {
            self.factors[factor] = there;
            for &res in &group {
                self.ln_ohm[res] += change;
                self.ohm[res] = libm::exp(self.ln_ohm[res]);
            }
            for (predicted, moved) in self.predicted.iter_mut().zip(&moves) {
                *predicted += moved;
            }
        }
    }
}
