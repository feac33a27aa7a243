//! The random source: one seeded stream a chain, the same on every machine.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng as _, SeedableRng};
use rand_distr::{Distribution, Gamma, StandardNormal};

/// A seeded stream of random numbers.
#[derive(Debug, Clone)]
pub(crate) struct Stream(ChaCha8Rng);

impl Stream {
    /// Stream `number` of a seed.
    pub(crate) fn new(seed: u64, number: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(number);
        Stream(rng)
    }

    /// Uniform in [0, 1).
    pub(crate) fn uniform(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 * (1.0 / (1u64 << 53) as f64)
    }

    /// Standard normal.
    pub(crate) fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// Gamma with this shape and scale 1; shape above zero.
    pub(crate) fn gamma(&mut self, shape: f64) -> f64 {
        Gamma::new(shape, 1.0).map_or(shape, |gamma| gamma.sample(&mut self.0))
    }

    /// Index drawn in proportion to the weights; the last one if rounding runs past the end.
    pub(crate) fn pick(&mut self, weights: &[f64]) -> usize {
        let total: f64 = weights.iter().sum();
        let mut left = self.uniform() * total;
        for (idx, weight) in weights.iter().enumerate() {
            left -= weight;
            if left < 0.0 {
                return idx;
            }
        }
        weights.len() - 1
    }

    /// Standard normal restricted to (low, high), by the inverse of the distribution function.
    pub(crate) fn normal_between(&mut self, low: f64, high: f64) -> f64 {
        // Work in the tail that keeps digits.
        let flip = low > 0.0;
        let (a, b) = if flip { (-high, -low) } else { (low, high) };
        let (pa, pb) = (normal_below(a), normal_below(b));
        let u = pa + self.uniform() * (pb - pa);
        let z = normal_quantile(u.clamp(1e-300, 1.0 - 1e-16)).clamp(a, b);
        if flip { -z } else { z }
    }
}

/// Distribution function of the standard normal.
pub(crate) fn normal_below(x: f64) -> f64 {
    0.5 * libm::erfc(-x * core::f64::consts::FRAC_1_SQRT_2)
}

/// Inverse of [`normal_below`]: Acklam's rational approximation, then one step of Halley's method.
pub(crate) fn normal_quantile(p: f64) -> f64 {
    const A: [f64; 6] = [
        -3.969683028665376e1,
        2.209460984245205e2,
        -2.759285104469687e2,
        1.38357751867269e2,
        -3.066479806614716e1,
        2.506628277459239,
    ];
    const B: [f64; 5] = [
        -5.447609879822406e1,
        1.615858368580409e2,
        -1.556989798598866e2,
        6.680131188771972e1,
        -1.328068155288572e1,
    ];
    const C: [f64; 6] = [
        -7.784894002430293e-3,
        -3.223964580411365e-1,
        -2.400758277161838,
        -2.549732539343734,
        4.374664141464968,
        2.938163982698783,
    ];
    const D: [f64; 4] = [7.784695709041462e-3, 3.224671290700398e-1, 2.445134137142996, 3.754408661907416];
    let tail = |q: f64| {
        (((((C[0] * q + C[1]) * q + C[2]) * q + C[3]) * q + C[4]) * q + C[5])
            / ((((D[0] * q + D[1]) * q + D[2]) * q + D[3]) * q + 1.0)
    };
    let first = if p < 0.02425 {
        tail(libm::sqrt(-2.0 * libm::log(p)))
    } else if p <= 1.0 - 0.02425 {
        let q = p - 0.5;
        let r = q * q;
        (((((A[0] * r + A[1]) * r + A[2]) * r + A[3]) * r + A[4]) * r + A[5]) * q
            / (((((B[0] * r + B[1]) * r + B[2]) * r + B[3]) * r + B[4]) * r + 1.0)
    } else {
        -tail(libm::sqrt(-2.0 * libm::log(1.0 - p)))
    };
    let error = normal_below(first) - p;
    let step = error * libm::sqrt(2.0 * core::f64::consts::PI) * libm::exp(0.5 * first * first);
    if step.is_finite() { first - step / (1.0 + 0.5 * first * step) } else { first }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantile_inverts_the_distribution() {
        for x in [-8.0, -3.0, -1.0, 0.0, 0.5, 2.0, 5.0] {
            assert!((normal_quantile(normal_below(x)) - x).abs() < 1e-6, "{x}");
        }
    }

    #[test]
    fn restricted_normals_stay_inside() {
        let mut stream = Stream::new(1, 0);
        for (low, high) in [(-1.0, 1.0), (3.0, 4.0), (-9.0, -8.0), (6.0, 60.0)] {
            for _ in 0..200 {
                let z = stream.normal_between(low, high);
                assert!(low <= z && z <= high, "{z}");
            }
        }
    }

    #[test]
    fn streams_differ_and_repeat() {
        let first: Vec<f64> = {
            let mut s = Stream::new(7, 0);
            (0..4).map(|_| s.uniform()).collect()
        };
        let again: Vec<f64> = {
            let mut s = Stream::new(7, 0);
            (0..4).map(|_| s.uniform()).collect()
        };
        let other: Vec<f64> = {
            let mut s = Stream::new(7, 1);
            (0..4).map(|_| s.uniform()).collect()
        };
        assert_eq!(first, again);
        assert_ne!(first, other);
    }
}
