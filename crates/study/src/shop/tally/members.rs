//! Which jobs stand behind a count: jobs have numbers, and a count has a bit for each.

use std::collections::BTreeMap;
use std::ops::Bound;
use std::sync::Arc;

/// Few jobs are put in order by themselves; of many the names are walked.
const FEW: usize = 2_000;

/// Jobs by name, each with a number that it keeps.
#[derive(Debug, Clone, Default)]
pub(super) struct Names {
    by_name: BTreeMap<Arc<str>, u32>,
    names: Vec<Arc<str>>,
}

impl Names {
    /// The number of a job; a new one gets the next.
    pub(super) fn number(&mut self, job: &str) -> u32 {
        if let Some(number) = self.by_name.get(job) {
            return *number;
        }
        let (name, number) = (Arc::<str>::from(job), self.names.len() as u32);
        self.names.push(Arc::clone(&name));
        self.by_name.insert(name, number);
        number
    }

    /// The number of a job that has one.
    pub(super) fn known(&self, job: &str) -> Option<u32> {
        self.by_name.get(job).copied()
    }

    /// The name of a number.
    pub(super) fn name(&self, number: u32) -> Option<&Arc<str>> {
        self.names.get(number as usize)
    }

    /// The first names of those behind a count, in their order.
    pub(super) fn first(&self, of: &Members, most: usize) -> Vec<Arc<str>> {
        if of.n < FEW {
            let mut few: Vec<&Arc<str>> = of.numbers().filter_map(|number| self.name(number)).collect();
            few.sort_unstable();
            return few.into_iter().take(most).cloned().collect();
        }
        let in_order = self.by_name.range::<str, _>((Bound::Unbounded, Bound::Unbounded));
        let behind = in_order.filter(|(_, number)| of.has(**number)).map(|(name, _)| name);
        behind.take(most).cloned().collect()
    }
}

/// The jobs behind a count.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Members {
    bits: Vec<u64>,
    n: usize,
}

impl Members {
    /// How many.
    pub(super) fn n(&self) -> usize {
        self.n
    }

    /// Puts a job in; twice is once.
    pub(super) fn put(&mut self, number: u32) {
        let (word, bit) = (number as usize / 64, 1_u64 << (number % 64));
        if self.bits.len() <= word {
            self.bits.resize(word + 1, 0);
        }
        self.n += usize::from(self.bits[word] & bit == 0);
        self.bits[word] |= bit;
    }

    /// Takes a job out.
    pub(super) fn take(&mut self, number: u32) {
        if self.has(number) {
            self.bits[number as usize / 64] &= !(1_u64 << (number % 64));
            self.n -= 1;
        }
    }

    fn has(&self, number: u32) -> bool {
        self.bits.get(number as usize / 64).is_some_and(|word| word >> (number % 64) & 1 == 1)
    }

    fn numbers(&self) -> impl Iterator<Item = u32> {
        let set = |word: u64| (0..64_u32).filter(move |at| word >> at & 1 == 1);
        let words = (0_u32..).zip(&self.bits).filter(|(_, word)| **word != 0);
        words.flat_map(move |(at, word)| set(*word).map(move |bit| at * 64 + bit))
    }
}
