//! Least squares over a sample of draws.

use nalgebra::{SMatrix, SVector};

/// A quantity held to what a sample spans, then counted from its middle in spreads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    low: f64,
    high: f64,
    /// Mean over the sample.
    pub(crate) middle: f64,
    /// Spread over the sample, above zero.
    pub(crate) spread: f64,
}

impl Scale {
    pub(crate) fn of(values: &[f64]) -> Scale {
        let n = values.len().max(1) as f64;
        let middle = values.iter().sum::<f64>() / n;
        let square = values.iter().map(|value| (value - middle) * (value - middle)).sum::<f64>() / n;
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Scale { low, high, middle, spread: libm::sqrt(square).max(1e-9) }
    }

    pub(crate) fn at(&self, value: f64) -> f64 {
        (value.max(self.low).min(self.high) - self.middle) / self.spread
    }
}

/// Factors of terms, of which the first is constant, that bring their sum nearest to the values; all but the first are pulled
/// towards none as if `ridge` times as many draws as there are said so. `None` where a value is not finite.
pub(crate) fn least_squares<const N: usize>(
    terms: impl Iterator<Item = [f64; N]>,
    values: &[f64],
    ridge: f64,
) -> Option<[f64; N]> {
    if !values.iter().all(|value| value.is_finite()) {
        return None;
    }
    let (mut normal, mut right) = (SMatrix::<f64, N, N>::zeros(), SVector::<f64, N>::zeros());
    for (terms, value) in terms.zip(values) {
        for (row, of_row) in terms.iter().enumerate() {
            right[row] += of_row * value;
            for (column, of_column) in terms.iter().enumerate().take(row + 1) {
                normal[(row, column)] += of_row * of_column;
            }
        }
    }
    for term in 1..N {
        normal[(term, term)] += ridge * values.len() as f64;
    }
    Some(normal.cholesky()?.solve(&right).into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plane_is_found_again() {
        let at = |idx: usize| [1.0, (idx % 5) as f64, (idx * 7 % 11) as f64];
        let values: Vec<f64> = (0..40).map(|idx| 3.0 - 2.0 * at(idx)[1] + 0.5 * at(idx)[2]).collect();
        let found = least_squares((0..40).map(at), &values, 0.0).expect("finite");
        for (found, expected) in found.iter().zip([3.0, -2.0, 0.5]) {
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        }
        assert_eq!(least_squares((0..1).map(at), &[f64::NAN], 0.0), None);
    }

    #[test]
    fn a_scale_holds_to_its_sample() {
        let scale = Scale::of(&[1.0, 3.0]);
        assert_eq!((scale.at(2.0), scale.at(9.0), scale.at(-9.0)), (0.0, 1.0, -1.0));
    }
}
