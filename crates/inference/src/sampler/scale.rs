//! Updates of error scales and of the factors that poles share.

use super::state::Chain;
use super::sums::slope_and_curvature;
use crate::problem::{Law, Obs, StudentT};
use crate::rng::{Stream, normal_below};

impl Chain<'_> {
    /// Student-t errors as normals of random scale; censored readings as values drawn inside their interval.
    pub(super) fn update_error_scales(&mut self) {
        for idx in 0..self.n_obs {
            self.update_error_scale(idx);
        }
    }

    /// The same of one reading.
    pub(super) fn update_error_scale(&mut self, idx: usize) {
        let (weight, value) =
            scaled_error(&self.p.obs[idx], &self.p.errors, self.predicted[idx], &mut self.rng);
        (self.weight[idx], self.value[idx]) = (weight, if weight == 0.0 { self.value[idx] } else { value });
    }

    /// Offsets that are now and then wider: which of the two each is.
    pub(super) fn update_offset_scales(&mut self) {
        for (idx, prior) in self.p.offsets.iter().enumerate() {
            if let Some(tail) = prior.tail {
                let z = (self.offsets[idx] - prior.mean) / prior.sd;
                self.offset_scale[idx] = tail.precision(z, self.rng.uniform());
            }
        }
    }

    /// Which poles have bad contacts of their own: held while their factors are drawn.
    fn draw_own_contacts(&mut self) {
        for res in self.p.n_conditioned..self.p.res.len() {
            if let Law::Pole(law) = self.p.res[res].law {
                self.is_bad[res] = self.rng.uniform() < law.bad_chance(self.own(res));
            }
        }
    }

    /// Factors that poles share: each first given its poles, then together with them.
    pub(super) fn update_factors(&mut self) {
        self.draw_own_contacts();
        for factor in 0..self.factors.len() {
            let content = &self.p.factors[factor];
            let mut precision = 1.0 / (content.sd * content.sd);
            let mut pull = 0.0;
            for &res in &content.poles {
                if let Law::Pole(law) = &self.p.res[res].law {
                    let (shift, sd) = law.part(self.is_bad[res]);
                    let rest = self.pole_mean(res, law) - self.factors[factor] + shift;
                    precision += 1.0 / (sd * sd);
                    pull += (self.ln_ohm[res] - rest) / (sd * sd);
                }
            }
            self.factors[factor] = pull / precision + self.rng.normal() / libm::sqrt(precision);
            self.scale_poles(factor, &content.poles, &[0.25, 0.08]);
            // Poles that no millivolt reading ties down follow the factor as a group of their own.
            if self.loose[factor].len() < content.poles.len() {
                let loose = std::mem::take(&mut self.loose[factor]);
                self.scale_poles(factor, &loose, &[0.25, 0.12, 0.06]);
                self.loose[factor] = loose;
            }
        }
    }

    /// Moves a factor together with a group of its poles, once for each step.
    fn scale_poles(&mut self, factor: usize, group: &[usize], steps: &[f64]) {
        let content = &self.p.factors[factor];
        // What the group gives to each prediction.
        let mut given = vec![0.0; self.n_obs];
        for &res in group {
            let column = &self.coef[res * self.n_obs..(res + 1) * self.n_obs];
            for (given, coef) in given.iter_mut().zip(column) {
                *given += coef * self.ohm[res];
            }
        }
        let stay: Vec<(usize, (f64, f64))> = content
            .poles
            .iter()
            .filter(|res| !group.contains(res))
            .filter_map(|&res| match self.p.res[res].law {
                Law::Pole(law) => Some((res, law.part(self.is_bad[res]))),
                Law::Conditioned { .. } | Law::Known => None,
            })
            .collect();
        for step in steps {
            let change = step * self.rng.normal();
            let (here, there) = (self.factors[factor], self.factors[factor] + change);
            let mut log_ratio = 0.5 * (here * here - there * there) / (content.sd * content.sd);
            for &(res, (shift, sd)) in &stay {
                let from = self.own(res) - shift;
                let to = from - change;
                log_ratio += 0.5 * (from * from - to * to) / (sd * sd);
            }
            let more = libm::exp(change) - 1.0;
            let (slope, curvature) = slope_and_curvature(&given, &self.weight, &self.value, &self.predicted);
            log_ratio += more * slope - 0.5 * more * more * curvature;
            if libm::log(self.rng.uniform().max(1e-300)) < log_ratio {
                self.factors[factor] = there;
                for &res in group {
                    self.ln_ohm[res] += change;
                    self.ohm[res] = libm::exp(self.ln_ohm[res]);
                }
                for (predicted, given) in self.predicted.iter_mut().zip(&mut given) {
                    *predicted += more * *given;
                    *given *= 1.0 + more;
                }
            }
        }
    }
}

/// Draws the precision of a reading given its prediction, zero where it tells nothing, and its value, which of an interval is drawn
/// inside it.
pub(crate) fn scaled_error(obs: &Obs, errors: &StudentT, predicted: f64, rng: &mut Stream) -> (f64, f64) {
    let (nu, sigma) = (errors.nu, obs.sigma);
    match obs.censored {
        None => {
            let flat = obs.wrong.density(obs.value);
            let right = (1.0 - obs.wrong.chance) * obs.right_density(predicted, errors);
            if rng.uniform() * (flat + right) < flat {
                return (0.0, obs.value);
            }
            let z = (obs.value - predicted) / sigma;
            let scale = rng.gamma(0.5 * (nu + 1.0)) / (0.5 * (nu + z * z));
            (scale / (sigma * sigma), obs.value)
        }
        Some(censored) => {
            let low = (censored.low - predicted) / sigma;
            let high = (censored.high - predicted) / sigma;
            let inside = (normal_below(high) - normal_below(low)).max(1e-12);
            let void = censored.void_chance / (censored.void_chance + (1.0 - censored.void_chance) * inside);
            if rng.uniform() < void {
                (0.0, obs.value)
            } else {
                (1.0 / (sigma * sigma), predicted + sigma * rng.normal_between(low, high))
            }
        }
    }
}
