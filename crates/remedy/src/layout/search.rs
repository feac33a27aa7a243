//! The search: best bound first, until the best layout found is proven, or the work allowed is spent.

use crate::layout::cost::{Bill, bill};
use crate::layout::improve::{complete, improve};
use crate::layout::option::{Put, puts};
use crate::layout::relax::{Frame, MILLI, Open, Prices, Relaxed};
use crate::layout::wish::{Block, Place, Pole, Wish};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Steps of the prices at the root, and at a later node.
const CLIMB: (usize, usize) = (60, 3);

/// Name of the blocks that keep spare places.
pub(crate) const SPARE: &str = "\u{0}spare";

/// Price of a leg difference, in percent of what it counts, above which the legs are decided before torn breakers.
const DEAR: i64 = 10;

/// How sure it is that there is none better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Proof {
    /// No layout costs less.
    Optimal,
    /// The work allowed was spent. No layout costs less than `bound` points.
    Bounded {
        /// Points that no layout can undercut.
        bound: i64,
    },
}

/// The best layout found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Found {
    pub(crate) puts: Vec<Put>,
    pub(crate) bill: Bill,
    pub(crate) proof: Proof,
    pub(crate) n_nodes: usize,
}

/// Why there is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Missing {
    /// Proven: no layout meets the wish.
    Infeasible,
    /// The work allowed was spent before one was found.
    Unknown,
}

#[derive(Debug, PartialEq, Eq)]
struct Node {
    bound: i64,
    depth: usize,
    seq: usize,
    open: Open,
    prices: Prices,
}

impl Ord for Node {
    fn cmp(&self, other: &Node) -> std::cmp::Ordering {
        let key = |node: &Node| (Reverse(node.bound), node.depth, Reverse(node.seq));
        key(self).cmp(&key(other))
    }
}

impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Node) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// Whole points at or above a bound in thousandths: every layout costs whole points.
fn whole(bound: i64) -> i64 {
    bound.div_euclid(MILLI) + i64::from(bound.rem_euclid(MILLI) != 0)
}

/// The wish with a block for each spare place.
pub(crate) fn with_spares(wish: &Wish) -> Wish {
    let mut wish = wish.clone();
    for k in 0..wish.spare_pairs {
        let poles = vec![Pole::default(); 2];
        wish.blocks.push(Block { id: format!("{SPARE} {k}"), poles, turnable: false, locked: None });
    }
    wish
}

/// Searches with at most `max_nodes` nodes. With `any`, the first layout found is enough. The puts of the spare places
/// come last.
pub(crate) fn search(wish: &Wish, max_nodes: usize, any: bool) -> Result<Found, Missing> {
    let wish = &with_spares(wish);
    let all: Vec<Vec<Put>> = wish.blocks.iter().map(|block| puts(wish, block)).collect();
    if all.iter().any(Vec::is_empty) {
        return Err(Missing::Infeasible);
    }
    let frame = Frame::new(wish, all);
    let mut best: Option<(Vec<Put>, Bill)> = None;
    let mut heap = BinaryHeap::new();
    let mut seq = 0;
    heap.push(Node { bound: i64::MIN, depth: 0, seq, open: frame.everything(), prices: frame.no_prices() });
    let mut n_nodes = 0;
    while let Some(mut node) = heap.pop() {
        let limit = best.as_ref().map_or(i64::MAX, |(_, bill)| bill.points);
        if node.bound != i64::MIN && limit <= whole(node.bound) {
            heap.clear();
            break;
        }
        if max_nodes <= n_nodes {
            heap.push(node);
            break;
        }
        n_nodes += 1;
        if !propagate(&frame, &mut node.open) {
            continue;
        }
        let steps = if node.depth == 0 { CLIMB.0 } else { CLIMB.1 };
        let aim = if limit == i64::MAX { 0 } else { MILLI * limit };
        let Some((relaxed, prices)) = frame.climb(&node.open, &node.prices, steps, aim.max(node.bound))
        else {
            continue;
        };
        let bound = relaxed.bound.max(node.bound);
        if let Some(found) = offer(&frame, &node.open, &relaxed, n_nodes) {
            let bill = bill(wish, &found);
            if bill.n_over == 0 && best.as_ref().is_none_or(|(_, kept)| bill.points < kept.points) {
                best = Some((found, bill));
                if any {
                    break;
                }
            }
        }
        let limit = best.as_ref().map_or(i64::MAX, |(_, bill)| bill.points);
        if limit <= whole(bound) {
            continue;
        }
        let tight = best.as_ref().is_some_and(|(_, bill)| {
            bill.leg_difference.iter().any(|&difference| wish.weights.tolerance < difference)
        });
        for open in branch(&frame, &node.open, &relaxed, &prices, tight) {
            seq += 1;
            heap.push(Node { bound, depth: node.depth + 1, seq, open, prices: prices.clone() });
        }
    }
    match best {
        Some((puts, bill)) => {
            let proof = match heap.peek() {
                None => Proof::Optimal,
                Some(node) if bill.points <= whole(node.bound) => Proof::Optimal,
                Some(node) => Proof::Bounded { bound: whole(node.bound) },
            };
            Ok(Found { puts, bill, proof, n_nodes })
        }
        None if heap.is_empty() => Err(Missing::Infeasible),
        None => Err(Missing::Unknown),
    }
}

/// Strikes the ways that a block with one way left takes from the others. False where a block has none left.
fn propagate(frame: &Frame<'_>, open: &mut Open) -> bool {
    let (wish, board) = (frame.wish, &frame.wish.board);
    let mut done = vec![false; open.len()];
    while let Some(it) = (0..open.len()).find(|&it| !done[it] && open[it].len() == 1) {
        done[it] = true;
        let put = frame.puts[it][usize::from(open[it][0])];
        let taken: Vec<(Place, i64)> =
            put.poles(&wish.blocks[it]).map(|(place, pole)| (place, pole.rating)).collect();
        for other in (0..open.len()).filter(|&other| other != it) {
            let (block, puts) = (&wish.blocks[other], &frame.puts[other]);
            open[other].retain(|&index| {
                puts[usize::from(index)].poles(block).all(|(place, pole)| {
                    taken.iter().all(|&(held, rating)| {
                        held != place
                            && (held.row != place.row
                                || board.stab_limit.is_none_or(|most| pole.rating + rating <= most))
                    })
                })
            });
            if open[other].is_empty() {
                return false;
            }
        }
    }
    true
}

/// A layout near the relaxed one, where there is one.
fn offer(frame: &Frame<'_>, open: &Open, relaxed: &Relaxed, n_nodes: usize) -> Option<Vec<Put>> {
    let mut puts = whole_puts(frame, open, relaxed).or_else(|| complete(frame, open, relaxed))?;
    if n_nodes < 32 || n_nodes.is_multiple_of(16) {
        improve(frame, &mut puts);
    }
    Some(puts)
}

/// The put of every block, where the relaxed places of its poles are one.
fn whole_puts(frame: &Frame<'_>, open: &Open, relaxed: &Relaxed) -> Option<Vec<Put>> {
    let mut first = 0;
    let mut all = Vec::with_capacity(open.len());
    for it in 0..open.len() {
        all.push(put_of(frame, open, relaxed, it, first)?);
        first += frame.wish.blocks[it].poles.len();
    }
    Some(all)
}

fn put_of(frame: &Frame<'_>, open: &Open, relaxed: &Relaxed, it: usize, first: usize) -> Option<Put> {
    let block = &frame.wish.blocks[it];
    let n = block.poles.len();
    let places = &relaxed.places[first..first + n];
    open[it].iter().map(|&index| frame.puts[it][usize::from(index)]).find(|put| {
        (0..n).all(|k| {
            let pole = if put.turned { n - 1 - k } else { k };
            places[pole] == Place { row: put.at.row + k, column: put.at.column }
        })
    })
}

/// Splits what is open at a node so that nothing is lost.
fn branch(frame: &Frame<'_>, open: &Open, relaxed: &Relaxed, prices: &Prices, tight: bool) -> Vec<Open> {
    let with = |it: usize, ways: Vec<u16>| {
        let mut child = open.clone();
        child[it] = ways;
        child
    };
    // What the legs cost is decided first where it costs anything.
    // A breaker torn apart: the one with the highest ratings first.
    let mut first = 0;
    let mut torn: Option<(i64, usize)> = None;
    for (it, block) in frame.wish.blocks.iter().enumerate() {
        if 1 < open[it].len() && put_of(frame, open, relaxed, it, first).is_none() {
            let weight = block.poles.iter().map(|pole| pole.rating).sum();
            torn = torn.max(Some((weight, it)));
        }
        first += block.poles.len();
    }
    let dear = tight
        || prices.iter().any(|price| DEAR * MILLI * frame.wish.weights.leg_difference < price.abs() * 100);
    if let (false, Some((_, it))) = (dear, torn) {
        let (left, right) = mend(frame, open, relaxed, it);
        return vec![with(it, left), with(it, right)];
    }
    // The legs: the block that weighs most and can still stand on either.
    let priced =
        prices.iter().any(|&price| price != 0) || frame.slope(relaxed, prices).iter().any(|&one| one != 0);
    if priced {
        let heaviest = (0..open.len())
            .filter_map(|it| {
                let mut signs: Vec<(usize, bool)> =
                    open[it].iter().map(|&index| leg_sign(frame, it, index)).collect();
                signs.sort_unstable();
                signs.dedup();
                let weight = weight(frame, it);
                (1 < signs.len() && 0 < weight).then_some((weight, it, signs))
            })
            .max_by_key(|(weight, it, _)| (*weight, Reverse(*it)));
        if let Some((_, it, signs)) = heaviest {
            return signs
                .into_iter()
                .map(|sign| {
                    with(
                        it,
                        open[it]
                            .iter()
                            .copied()
                            .filter(|&index| leg_sign(frame, it, index) == sign)
                            .collect(),
                    )
                })
                .collect();
        }
    }
    if let Some((_, it)) = torn {
        let (left, right) = mend(frame, open, relaxed, it);
        return vec![with(it, left), with(it, right)];
    }
    // Neighbours: each way of one of the blocks that are electronic or continuous; then whatever is left.
    let special =
        |it: &usize| frame.wish.blocks[*it].poles.iter().any(|pole| pole.continuous || pole.electronic);
    let loose = || (0..open.len()).filter(|&it| 1 < open[it].len());
    let it = loose()
        .filter(special)
        .min_by_key(|&it| open[it].len())
        .or_else(|| loose().min_by_key(|&it| open[it].len()));
    it.map_or_else(Vec::new, |it| open[it].iter().map(|&index| with(it, vec![index])).collect())
}

/// Splits the ways of a torn block in two so that neither half allows the places of its poles now.
fn mend(frame: &Frame<'_>, open: &Open, relaxed: &Relaxed, it: usize) -> (Vec<u16>, Vec<u16>) {
    let blocks = &frame.wish.blocks;
    let first: usize = blocks[..it].iter().map(|block| block.poles.len()).sum();
    let n = blocks[it].poles.len();
    let places = &relaxed.places[first..first + n];
    let put = |index: u16| &frame.puts[it][usize::from(index)];
    let split = |left: &dyn Fn(&Put) -> bool| -> (Vec<u16>, Vec<u16>) {
        open[it].iter().partition(|&&index| left(put(index)))
    };
    let useful = |halves: &(Vec<u16>, Vec<u16>)| !halves.0.is_empty() && !halves.1.is_empty();
    let turned = split(&|put| !put.turned);
    if useful(&turned) {
        return turned;
    }
    if places.iter().any(|place| place.column != places[0].column) {
        let columns = split(&|put| put.at.column == 0);
        if useful(&columns) {
            return columns;
        }
    }
    // Row that each pole asks of the uppermost one.
    let turned = put(open[it][0]).turned;
    let asked = |pole: usize| {
        let below = if turned { n - 1 - pole } else { pole };
        places[pole].row.saturating_sub(below)
    };
    let (least, most) = ((0..n).map(asked).min().unwrap_or(0), (0..n).map(asked).max().unwrap_or(0));
    let middle = usize::midpoint(least, most.max(1) - 1).max(least);
    let rows = split(&|put| put.at.row <= middle);
    if useful(&rows) {
        return rows;
    }
    // Nothing of that divides them: one way against the others.
    (vec![open[it][0]], open[it][1..].to_vec())
}

/// Leg of the first pole, and the order of the poles where it matters.
fn leg_sign(frame: &Frame<'_>, it: usize, index: u16) -> (usize, bool) {
    let put = &frame.puts[it][usize::from(index)];
    (frame.wish.board.leg(put.at.row), put.turned)
}

/// How much the legs differ by where the block stands.
fn weight(frame: &Frame<'_>, it: usize) -> i64 {
    let block = &frame.wish.blocks[it];
    (0..frame.wish.scenarios.len())
        .map(|scenario| {
            let of = |pole: &Pole| pole.demand.get(scenario).copied().unwrap_or(0);
            let most = block.poles.iter().map(of).max().unwrap_or(0);
            let least = if block.poles.len() < frame.wish.board.n_legs {
                if block.poles.len() == 1 { 0 } else { block.poles.iter().map(of).min().unwrap_or(0) }
            } else {
                block.poles.iter().map(of).min().unwrap_or(0)
            };
            most - least
        })
        .sum()
}
