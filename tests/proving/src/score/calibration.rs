//! Metrics of probabilities: are they right as numbers?

use super::ranking::Scored;

/// Mean square error of the probability.
pub(crate) fn brier(all: &[Scored]) -> f64 {
    mean(all, |probability, burnt| (probability - burnt).powi(2))
}

/// Mean negative log probability of what was so; probabilities are held within 1e-6 of 0 and 1.
pub(crate) fn log_loss(all: &[Scored]) -> f64 {
    mean(all, |probability, burnt| {
        let held = probability.clamp(1e-6, 1.0 - 1e-6);
        -(burnt * held.ln() + (1.0 - burnt) * (1.0 - held).ln())
    })
}

fn mean(all: &[Scored], loss: impl Fn(f64, f64) -> f64) -> f64 {
    let total: f64 = all.iter().map(|scored| loss(scored.score, f64::from(u8::from(scored.burnt)))).sum();
    total / all.len().max(1) as f64
}

/// A bin of a calibration table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bin {
    pub(crate) n: usize,
    /// Mean probability given.
    pub(crate) given: f64,
    /// Share that was burnt.
    pub(crate) found: f64,
}

fn bin(members: &[Scored]) -> Bin {
    let n = members.len();
    let count = n.max(1) as f64;
    Bin {
        n,
        given: members.iter().map(|scored| scored.score).sum::<f64>() / count,
        found: members.iter().filter(|scored| scored.burnt).count() as f64 / count,
    }
}

/// Bins of equal width over 0 … 1; 1 itself is in the last.
pub(crate) fn equal_width(all: &[Scored], n_bins: usize) -> Vec<Bin> {
    let mut members = vec![Vec::new(); n_bins];
    for scored in all {
        let at = (scored.score * n_bins as f64) as usize;
        members[at.min(n_bins - 1)].push(*scored);
    }
    members.iter().map(|members| bin(members)).collect()
}

/// Bins of equal count, in order of the probability.
pub(crate) fn equal_count(all: &[Scored], n_bins: usize) -> Vec<Bin> {
    let mut sorted = all.to_vec();
    sorted.sort_by(|a, b| a.score.total_cmp(&b.score));
    (0..n_bins).map(|nth| bin(&sorted[nth * all.len() / n_bins..(nth + 1) * all.len() / n_bins])).collect()
}

/// Expected calibration error over the bins: gap between given and found, weighted by the number.
pub(crate) fn expected_error(bins: &[Bin]) -> f64 {
    let n: usize = bins.iter().map(|bin| bin.n).sum();
    bins.iter().map(|bin| bin.n as f64 * (bin.given - bin.found).abs()).sum::<f64>() / n.max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn example() -> Vec<Scored> {
        [(0.1, false), (0.2, true), (0.8, true), (1.0, true)]
            .map(|(score, burnt)| Scored { score, burnt })
            .to_vec()
    }

    /// (0.01 + 0.64 + 0.04 + 0) / 4.
    #[test]
    fn val_brier_by_hand() {
        assert!((brier(&example()) - 0.1725).abs() < 1e-12);
    }

    /// −(ln 0.9 + ln 0.2 + ln 0.8 + ln(1 − 10⁻⁶)) / 4.
    #[test]
    fn val_log_loss_by_hand() {
        let exact = (0.105_360_515_7 + 1.609_437_912_4 + 0.223_143_551_3 + 1.0e-6) / 4.0;
        assert!((log_loss(&example()) - exact).abs() < 1e-9);
    }

    /// Two bins. Equal width: {0.1, 0.2} given 0.15, found 0.5; {0.8, 1.0} given 0.9, found 1: (0.35 + 0.1) / 2.
    #[test]
    fn val_expected_error_by_hand() {
        assert!((expected_error(&equal_width(&example(), 2)) - 0.225).abs() < 1e-12);
        assert!((expected_error(&equal_count(&example(), 2)) - 0.225).abs() < 1e-12);
        // Four bins of one: |0.1 − 0|, |0.2 − 1|, |0.8 − 1|, |1 − 1|.
        assert!((expected_error(&equal_count(&example(), 4)) - (0.1 + 0.8 + 0.2) / 4.0).abs() < 1e-12);
    }
}
