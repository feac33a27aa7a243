//! Predicted against found, in figures.

/// Log score of one joint: −ln of the probability that was given to what was found, at most that of one in a million.
pub fn log_cost(given: f64, burnt: bool) -> f64 {
    -libm::log(if burnt { given } else { 1.0 - given }.max(1e-6))
}

/// Predicted against found over opened joints.
#[derive(Debug, Clone, PartialEq)]
pub struct Score {
    /// Joints.
    pub n: usize,
    /// Burnt joints that the probabilities add up to.
    pub expected: f64,
    /// Joints found burnt.
    pub found: usize,
    /// Mean squared difference of probability and outcome.
    pub brier: f64,
    /// Brier score of giving every joint the share found: what a probability must beat.
    pub brier_of_share: f64,
    /// Mean of −ln of the probability given to what was found.
    pub log_loss: f64,
    /// By tenth of the probability: joints, mean given, found burnt.
    pub tenths: Vec<(usize, f64, usize)>,
}

impl Score {
    /// Scores probabilities of burnt against whether it was; `None` without any.
    pub fn new(pairs: &[(f64, bool)]) -> Option<Self> {
        if pairs.is_empty() {
            return None;
        }
        let n = pairs.len() as f64;
        let found = pairs.iter().filter(|(_, burnt)| *burnt).count();
        let share = found as f64 / n;
        let outcome = |burnt: bool| if burnt { 1.0 } else { 0.0 };
        let mut tenths = vec![(0, 0.0, 0); 10];
        for &(given, burnt) in pairs {
            let cell = &mut tenths[((given * 10.0) as usize).min(9)];
            cell.0 += 1;
            cell.1 += given;
            cell.2 += usize::from(burnt);
        }
        for cell in &mut tenths {
            cell.1 /= f64::max(cell.0 as f64, 1.0);
        }
        let square = |given: f64, burnt: bool| (given - outcome(burnt)) * (given - outcome(burnt));
        Some(Score {
            n: pairs.len(),
            expected: pairs.iter().map(|&(given, _)| given).sum(),
            found,
            brier: pairs.iter().map(|&(given, burnt)| square(given, burnt)).sum::<f64>() / n,
            brier_of_share: share * (1.0 - share),
            log_loss: pairs.iter().map(|&(given, burnt)| log_cost(given, burnt)).sum::<f64>() / n,
            tenths,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_score_worked_by_hand() {
        let score = Score::new(&[(0.8, true), (0.3, false), (0.1, false), (0.4, true)]).expect("four joints");
        assert_eq!((score.n, score.found), (4, 2));
        assert!((score.expected - 1.6).abs() < 1e-12);
        assert!((score.brier - (0.04 + 0.09 + 0.01 + 0.36) / 4.0).abs() < 1e-12);
        assert!((score.brier_of_share - 0.25).abs() < 1e-12);
        let by_hand = -[0.8, 0.7, 0.9, 0.4].map(libm::log).iter().sum::<f64>() / 4.0;
        assert!((score.log_loss - by_hand).abs() < 1e-12);
        assert_eq!(score.tenths[8], (1, 0.8, 1));
        assert_eq!(Score::new(&[]), None);
    }
}
