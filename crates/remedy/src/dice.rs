//! Three-point figures and the seeded dice that draw from them.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng as _, SeedableRng};
use serde::Deserialize;

/// Least, usual and most of something: a triangular distribution whose peak is the usual value.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(try_from = "[f64; 3]")]
pub struct Three {
    /// It is not less.
    pub least: f64,
    /// Most likely.
    pub usual: f64,
    /// It is not more.
    pub most: f64,
}

impl TryFrom<[f64; 3]> for Three {
    type Error = String;

    fn try_from(of: [f64; 3]) -> Result<Self, String> {
        let [least, usual, most] = of;
        let ordered = 0.0 <= least && least <= usual && usual <= most && most.is_finite();
        if ordered {
            Ok(Three { least, usual, most })
        } else {
            Err(format!("{of:?} is not least, usual, most"))
        }
    }
}

impl Three {
    /// Always the same.
    pub const fn certain(value: f64) -> Three {
        Three { least: value, usual: value, most: value }
    }

    /// All three times a factor, which is not negative.
    pub fn times(self, factor: f64) -> Three {
        Three { least: self.least * factor, usual: self.usual * factor, most: self.most * factor }
    }

    /// Mean of the triangular distribution: a third of the sum of the three (textbook result; held by a test against
    /// draws).
    pub fn mean(self) -> f64 {
        (self.least + self.usual + self.most) / 3.0
    }

    /// The value below which the share `u` of the draws lies, by the inverse of the distribution function.
    pub(crate) fn quantile(self, u: f64) -> f64 {
        let width = self.most - self.least;
        if width <= 0.0 {
            return self.usual;
        }
        let rising = (self.usual - self.least) / width;
        if u < rising {
            self.least + (u * width * (self.usual - self.least)).sqrt()
        } else {
            self.most - ((1.0 - u) * width * (self.most - self.usual)).sqrt()
        }
    }
}

/// A seeded stream of chance: the same on every machine.
#[derive(Debug, Clone)]
pub(crate) struct Dice(ChaCha8Rng);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Dice(ChaCha8Rng::seed_from_u64(seed))
    }

    /// Uniform in [0, 1).
    pub(crate) fn uniform(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 * (1.0 / (1u64 << 53) as f64)
    }

    pub(crate) fn three(&mut self, of: Three) -> f64 {
        of.quantile(self.uniform())
    }

    /// One of 0 to `n` less one, all alike as far as a fraction of 53 bits can tell.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        ((self.uniform() * n as f64) as usize).min(n.saturating_sub(1))
    }

    /// Does something of this chance happen?
    pub(crate) fn happens(&mut self, chance: f64) -> bool {
        self.uniform() < chance
    }
}

/// The value below which the share `q` of the sorted values lies; nearest rank. Zero of none.
pub(crate) fn quantile(sorted: &[f64], q: f64) -> f64 {
    let last = sorted.len().saturating_sub(1);
    let at = (q * last as f64).round() as usize;
    sorted.get(at.min(last)).copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn draws_keep_to_their_bounds_and_have_the_mean_of_the_formula() {
        let three = Three { least: 2.0, usual: 3.0, most: 10.0 };
        let mut dice = Dice::new(7);
        let n = 40_000;
        let draws: Vec<f64> = (0..n).map(|_| dice.three(three)).collect();
        assert!(draws.iter().all(|&x| (2.0..=10.0).contains(&x)));
        let mean = draws.iter().sum::<f64>() / f64::from(n);
        // Variance of the triangle: (a² + b² + c² − ab − ac − bc) / 18 = 3.17; four standard errors.
        let error = (3.17 / f64::from(n)).sqrt() * 4.0;
        assert!((mean - three.mean()).abs() < error, "{mean}");
        let below_usual = draws.iter().filter(|&&x| x < 3.0).count() as f64 / f64::from(n);
        assert!((below_usual - 1.0 / 8.0).abs() < 4.0 * (0.11 / f64::from(n)).sqrt(), "{below_usual}");
    }

    #[test]
    fn what_is_not_in_order_is_refused() {
        assert!(Three::try_from([1.0, 0.5, 2.0]).is_err());
        assert!(Three::try_from([-1.0, 0.5, 2.0]).is_err());
        assert!(Three::try_from([0.0, 0.0, f64::INFINITY]).is_err());
        assert_eq!(Three::try_from([1.0, 1.0, 1.0]), Ok(Three::certain(1.0)));
    }
}
