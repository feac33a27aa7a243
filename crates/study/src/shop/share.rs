//! A share of a count, with its interval.

/// So many of so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Share {
    /// In which it was so.
    pub yes: usize,
    /// All that tell about it.
    pub n: usize,
}

impl Share {
    /// The share itself; `None` of nothing.
    pub fn value(&self) -> Option<f64> {
        (0 < self.n).then(|| self.yes as f64 / self.n as f64)
    }

    /// The 95 % score interval of Wilson; `None` of nothing.
    ///
    /// E. B. Wilson, *Probable inference, the law of succession, and statistical inference*, J. Am. Stat. Assoc. 22 (1927),
    /// 209–212. It stays within 0 and 1 and does not shrink to nothing where none or all were so.
    pub fn interval(&self) -> Option<(f64, f64)> {
        /// Two-sided 95 % point of the normal law.
        const Z: f64 = 1.959_963_985;
        let share = self.value()?;
        let n = self.n as f64;
        let middle = share + Z * Z / (2.0 * n);
        let half = Z * (share * (1.0 - share) / n + Z * Z / (4.0 * n * n)).sqrt();
        let scale = 1.0 + Z * Z / n;
        Some((((middle - half) / scale).max(0.0), ((middle + half) / scale).min(1.0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// R. G. Newcombe, *Two-sided confidence intervals for the single proportion*, Stat. Med. 17 (1998), 857–872, table I,
    /// method 3; values from memory.
    #[test]
    fn intervals_are_the_published_ones() {
        for (yes, n, low, high) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let (found_low, found_high) = Share { yes, n }.interval().expect("some");
            assert!((found_low - low).abs() < 0.5e-4 && (found_high - high).abs() < 0.5e-4, "{yes} of {n}");
        }
        assert_eq!(Share { yes: 0, n: 0 }.interval(), None);
    }
}
