//! How numbers are rounded for machines: the one place.
//!
//! No figure is given finer than it is known: a probability to four digits, everything else to the third
//! significant digit or its unit's usual step, whichever is finer where the sampling error is small.

/// To a number of decimals; never a negative zero, and never a figure that is no number.
fn decimals(value: f64, decimals: i32) -> Option<f64> {
    let scale = f64::from(10_i32.pow(decimals as u32));
    let rounded = (value * scale).round() / scale;
    rounded.is_finite().then_some(rounded + 0.0)
}

/// Probability.
pub(crate) fn probability(value: f64) -> f64 {
    decimals(value, 4).unwrap_or(0.0).clamp(0.0, 1.0)
}

/// Watts.
pub(crate) fn watts(value: f64) -> Option<f64> {
    decimals(value, 3)
}

/// Amperes.
pub(crate) fn amperes(value: f64) -> Option<f64> {
    decimals(value, 2)
}

/// Milliohms.
pub(crate) fn milliohms(value: f64) -> Option<f64> {
    decimals(value, 3)
}

/// Degrees Celsius.
pub(crate) fn celsius(value: f64) -> Option<f64> {
    decimals(value, 1)
}

/// Decibans.
pub(crate) fn decibans(value: f64) -> Option<f64> {
    decimals(value, 1)
}

/// Bits, minutes, draws: two decimals.
pub(crate) fn plain(value: f64) -> Option<f64> {
    decimals(value, 2)
}

/// R-hat: four decimals.
pub(crate) fn ratio(value: f64) -> Option<f64> {
    decimals(value, 4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_rounded_and_never_broken() {
        assert_eq!(probability(0.123_45), 0.1235);
        assert_eq!(probability(1.000_01), 1.0);
        assert_eq!(probability(f64::NAN), 0.0);
        assert_eq!(watts(1.234_56), Some(1.235));
        assert_eq!(celsius(f64::INFINITY), None);
        assert!(decibans(-0.01).is_some_and(|value| value.is_sign_positive()));
    }
}
