//! Sums from which what was added can be taken away again without a trace.

use std::collections::BTreeMap;

/// Steps of one: sums of probabilities and their logarithms keep twelve digits.
const SCALE: f64 = (1_u64 << 44) as f64;

/// A sum in whole steps: the order in which it was added up does not count, and taking away undoes adding.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Sum(i128);

impl Sum {
    /// Adds, where `sign` is 1, or takes away, where it is -1.
    pub(super) fn change(&mut self, value: f64, sign: i128) {
        self.0 += sign * (value * SCALE).round() as i128;
    }

    /// The sum.
    pub(super) fn value(self) -> f64 {
        self.0 as f64 / SCALE
    }
}

/// Figures with how often each is there.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Figures(BTreeMap<Ordered, u32>);

/// A figure in the total order of IEEE 754.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Ordered(f64);

impl Eq for Ordered {}

impl PartialOrd for Ordered {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ordered {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl Figures {
    pub(super) fn put(&mut self, figure: f64) {
        *self.0.entry(Ordered(figure)).or_default() += 1;
    }

    pub(super) fn take(&mut self, figure: f64) {
        if let Some(n) = self.0.get_mut(&Ordered(figure)) {
            *n -= 1;
            if *n == 0 {
                self.0.remove(&Ordered(figure));
            }
        }
    }

    /// The lowest, the middle one, and the highest; `None` of none. Of an even number the mean of the two in the middle.
    pub(super) fn spread(&self) -> Option<(f64, f64, f64)> {
        let (lowest, highest) = (self.0.keys().next()?.0, self.0.keys().next_back()?.0);
        let n = self.n();
        Some((lowest, (self.nth((n - 1) / 2)? + self.nth(n / 2)?) / 2.0, highest))
    }

    /// The 95 % interval of the median from the order of the figures, whatever law they follow; `None` of fewer than six,
    /// of which none is so sure.
    ///
    /// W. J. Conover, *Practical Nonparametric Statistics*, on confidence intervals for a quantile; from memory.
    pub(super) fn range(&self) -> Option<(f64, f64)> {
        let n = self.n();
        let lower = rank_of_95(n)?;
        Some((self.nth(lower - 1)?, self.nth(n - lower)?))
    }

    /// The figure at this place, the lowest at 0.
    fn nth(&self, at: usize) -> Option<f64> {
        let mut before = 0;
        let found = self.0.iter().find(|(_, n)| {
            before += **n as usize;
            at < before
        });
        found.map(|(figure, _)| figure.0)
    }

    /// How many of the figures are below one.
    pub(super) fn below(&self, figure: f64) -> usize {
        self.0.iter().filter(|(one, _)| one.0 < figure).map(|(_, n)| *n as usize).sum()
    }

    /// How many.
    pub(super) fn n(&self) -> usize {
        self.0.values().map(|n| *n as usize).sum()
    }
}

/// The largest rank `r`, from 1, so that the median of the law lies below the `r`-th of `n` figures with a chance of 2.5 % at
/// most: a sum of binomial chances of one half, for many figures by the normal law.
fn rank_of_95(n: usize) -> Option<usize> {
    const EXACT: usize = 900;
    const TAIL: f64 = 0.025;
    if EXACT < n {
        let half = n as f64 / 2.0;
        return Some((half - 1.959_963_985 * (n as f64).sqrt() / 2.0) as usize);
    }
    let mut chance = (0..n).fold(1.0, |chance, _| chance / 2.0);
    let (mut below, mut rank) = (0.0, 0);
    while below + chance <= TAIL {
        below += chance;
        chance *= (n - rank) as f64 / (rank + 1) as f64;
        rank += 1;
    }
    (0 < rank).then_some(rank)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ranks of the 95 % interval of a median as statistical tables have them; values from memory.
    #[test]
    fn the_interval_of_a_median_has_the_published_ranks() {
        for (n, rank) in [
            (5, None),
            (6, Some(1)),
            (8, Some(1)),
            (9, Some(2)),
            (20, Some(6)),
            (25, Some(8)),
            (50, Some(18)),
        ] {
            assert_eq!(rank_of_95(n), rank, "{n}");
        }
        // Where the one way ends the other goes on.
        let (exact, many) = (rank_of_95(900).expect("a rank"), rank_of_95(901).expect("a rank"));
        assert!(exact <= many && many - exact <= 1, "{exact} {many}");
        let mut figures = Figures::default();
        (1..=20).for_each(|at| figures.put(f64::from(at)));
        assert_eq!(figures.range(), Some((6.0, 15.0)));
    }

    #[test]
    fn what_was_taken_away_leaves_no_trace() {
        let mut sum = Sum::default();
        let kept = [0.1, 0.7, 13.8];
        for value in [0.1, 1e-9, 0.7, 1.0 / 3.0, 13.8] {
            sum.change(value, 1);
        }
        for value in [1.0 / 3.0, 1e-9] {
            sum.change(value, -1);
        }
        let mut same = Sum::default();
        kept.iter().rev().for_each(|value| same.change(*value, 1));
        assert_eq!(sum, same);
        assert!((sum.value() - 14.6).abs() < 1e-12);
        let mut figures = Figures::default();
        [3.0, 1.0, 2.0, 2.0, 9.0].into_iter().for_each(|figure| figures.put(figure));
        figures.take(9.0);
        assert_eq!((figures.spread(), figures.n(), figures.below(2.5)), (Some((1.0, 2.0, 3.0)), 4, 3));
        figures.take(1.0);
        figures.take(2.0);
        assert_eq!(figures.spread(), Some((2.0, 2.5, 3.0)));
        assert_eq!(Figures::default().spread(), None);
    }
}
