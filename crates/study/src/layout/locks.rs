//! Places that were decided: is there such a circuit, and can its breaker stand there?

use super::blocks::Draft;
use super::{CannotLayOut, LayoutAsk, Origin};
use model::replacement::HeldSpaces;
use remedy::layout::Board;
use std::collections::{BTreeMap, BTreeSet};

impl Draft {
    /// Every lock is of a circuit that goes in.
    pub(super) fn knows_locks(&self, ask: &LayoutAsk) -> Result<(), CannotLayOut> {
        let shares = |old: u16| ask.share.iter().any(|&(one, other)| one == old || other == old);
        let known = |from: &Origin| match from {
            Origin::Old(from) => self
                .circuits
                .iter()
                .any(|(old, _)| old.first() == Some(from) || shares(*from) && old.contains(from)),
            Origin::New(_) => (0..self.members.len()).any(|it| self.origin(it).as_ref() == Some(from)),
        };
        match ask.locks.iter().find(|(from, _)| !known(from)) {
            Some((Origin::Old(from), _)) => Err(CannotLayOut::NoSuchCircuit(*from)),
            Some((Origin::New(name), _)) => Err(CannotLayOut::NoSuchNew(name.clone())),
            None => Ok(()),
        }
    }

    /// A place that cannot be is refused in one sentence, before anything is searched. What stands in the way of several
    /// wishes together is found by the search.
    pub(super) fn places_locks(&self, board: &Board, held: &[HeldSpaces]) -> Result<(), CannotLayOut> {
        let mut taken: BTreeMap<usize, Origin> = BTreeMap::new();
        for (it, block) in self.blocks.iter().enumerate() {
            let (Some(first), Some(origin)) = (block.locked, self.origin(it)) else { continue };
            let cannot =
                |why: String| Err(CannotLayOut::NotThere { what: origin.words(), space: first as u16, why });
            if board.place(first).is_none() {
                return cannot(format!("the new panel has spaces 1 to {}", board.n_spaces));
            }
            // Partners may be turned, and half-width breakers share: what they cover is the search's matter.
            if block.turnable || block.only.is_some() {
                continue;
            }
            for pole in 0..block.poles.len() {
                let space = first + pole * board.n_columns;
                if board.place(space).is_none() {
                    let n = block.poles.len();
                    return cannot(format!(
                        "its {n} poles stand one below the other, and there is no space {space}"
                    ));
                }
                let of = |held: &&HeldSpaces| held.spaces.iter().any(|one| usize::from(one.number) == space);
                if let Some(held) = held.iter().find(of) {
                    return cannot(format!(
                        "space {space} is held for {}",
                        super::held_for_words(held.held_for)
                    ));
                }
                if let Some(other) = taken.insert(space, origin.clone()) {
                    return cannot(format!("space {space} is given to {} already", other.words()));
                }
            }
        }
        Ok(())
    }

    /// Spaces of circuits whose place is decided.
    pub(super) fn locked_spaces(&self, n_columns: usize) -> BTreeSet<u16> {
        let covered = |first: usize, n: usize| (0..n).map(move |pole| (first + pole * n_columns) as u16);
        let blocks = self.blocks.iter().filter_map(|block| Some(covered(block.locked?, block.poles.len())));
        blocks.flatten().collect()
    }

    /// Which circuit a block is; of partners the first.
    fn origin(&self, it: usize) -> Option<Origin> {
        super::origin_of(&self.circuits[it].0, &self.members[it])
    }
}
