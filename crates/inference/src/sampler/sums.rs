//! Sums over observations and cells, in four lanes: one running sum would wait for itself at every term.

const LANES: usize = 4;

/// Σ a·b.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let ((a, a_rest), (b, b_rest)) = (a.as_chunks::<LANES>(), b.as_chunks::<LANES>());
    let mut sums = [0.0; LANES];
    for (a, b) in a.iter().zip(b) {
        for lane in 0..LANES {
            sums[lane] += a[lane] * b[lane];
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    sums.iter().sum::<f64>() + rest
}

/// Slope and curvature of the log-likelihood in a change whose coefficients are handed in: Σ w·c·(y − ŷ) and Σ w·c².
pub(super) fn slope_and_curvature(
    coef: &[f64],
    weight: &[f64],
    value: &[f64],
    predicted: &[f64],
) -> (f64, f64) {
    let (coef, coef_rest) = coef.as_chunks::<LANES>();
    let (weight, weight_rest) = weight.as_chunks::<LANES>();
    let (value, value_rest) = value.as_chunks::<LANES>();
    let (predicted, predicted_rest) = predicted.as_chunks::<LANES>();
    let (mut slopes, mut curvatures) = ([0.0; LANES], [0.0; LANES]);
    for (((coef, weight), value), predicted) in coef.iter().zip(weight).zip(value).zip(predicted) {
        for lane in 0..LANES {
            let weighted = weight[lane] * coef[lane];
            slopes[lane] += weighted * (value[lane] - predicted[lane]);
            curvatures[lane] += weighted * coef[lane];
        }
    }
    let (mut slope, mut curvature) = (slopes.iter().sum::<f64>(), curvatures.iter().sum::<f64>());
    for (((coef, weight), value), predicted) in
        coef_rest.iter().zip(weight_rest).zip(value_rest).zip(predicted_rest)
    {
        slope += weight * coef * (value - predicted);
        curvature += weight * coef * coef;
    }
    (slope, curvature)
}

/// Where w·a·b is largest, and how large; the first place and zero where it is nowhere above zero.
pub(super) fn largest_product(weight: &[f64], a: &[f64], b: &[f64]) -> (usize, f64) {
    let product = |idx: usize| weight[idx] * a[idx] * b[idx];
    let mut best = [0.0; LANES];
    let whole = weight.len() - weight.len() % LANES;
    let (chunks, _) = weight.as_chunks::<LANES>();
    let (a_chunks, b_chunks) = (a.as_chunks::<LANES>().0, b.as_chunks::<LANES>().0);
    for ((weight, a), b) in chunks.iter().zip(a_chunks).zip(b_chunks) {
        for lane in 0..LANES {
            let product = weight[lane] * a[lane] * b[lane];
            best[lane] = if best[lane] < product { product } else { best[lane] };
        }
    }
    let rest = (whole..weight.len()).map(product);
    let largest = rest.chain(best).fold(0.0, |best: f64, next| if best < next { next } else { best });
    let at = (0..weight.len()).find(|&idx| largest <= product(idx)).unwrap_or(0);
    (at, largest)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lengths on both sides of a whole number of lanes, small whole numbers so that the order cannot matter.
    #[test]
    fn lanes_leave_nothing_out() {
        for n in 0..11_usize {
            let of = |step: usize| -> Vec<f64> { (0..n).map(|idx| (idx * step % 7) as f64).collect() };
            let (a, b, c, d) = (of(1), of(3), of(5), of(2));
            assert_eq!(dot(&a, &b), a.iter().zip(&b).map(|(a, b)| a * b).sum::<f64>());
            let (slope, curvature) = slope_and_curvature(&a, &b, &c, &d);
            assert_eq!(slope, (0..n).map(|idx| b[idx] * a[idx] * (c[idx] - d[idx])).sum::<f64>());
            let (at, largest) = largest_product(&a, &b, &c);
            let products: Vec<f64> = (0..n).map(|idx| a[idx] * b[idx] * c[idx]).collect();
            assert_eq!(largest, products.iter().copied().fold(0.0, f64::max));
            assert!(products.get(at).is_none_or(|&product| product == largest));
            assert_eq!(curvature, (0..n).map(|idx| b[idx] * a[idx] * a[idx]).sum::<f64>());
        }
    }
}
