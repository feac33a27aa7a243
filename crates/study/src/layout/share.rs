//! Two circuits in one space, on half-width breakers, where the label of the new panel permits them: those that somebody
//! named, and as many more as it takes for all to fit.
//!
//! Both halves of a space are on one leg. Two circuits that share a neutral must not share a space: their currents would
//! add in it. So of two that share a space one at least is known to have a neutral of its own.

use super::blocks::Draft;
use super::{CannotLayOut, LayoutAsk, list};
use model::panel::HalfWidth;
use remedy::layout::{Block, Half, Pole};
use remedy::survey::KnownCircuit;
use std::collections::BTreeSet;

/// Largest rating that is put on a half-width breaker without being asked for, tenths of amperes. Common practice, no source.
const LARGEST: i64 = 200;

impl Draft {
    /// Puts circuits together. `n_held` spaces are taken by what is held or kept free.
    pub(super) fn share(
        &mut self,
        ask: &LayoutAsk,
        known: &[KnownCircuit],
        n_held: usize,
    ) -> Result<(), CannotLayOut> {
        let only: Option<BTreeSet<usize>> = match &ask.new.half_width {
            HalfWidth::Nowhere if ask.share.is_empty() => return Ok(()),
            HalfWidth::Nowhere => return Err(CannotLayOut::NoHalfWidth),
            HalfWidth::Everywhere => None,
            HalfWidth::In(numbers) => Some(numbers.iter().copied().map(usize::from).collect()),
        };
        let mut together = Vec::new();
        for &(one, other) in &ask.share {
            let find = |old: u16| {
                let is = |(spaces, _): &(Vec<u16>, String)| spaces.contains(&old);
                self.circuits.iter().position(is).ok_or(CannotLayOut::NoSuchCircuit(old))
            };
            let (i, j) = (find(one)?, find(other)?);
            let whole =
                |it: usize| self.blocks[it].poles.len() == 1 && self.blocks[it].poles[0].half.is_none();
            if i == j || !whole(i) || !whole(j) {
                return Err(CannotLayOut::CannotShare(
                    one,
                    other,
                    "one of them has more than one pole, or shares already",
                ));
            }
            if !self.may_share(known, i, j) {
                return Err(CannotLayOut::CannotShare(
                    one,
                    other,
                    "whether they share a neutral is not known, and both halves of a space are on one leg: survey one of them first",
                ));
            }
            self.join(i, j, &only);
            together.push(format!("{one} with {other}"));
        }
        let n_asked = together.len();
        let mut n_places = only.as_ref().map_or(usize::MAX, BTreeSet::len).saturating_sub(n_asked);
        let taken = 2 * usize::from(ask.spare_pairs) + n_held;
        while 0 < n_places && usize::from(ask.new.n_spaces) < self.n_poles() + taken {
            let Some((i, j)) = self.best_pair(known) else { break };
            together.push(format!("{} with {}", list(&self.circuits[i].0), list(&self.circuits[j].0)));
            self.join(i, j, &only);
            n_places -= 1;
        }
        if !together.is_empty() {
            let why =
                if together.len() == n_asked { "as asked" } else { "because there are not spaces enough" };
            self.notes.push(format!(
                "On two half-width breakers in one space, {why}: {}. Which ones was settled before the search: small loads that come in on the same side, one of them known to have a neutral of its own. What is proven is proven for that choice. The label says where such breakers may go, and how many circuits the panel may have.",
                together.join("; ")
            ));
        }
        Ok(())
    }

    fn n_poles(&self) -> usize {
        self.blocks.iter().map(|block| block.poles.len()).sum()
    }

    fn circuit<'a>(&self, known: &'a [KnownCircuit], it: usize) -> Option<&'a KnownCircuit> {
        let first = self.circuits[it].0.first()?;
        known.iter().find(|one| one.slot.space.number == *first)
    }

    /// Is one of the two known to have a neutral of its own?
    fn may_share(&self, known: &[KnownCircuit], i: usize, j: usize) -> bool {
        let own = |it: usize| self.circuit(known, it).is_some_and(|one| one.partner == Some(None));
        own(i) || own(j)
    }

    /// The two circuits that lose least by sharing a space; `None` where no two may.
    fn best_pair(&self, known: &[KnownCircuit]) -> Option<(usize, usize)> {
        let fit = |it: &usize| match self.blocks[*it].poles.as_slice() {
            [pole] => {
                let block = &self.blocks[*it];
                pole.half.is_none()
                    && block.locked.is_none()
                    && !pole.continuous
                    && !pole.electronic
                    && pole.rating <= LARGEST
                    && self.circuit(known, *it).is_some()
            }
            _ => false,
        };
        let all: Vec<usize> = (0..self.blocks.len()).filter(fit).collect();
        let side = |it: usize| self.circuit(known, it).and_then(|one| one.conductor.entry);
        let worth = |i: usize, j: usize| {
            let (one, other) = (&self.blocks[i].poles[0], &self.blocks[j].poles[0]);
            let load: i64 = one.demand.iter().chain(&other.demand).sum();
            let apart = match (one.old, other.old) {
                (Some(one), Some(other)) => one.abs_diff(other) as i64,
                _ => 0,
            };
            (side(i) != side(j), load / 100 + apart, i, j)
        };
        let pairs = all.iter().enumerate().flat_map(|(k, &i)| all[k + 1..].iter().map(move |&j| (i, j)));
        pairs.filter(|&(i, j)| self.may_share(known, i, j)).min_by_key(|&(i, j)| worth(i, j))
    }

    /// Puts the second block into the space of the first.
    fn join(&mut self, i: usize, j: usize, only: &Option<BTreeSet<usize>>) {
        let (i, j) = (i.min(j), i.max(j));
        let other = self.blocks.remove(j);
        let (old, words) = self.circuits.remove(j);
        let members = self.members.remove(j);
        let block = &mut self.blocks[i];
        *block = joined(block, other, only);
        let circuit = &mut self.circuits[i];
        circuit.0.extend(old);
        circuit.1 = format!("{} + {words}", circuit.1);
        self.members[i].extend(members);
        for group in &mut self.groups {
            for it in group.iter_mut() {
                *it = match (*it).cmp(&j) {
                    std::cmp::Ordering::Less => *it,
                    std::cmp::Ordering::Equal => i,
                    std::cmp::Ordering::Greater => *it - 1,
                };
            }
            group.sort_unstable();
            group.dedup();
        }
        self.groups.retain(|group| 1 < group.len());
    }
}

fn joined(block: &Block, other: Block, only: &Option<BTreeSet<usize>>) -> Block {
    let (Some(one), Some(two)) = (block.poles.first().cloned(), other.poles.into_iter().next()) else {
        return block.clone();
    };
    let demand = one.demand.iter().zip(&two.demand).map(|(one, two)| one + two).collect();
    let pole = Pole {
        rating: one.rating + two.rating,
        demand,
        continuous: one.continuous || two.continuous,
        electronic: one.electronic || two.electronic,
        reach: one.reach,
        old: one.old,
        half: Some(Half { demand: two.demand, reach: two.reach, old: two.old }),
    };
    Block {
        id: format!("{}+{}", block.id, other.id),
        poles: vec![pole],
        turnable: false,
        locked: block.locked.or(other.locked),
        only: only.clone(),
    }
}
