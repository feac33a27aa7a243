//! Which circuit goes into which space of a new panel: the cheapest layout in stated points, proven, or with a bound
//! below which none can be.
//!
//! Points are whole numbers, so are the currents in tenths of an ampere, and the proof is exact arithmetic. The bound
//! comes from prices (Lagrange): at given prices of circuits, legs and neighbourhoods the cheapest filling of the rows
//! is found exactly from the top down (`rows`), the possible differences of the legs from sums (`sums`), the stretches
//! of the groups by trying them (`neighbours`); `ascend` finds better prices. The tree splits legs, columns, rows and
//! stretches until bound and layout meet (Land and Doig 1960, branch and bound; Held and Karp 1971 for the prices);
//! good layouts come from walks (`walk`).

mod aim;
mod ascend;
mod branch;
mod conflict;
mod cost;
mod neighbours;
mod option;
mod relax;
mod rows;
mod search;
mod sums;
#[cfg(test)]
mod tests;
mod walk;
mod why;
pub mod wish;

pub use aim::{Aim, aims};
pub use conflict::Want;
pub use cost::Bill;
pub use search::Proof;
pub use why::Exchange;
pub use wish::{Block, Board, DeciAmps, Half, Place, Pole, Weights, Wish};

use conflict::conflict;
use cost::legs;
use option::{half_reaches, n_splices, reaches};
use search::{Found, Missing, search};

/// A layout.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// Where each block sits, in the order of the wish.
    pub seats: Vec<Seat>,
    /// First spaces of the places kept for two poles.
    pub spares: Vec<usize>,
    /// What it costs, part by part.
    pub bill: Bill,
    /// Currents of the legs in each scenario.
    pub legs: Vec<Vec<DeciAmps>>,
    /// Is there none better?
    pub proof: Proof,
    /// Nodes of the search.
    pub n_nodes: usize,
}

/// Where a block sits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seat {
    /// The block.
    pub id: String,
    /// Spaces of its poles, in the order of the block's poles; that of two half-width breakers stands there twice.
    pub spaces: Vec<usize>,
    /// Which of them need a splice, one for each of the spaces.
    pub spliced: Vec<bool>,
    /// Places at which no pole of it needs a splice.
    pub n_in_reach: usize,
    /// The cheapest single exchange that puts it elsewhere; `None` where there is none.
    pub next: Option<Exchange>,
}

/// No layout.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoLayout {
    /// Proven: these wishes cannot be met together. Empty: the circuits do not fit at all.
    #[error("{}", conflict::conflict_words(.0))]
    Conflict(Vec<Want>),
    /// None was found within the work allowed, and it is not proven that there is none.
    #[error("no layout was found within the work allowed")]
    Unknown,
    /// The wish itself is wrong.
    #[error("{0}")]
    Wrong(String),
}

/// Lays out with at most `max_nodes` nodes of the search.
///
/// # Errors
/// See [`NoLayout`].
pub fn lay_out(wish: &Wish, max_nodes: usize) -> Result<Layout, NoLayout> {
    check(wish)?;
    match search(wish, max_nodes, false) {
        Ok(found) => Ok(layout(wish, found)),
        Err(Missing::Infeasible) => {
            conflict(wish).map_or(Err(NoLayout::Unknown), |wants| Err(NoLayout::Conflict(wants)))
        }
        Err(Missing::Unknown) => Err(NoLayout::Unknown),
    }
}

fn layout(wish: &Wish, found: Found) -> Layout {
    let whole = search::with_spares(wish);
    let frame =
        relax::Frame::new(&whole, whole.blocks.iter().map(|block| option::puts(&whole, block)).collect());
    let board = &wish.board;
    let mut seats = Vec::with_capacity(wish.blocks.len());
    for (it, block) in wish.blocks.iter().enumerate() {
        let put = found.puts[it];
        let mut spaces = vec![0; block.poles.len()];
        let mut spliced = vec![false; block.poles.len()];
        for (k, (place, pole)) in put.poles(block).enumerate() {
            let index = if put.turned { block.poles.len() - 1 - k } else { k };
            spaces[index] = board.number(place);
            spliced[index] = !reaches(board, place, pole);
            if pole.half.is_some() {
                spaces.push(board.number(place));
                spliced.push(!half_reaches(board, place, pole));
            }
        }
        let in_reach =
            |put: &&option::Put| put.poles(block).all(|(place, pole)| n_splices(board, place, pole) == 0);
        seats.push(Seat {
            id: block.id.clone(),
            spaces,
            spliced,
            n_in_reach: frame.puts[it].iter().filter(in_reach).count(),
            next: why::next(&frame, &found.puts, it),
        });
    }
    let spares = found.puts[wish.blocks.len()..].iter().map(|put| board.number(put.at)).collect();
    let legs = (0..wish.scenarios.len()).map(|scenario| legs(&whole, &found.puts, scenario)).collect();
    Layout { seats, spares, bill: found.bill, legs, proof: found.proof, n_nodes: found.n_nodes }
}

/// Is the wish one that can be read?
fn check(wish: &Wish) -> Result<(), NoLayout> {
    let wrong = |words: String| Err(NoLayout::Wrong(words));
    let board = &wish.board;
    if board.n_spaces == 0 || !(1..=2).contains(&board.n_columns) || !(2..=3).contains(&board.n_legs) {
        return wrong("a panel has spaces, one or two columns, and two or three legs".into());
    }
    if board.n_rows != board.n_spaces.div_ceil(board.n_columns) {
        return wrong(format!("{} spaces do not make {} rows", board.n_spaces, board.n_rows));
    }
    for (k, block) in wish.blocks.iter().enumerate() {
        if block.poles.is_empty() || board.n_legs < block.poles.len() {
            return wrong(format!(
                "`{}` has {} poles, the supply {} legs",
                block.id,
                block.poles.len(),
                board.n_legs
            ));
        }
        if 1 < block.poles.len() && block.poles.iter().any(|pole| pole.half.is_some()) {
            return wrong(format!("`{}` has two poles, so that no half of its spaces is free", block.id));
        }
        if wish.blocks[..k].iter().any(|other| other.id == block.id) {
            return wrong(format!("the name `{}` is there twice", block.id));
        }
    }
    Ok(())
}
