//! The search: best bound first, until the best layout found is proven, or the work allowed is spent.

use crate::layout::ascend::Climb;
use crate::layout::branch::splits;
use crate::layout::cost::{Bill, bill};
use crate::layout::option::{Put, puts};
use crate::layout::relax::{Frame, MILLI, Open};
use crate::layout::walk::{Pace, walk};
use crate::layout::wish::{Block, Place, Pole, Weights, Wish};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Prices at the root: with long patience, since all that follows begins from them.
const ROOT: Climb = Climb { n_steps: 8_000, length: 0.3, patience: 100 };
/// Prices at the root where any layout will do.
const ANY_ROOT: Climb = Climb { n_steps: 800, length: 0.4, patience: 20 };
/// Prices at a later node.
const NODE: Climb = Climb { n_steps: 40, length: 0.15, patience: 20 };
/// Prices where a split is only tried.
const TRY: Climb = Climb { n_steps: 5, length: 0.15, patience: 20 };

/// Walks before the search: how many, steps of each, heat.
const WALKS: (u64, usize, f64) = (3, 100_000, 40.0);
/// A walk from what a node of the search proposes: at every so many nodes, steps, heat.
const STROLL: (usize, usize, f64) = (2, 8_000, 4.0);
/// Steps for each node allowed, at most, before the search.
const STEPS_A_NODE: usize = 2_000;
/// Steps of the one walk where any layout will do.
const ANY: usize = 4_000;

/// Name of the blocks that keep spare places.
pub(crate) const SPARE: &str = "\u{0}spare";

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
    prices: Vec<i64>,
}

impl Ord for Node {
    fn cmp(&self, other: &Node) -> std::cmp::Ordering {
        let key = |node: &Node| (Reverse(whole(node.bound)), node.depth, Reverse(node.seq));
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
        wish.blocks.push(Block {
            id: format!("{SPARE} {k}"),
            poles,
            turnable: false,
            locked: None,
            only: None,
        });
    }
    wish
}

/// The wish with nothing weighed: any layout that meets it is as good as another.
pub(crate) fn unweighed(wish: &Wish) -> Wish {
    let weights = Weights {
        splice: 0,
        leg_difference: 0,
        tolerance: 0,
        continuous_row: 0,
        continuous_pair: 0,
        electronic_pair: 0,
        moved_row: 0,
        apart_row: 0,
    };
    Wish { weights, scenarios: Vec::new(), ..wish.clone() }
}

/// Searches with at most `max_nodes` nodes. With `any`, the first layout found is enough. The puts of the spare places
/// come last.
pub(crate) fn search(wish: &Wish, max_nodes: usize, any: bool) -> Result<Found, Missing> {
    let whole_wish = with_spares(wish);
    let all: Vec<Vec<Put>> = whole_wish.blocks.iter().map(|block| puts(&whole_wish, block)).collect();
    if all.iter().any(Vec::is_empty) {
        return Err(Missing::Infeasible);
    }
    let frame = Frame::new(&whole_wish, all);
    let mut work = Search::of(&frame);
    let (n_walks, n_steps) =
        if any { (1, ANY) } else { (WALKS.0, WALKS.1.min(STEPS_A_NODE.saturating_mul(max_nodes))) };
    for seed in 0..n_walks {
        work.offer(walk(&frame, &[], None, Pace { n_steps, heat: WALKS.2, seed }));
    }
    if work.best.is_none() && !any {
        let found = search(&unweighed(wish), max_nodes, true)?;
        let same = |(it, put): (usize, &Put)| {
            frame.puts[it].iter().find(|way| way.at == put.at && way.turned == put.turned).copied()
        };
        work.offer(found.puts.iter().enumerate().map(same).collect());
    }
    work.run(max_nodes, any)
}

struct Search<'a> {
    frame: &'a Frame<'a>,
    best: Option<(Vec<Put>, Bill)>,
    heap: BinaryHeap<Node>,
    seq: usize,
    /// More than any layout costs.
    worst: i64,
}

impl<'a> Search<'a> {
    fn of(frame: &'a Frame<'a>) -> Search<'a> {
        let worst = worst(frame.wish, &frame.puts);
        Search { frame, best: None, heap: BinaryHeap::new(), seq: 0, worst }
    }

    /// Points that have to be undercut.
    fn limit(&self) -> i64 {
        self.best.as_ref().map_or(self.worst, |(_, bill)| bill.points)
    }

    fn offer(&mut self, puts: Option<Vec<Put>>) {
        let Some(puts) = puts else { return };
        let bill = bill(self.frame.wish, &puts);
        if bill.n_over == 0 && bill.points < self.limit() {
            self.best = Some((puts, bill));
        }
    }

    fn run(mut self, max_nodes: usize, any: bool) -> Result<Found, Missing> {
        let frame = self.frame;
        let root = Node {
            bound: i64::MIN,
            depth: 0,
            seq: 0,
            open: frame.everything(),
            prices: frame.first_prices(),
        };
        self.heap.push(root);
        let mut n_nodes = 0;
        while let Some(node) = self.heap.pop() {
            if any && self.best.is_some() {
                break;
            }
            if node.bound != i64::MIN && self.limit() <= whole(node.bound) {
                self.heap.clear();
                break;
            }
            if max_nodes <= n_nodes {
                self.heap.push(node);
                break;
            }
            n_nodes += 1;
            self.visit(node, n_nodes, if any { ANY_ROOT } else { ROOT });
        }
        let open = self.heap.peek().map(|node| whole(node.bound));
        match self.best {
            Some((puts, bill)) => {
                let proof = match open {
                    Some(bound) if bound < bill.points => Proof::Bounded { bound },
                    _ => Proof::Optimal,
                };
                Ok(Found { puts, bill, proof, n_nodes })
            }
            None if open.is_none() => Err(Missing::Infeasible),
            None => Err(Missing::Unknown),
        }
    }

    fn visit(&mut self, mut node: Node, n_nodes: usize, root: Climb) {
        let frame = self.frame;
        if !propagate(frame, &mut node.open) {
            return;
        }
        let pace = if node.depth == 0 { root } else { NODE };
        let Some(climbed) = frame.climb(&node.open, &node.prices, pace, self.limit()) else {
            return;
        };
        let bound = climbed.valued.bound.max(node.bound);
        if self.limit() <= whole(bound) {
            return;
        }
        frame.strike(&mut node.open, &climbed.valued, &climbed.prices, self.limit());
        if !propagate(frame, &mut node.open) {
            return;
        }
        if node.open.ways.iter().all(|ways| ways.len() == 1) {
            self.offer(Some(
                node.open.ways.iter().enumerate().map(|(it, ways)| *frame.put(it, ways[0])).collect(),
            ));
            return;
        }
        if n_nodes % STROLL.0 == 1 {
            let pace = Pace { n_steps: STROLL.1, heat: STROLL.2, seed: n_nodes as u64 };
            self.offer(walk(frame, &climbed.usual(), Some(&node.open), pace));
            if self.limit() <= whole(bound) {
                return;
            }
        }
        let mut best: Option<(i64, Vec<Node>)> = None;
        for halves in splits(frame, &node.open, &climbed) {
            let mut children = Vec::new();
            let mut gains = Vec::new();
            for mut open in halves {
                let tried = propagate(frame, &mut open)
                    .then(|| frame.climb(&open, &climbed.prices, TRY, self.limit()))
                    .flatten();
                let reached = tried.as_ref().map_or(i64::MAX, |tried| tried.valued.bound).max(bound);
                if let Some(tried) = tried.filter(|_| whole(reached) < self.limit()) {
                    self.seq += 1;
                    let (depth, seq) = (node.depth + 1, self.seq);
                    children.push(Node { bound: reached, depth, seq, open, prices: tried.prices });
                    gains.push((reached - bound).min(1_000 * MILLI) + 10);
                } else {
                    gains.push(1_000 * MILLI);
                }
            }
            let score = gains.iter().product();
            if best.as_ref().is_none_or(|(least, _)| *least < score) {
                best = Some((score, children));
            }
            if best.as_ref().is_some_and(|(_, children)| children.len() < 2) {
                break;
            }
        }
        self.heap.extend(best.into_iter().flat_map(|(_, children)| children));
    }
}

/// Strikes what a block with one way left takes from the others, and what lies outside the span of a group. False where
/// a block has none left.
fn propagate(frame: &Frame<'_>, open: &mut Open) -> bool {
    let (wish, board) = (frame.wish, &frame.wish.board);
    for (group, span) in frame.groups.iter().zip(&open.spans) {
        for &it in &group.members {
            let size = wish.blocks[it].poles.len();
            open.ways[it].retain(|&way| {
                let row = frame.put(it, way).at.row;
                span.top.0 <= row && row + size <= span.end.1
            });
        }
    }
    let ways = &mut open.ways;
    let mut done = vec![false; ways.len()];
    while let Some(it) = (0..ways.len()).find(|&it| !done[it] && ways[it].len() == 1) {
        done[it] = true;
        let put = frame.put(it, ways[it][0]);
        let taken: Vec<(Place, i64)> =
            put.poles(&wish.blocks[it]).map(|(place, pole)| (place, pole.rating)).collect();
        for other in (0..ways.len()).filter(|&other| other != it) {
            let block = &wish.blocks[other];
            ways[other].retain(|&way| {
                frame.put(other, way).poles(block).all(|(place, pole)| {
                    taken.iter().all(|&(held, rating)| {
                        held != place
                            && (held.row != place.row
                                || board.stab_limit.is_none_or(|most| pole.rating + rating <= most))
                    })
                })
            });
        }
    }
    ways.iter().all(|ways| !ways.is_empty())
}

/// Points that no layout reaches.
fn worst(wish: &Wish, puts: &[Vec<Put>]) -> i64 {
    let (board, weights) = (&wish.board, &wish.weights);
    let own: i64 = puts.iter().filter_map(|puts| puts.iter().map(|put| put.cost).max()).sum();
    let demand: i64 = wish
        .blocks
        .iter()
        .flat_map(|block| &block.poles)
        .flat_map(|pole| &pole.demand)
        .map(|demand| demand.abs())
        .sum();
    let rows = i64::try_from(board.n_rows).unwrap_or(0);
    let groups = i64::try_from(wish.groups.len()).unwrap_or(0);
    own + weights.leg_difference * demand
        + rows * (weights.continuous_pair + weights.electronic_pair + groups * weights.apart_row)
        + 1
}
