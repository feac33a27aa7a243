//! Seeded random draws from named distributions.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};
use rand_distr::{Distribution, Exp1, Gamma, StandardNormal, Weibull};

/// A seeded source of draws. Every panel has its own, so panels can be made in any order.
pub(crate) struct Dice {
    rng: ChaCha8Rng,
}

impl Dice {
    /// The source of one panel of one run.
    pub(crate) fn for_panel(seed: u64, panel_idx: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(panel_idx);
        Dice { rng }
    }

    /// The same for the breakers' own contacts, so that these change nothing else of a panel.
    pub(crate) fn for_contacts(seed: u64, panel_idx: u64) -> Self {
        Dice::for_panel(!seed, panel_idx)
    }

    /// Uniform on [low, high).
    pub(crate) fn uniform(&mut self, low: f64, high: f64) -> f64 {
        let unit = (self.rng.next_u64() >> 11) as f64 / (1u64 << 53) as f64;
        low + (high - low) * unit
    }

    /// Uniform integer of low ..= high.
    pub(crate) fn whole(&mut self, low: u16, high: u16) -> u16 {
        let span = f64::from(high.saturating_sub(low)) + 1.0;
        (low + self.uniform(0.0, span) as u16).min(high)
    }

    /// True with this probability.
    pub(crate) fn chance(&mut self, probability: f64) -> bool {
        self.uniform(0.0, 1.0) < probability
    }

    /// Normal.
    pub(crate) fn normal(&mut self, mean: f64, deviation: f64) -> f64 {
        let unit: f64 = StandardNormal.sample(&mut self.rng);
        mean + deviation * unit
    }

    /// Exponential with this mean.
    pub(crate) fn exponential(&mut self, mean: f64) -> f64 {
        let unit: f64 = Exp1.sample(&mut self.rng);
        mean * unit
    }

    /// Gamma with shape and scale, both above zero.
    pub(crate) fn gamma(&mut self, shape: f64, scale: f64) -> f64 {
        Gamma::new(shape, scale).map_or(shape * scale, |gamma| gamma.sample(&mut self.rng))
    }

    /// Weibull with scale and shape, both above zero.
    pub(crate) fn weibull(&mut self, scale: f64, shape: f64) -> f64 {
        Weibull::new(scale, shape).map_or(scale, |weibull| weibull.sample(&mut self.rng))
    }

    /// Log-uniform on [low, high), both above zero.
    pub(crate) fn log_uniform(&mut self, low: f64, high: f64) -> f64 {
        self.uniform(low.ln(), high.ln()).exp()
    }

    /// An index drawn by weight; 0 if no weight is above zero.
    pub(crate) fn weighted(&mut self, weights: &[f64]) -> usize {
        let total: f64 = weights.iter().sum();
        let mut left = self.uniform(0.0, total);
        for (idx, weight) in weights.iter().enumerate() {
            left -= weight;
            if left < 0.0 {
                return idx;
            }
        }
        0
    }

    /// One of the items, which must not be empty.
    pub(crate) fn pick<T: Copy>(&mut self, items: &[T]) -> T {
        items[self.weighted(&vec![1.0; items.len()])]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Means of 40,000 draws lie within five standard errors of the textbook means.
    #[test]
    fn verif_draws_have_their_textbook_means() {
        let mut dice = Dice::for_panel(1, 0);
        let n = 40_000;
        let mut mean = |draw: &mut dyn FnMut(&mut Dice) -> f64| {
            (0..n).map(|_| draw(&mut dice)).sum::<f64>() / f64::from(n)
        };
        let root = f64::from(n).sqrt();
        // gamma(2, 0.08): mean 0.16, variance 2·0.08²
        assert!((mean(&mut |dice| dice.gamma(2.0, 0.08)) - 0.16).abs() < 5.0 * 0.08 * 2f64.sqrt() / root);
        // Weibull(scale 1, shape 2): mean Γ(1.5) = √π/2, variance 1 − π/4
        let weibull = std::f64::consts::PI.sqrt() / 2.0;
        let spread = (1.0 - std::f64::consts::FRAC_PI_4).sqrt();
        assert!((mean(&mut |dice| dice.weibull(1.0, 2.0)) - weibull).abs() < 5.0 * spread / root);
        // log-uniform(1, e): mean e − 1, standard deviation below 0.5
        let e = std::f64::consts::E;
        assert!((mean(&mut |dice| dice.log_uniform(1.0, e)) - (e - 1.0)).abs() < 5.0 * 0.5 / root);
        assert!((mean(&mut |dice| f64::from(dice.whole(1, 3))) - 2.0).abs() < 5.0 / root);
    }

    #[test]
    fn panels_have_their_own_streams_and_repeat() {
        let draw = |seed, idx| Dice::for_panel(seed, idx).uniform(0.0, 1.0);
        assert!((draw(7, 3) - draw(7, 3)).abs() < f64::EPSILON);
        assert!((draw(7, 3) - draw(7, 4)).abs() > 1e-9);
    }
}
