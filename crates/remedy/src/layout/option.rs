//! The places where a block may go, and what each costs by itself.

use crate::layout::wish::{Block, Board, Place, Pole, Wish};

/// One way to put a block: its first pole, downwards, perhaps turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Put {
    /// Place of the upper pole.
    pub(crate) at: Place,
    /// The poles stand in the opposite order.
    pub(crate) turned: bool,
    /// Points of the place, without what depends on other blocks.
    pub(crate) cost: i64,
}

impl Put {
    /// Poles of the block from the top, with their places.
    pub(crate) fn poles<'a>(&self, block: &'a Block) -> impl Iterator<Item = (Place, &'a Pole)> + use<'a> {
        let (at, turned, n) = (self.at, self.turned, block.poles.len());
        (0..n).map(move |k| {
            let pole = &block.poles[if turned { n - 1 - k } else { k }];
            (Place { row: at.row + k, column: at.column }, pole)
        })
    }
}

/// All ways to put a block, cheapest first.
pub(crate) fn puts(wish: &Wish, block: &Block) -> Vec<Put> {
    let board = &wish.board;
    let mut all = Vec::new();
    for number in 1..=board.n_spaces {
        let elsewhere = block.only.as_ref().is_some_and(|only| !only.contains(&number));
        if elsewhere || block.locked.is_some_and(|locked| locked != number) {
            continue;
        }
        let Some(at) = board.place(number) else { continue };
        let turns: &[bool] = if block.turnable && 1 < block.poles.len() { &[false, true] } else { &[false] };
        for &turned in turns {
            let mut put = Put { at, turned, cost: 0 };
            let free = put.poles(block).all(|(place, _)| {
                let number = board.number(place);
                place.row < board.n_rows && number <= board.n_spaces && !wish.reserved.contains(&number)
            });
            if free {
                put.cost = put.poles(block).map(|(place, pole)| own_cost(wish, place, pole)).sum();
                all.push(put);
            }
        }
    }
    all.sort_by_key(|put| (put.cost, board.number(put.at), put.turned));
    all
}

/// Points of a pole at a place, whatever else is in the panel.
pub(crate) fn own_cost(wish: &Wish, place: Place, pole: &Pole) -> i64 {
    let (board, weights) = (&wish.board, &wish.weights);
    let mut cost = 0;
    cost += weights.splice * i64::try_from(n_splices(board, place, pole)).unwrap_or(i64::MAX);
    if pole.continuous {
        cost += weights.continuous_row * board.rows_from_feed(place.row);
    }
    cost + weights.moved_row * moved_rows(board, place, pole)
}

/// Conductors of a pole that must be spliced to come here: of two half-width breakers up to two.
pub(crate) fn n_splices(board: &Board, place: Place, pole: &Pole) -> usize {
    usize::from(!reaches(board, place, pole)) + usize::from(!half_reaches(board, place, pole))
}

/// Rows by which what is in a space moves from where it was.
pub(crate) fn moved_rows(board: &Board, place: Place, pole: &Pole) -> i64 {
    let of = |old: Option<usize>| {
        old.and_then(|old| board.place(old))
            .map_or(0, |old| old.row.abs_diff(place.row) + usize::from(old.column != place.column))
    };
    let rows = of(pole.old) + pole.half.as_ref().map_or(0, |half| of(half.old));
    i64::try_from(rows).unwrap_or(i64::MAX)
}

/// Does the conductor of the second half reach? Yes where there is none.
pub(crate) fn half_reaches(board: &Board, place: Place, pole: &Pole) -> bool {
    let reach = pole.half.as_ref().and_then(|half| half.reach.as_ref());
    reach.is_none_or(|reach| reach.contains(&board.number(place)))
}

/// Does the conductor reach? Where its length is not known, that is told apart, not counted.
pub(crate) fn reaches(board: &Board, place: Place, pole: &Pole) -> bool {
    pole.reach.as_ref().is_none_or(|reach| reach.contains(&board.number(place)))
}
