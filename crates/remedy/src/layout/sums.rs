//! What the legs of a supply of two can differ by at all, whatever circuit stands on which: a few heavy loads cannot be
//! split at will, and no price may pretend that they can.

use crate::layout::relax::{Frame, MILLI, Open};
use crate::layout::rows::NEVER;
use crate::layout::wish::DeciAmps;

/// Up to this many ways to share the circuits out, each is looked at, over all scenarios together.
const JOINT: usize = 1_024;

/// Differences of the legs that are possible.
#[derive(Debug)]
pub(crate) enum Sums {
    /// Nothing is known: any difference.
    Any,
    /// For each scenario the possible differences among which is the cheapest at any price, with what each costs.
    Each(Vec<Vec<(DeciAmps, i64)>>),
    /// Differences in all scenarios together, with what they cost.
    Joint(Vec<(Vec<DeciAmps>, i64)>),
}

impl Sums {
    pub(crate) fn of(frame: &Frame<'_>, open: &Open) -> Sums {
        let n_scenarios = frame.wish.scenarios.len();
        if frame.wish.board.n_legs != 2 || n_scenarios == 0 {
            return Sums::Any;
        }
        let mut base = vec![0; n_scenarios];
        let mut choices: Vec<Vec<&[DeciAmps]>> = Vec::new();
        for (it, ways) in open.ways.iter().enumerate() {
            if frame.differences[it].iter().flatten().all(|&one| one == 0) {
                continue;
            }
            let mut seen = [false; 4];
            for &way in ways {
                let put = frame.put(it, way);
                seen[2 * frame.wish.board.leg(put.at.row) + usize::from(put.turned)] = true;
            }
            let mut choice: Vec<&[DeciAmps]> = Vec::new();
            for (difference, _) in frame.differences[it].iter().zip(seen).filter(|(_, seen)| *seen) {
                if !choice.contains(&difference.as_slice()) {
                    choice.push(difference);
                }
            }
            match choice[..] {
                [only] => base.iter_mut().zip(only).for_each(|(sum, one)| *sum += one),
                _ => choices.push(choice),
            }
        }
        let ways = choices.iter().try_fold(1_usize, |n, choice| n.checked_mul(choice.len()));
        if ways.is_some_and(|ways| ways <= JOINT) {
            return Sums::joint(frame, &base, &choices);
        }
        let each = |scenario: usize| {
            let mut sums = Bits::only(base[scenario], bound(&choices, scenario));
            for choice in &choices {
                sums.either(choice.iter().map(|difference| difference[scenario]));
            }
            corners(frame, &sums)
        };
        Sums::Each((0..n_scenarios).map(each).collect())
    }

    fn joint(frame: &Frame<'_>, base: &[DeciAmps], choices: &[Vec<&[DeciAmps]>]) -> Sums {
        let mut all = vec![base.to_vec()];
        for choice in choices {
            let mut next = Vec::with_capacity(all.len() * choice.len());
            for sums in &all {
                for difference in choice {
                    next.push(sums.iter().zip(*difference).map(|(sum, one)| sum + one).collect::<Vec<_>>());
                }
            }
            all = next;
        }
        all.sort_unstable();
        all.dedup();
        let cost = |sums: Vec<DeciAmps>| {
            let cost = sums.iter().map(|&sum| frame.leg_cost(sum)).sum();
            (sums, cost)
        };
        Sums::Joint(all.into_iter().map(cost).collect())
    }

    /// The least that the legs cost at these prices, and the differences at which it is.
    pub(crate) fn cheapest(&self, frame: &Frame<'_>, prices: &[i64], at: &mut Vec<DeciAmps>) -> i64 {
        match self {
            Sums::Any => -prices.iter().map(|price| price.abs()).sum::<i64>() * frame.wish.weights.tolerance,
            Sums::Each(scenarios) => {
                let mut total = 0;
                for (corners, price) in scenarios.iter().zip(prices) {
                    let worth = |&(sum, cost): &(DeciAmps, i64)| cost - price * sum;
                    if let Some(best) = corners.iter().min_by_key(|corner| worth(corner)) {
                        total += worth(best);
                        at.push(best.0);
                    }
                }
                total
            }
            Sums::Joint(all) => {
                let mut best = (NEVER, &[][..]);
                for (sums, cost) in all {
                    let worth = cost - sums.iter().zip(prices).map(|(sum, price)| sum * price).sum::<i64>();
                    if worth < best.0 {
                        best = (worth, sums);
                    }
                }
                at.extend(best.1);
                best.0
            }
        }
    }
}

impl Frame<'_> {
    /// What a difference of the legs costs in one scenario, in thousandths of a point.
    pub(crate) fn leg_cost(&self, difference: DeciAmps) -> i64 {
        let weights = &self.wish.weights;
        MILLI * weights.leg_difference * (difference.abs() - weights.tolerance).max(0)
    }
}

fn bound(choices: &[Vec<&[DeciAmps]>], scenario: usize) -> i64 {
    choices.iter().map(|choice| choice.iter().map(|one| one[scenario].abs()).max().unwrap_or(0)).sum()
}

/// The sums between which the cheapest at any price is one: what costs is straight on either side of the tolerance.
fn corners(frame: &Frame<'_>, sums: &Bits) -> Vec<(DeciAmps, i64)> {
    let tolerance = frame.wish.weights.tolerance;
    let mut corners = vec![
        sums.up(i64::MIN),
        sums.down(-tolerance - 1),
        sums.up(-tolerance),
        sums.down(tolerance),
        sums.up(tolerance + 1),
        sums.down(i64::MAX),
    ];
    corners.dedup();
    corners.into_iter().flatten().map(|sum| (sum, frame.leg_cost(sum))).collect()
}

/// A set of whole numbers.
struct Bits {
    /// Number of the first bit.
    first: i64,
    words: Vec<u64>,
}

impl Bits {
    /// One number; room for all within so far of it.
    fn only(number: i64, room: i64) -> Bits {
        let n = usize::try_from(2 * room + 1).unwrap_or(1).div_ceil(64);
        let mut words = vec![0; n];
        let at = usize::try_from(room).unwrap_or(0);
        words[at / 64] |= 1 << (at % 64);
        Bits { first: number - room, words }
    }

    /// Each number with each of these added.
    fn either(&mut self, added: impl Iterator<Item = i64>) {
        let mut next = vec![0; self.words.len()];
        for add in added {
            let by = usize::try_from(add.unsigned_abs()).unwrap_or(0);
            let (words, bits) = (by / 64, by % 64);
            for (k, &word) in self.words.iter().enumerate().filter(|(_, word)| **word != 0) {
                let (here, beyond) = if add < 0 {
                    (word >> bits, if bits == 0 { 0 } else { word << (64 - bits) })
                } else {
                    (word << bits, if bits == 0 { 0 } else { word >> (64 - bits) })
                };
                let to = |step: usize| if add < 0 { k.checked_sub(step) } else { Some(k + step) };
                for (word, place) in [(here, to(words)), (beyond, to(words + 1))] {
                    if let Some(place) = place.filter(|&place| word != 0 && place < next.len()) {
                        next[place] |= word;
                    }
                }
            }
        }
        self.words = next;
    }

    /// The least of the set from a number up.
    fn up(&self, from: i64) -> Option<i64> {
        let from = usize::try_from(from.saturating_sub(self.first).max(0)).ok()?;
        let mut mask = u64::MAX << (from % 64);
        for (k, &word) in self.words.iter().enumerate().skip(from / 64) {
            if word & mask != 0 {
                return Some(self.first + (64 * k) as i64 + i64::from((word & mask).trailing_zeros()));
            }
            mask = u64::MAX;
        }
        None
    }

    /// The greatest of the set from a number down.
    fn down(&self, from: i64) -> Option<i64> {
        let from = usize::try_from(from.saturating_sub(self.first)).ok()?.min(64 * self.words.len() - 1);
        let mut mask = u64::MAX >> (63 - from % 64);
        for (k, &word) in self.words.iter().enumerate().take(from / 64 + 1).rev() {
            if word & mask != 0 {
                return Some(self.first + (64 * k) as i64 + 63 - i64::from((word & mask).leading_zeros()));
            }
            mask = u64::MAX;
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::Bits;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    proptest! {
        #[test]
        fn the_sums_are_those_by_hand(
            base in -90_i64..90,
            choices in prop::collection::vec(prop::collection::vec(-90_i64..90, 1..4), 0..5),
            probe in -400_i64..400,
        ) {
            let mut by_hand = BTreeSet::from([base]);
            let room = choices.iter().map(|choice| choice.iter().map(|one| one.abs()).max().unwrap_or(0)).sum();
            let mut bits = Bits::only(base, room);
            for choice in &choices {
                by_hand = by_hand.iter().flat_map(|sum| choice.iter().map(move |one| sum + one)).collect();
                bits.either(choice.iter().copied());
            }
            prop_assert_eq!(bits.up(probe), by_hand.range(probe..).next().copied());
            prop_assert_eq!(bits.down(probe), by_hand.range(..=probe).next_back().copied());
            prop_assert_eq!(bits.up(i64::MIN), by_hand.first().copied());
            prop_assert_eq!(bits.down(i64::MAX), by_hand.last().copied());
        }
    }
}
