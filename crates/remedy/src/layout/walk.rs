//! Good layouts by exchanges at random, fewer and fewer of which may make it worse (annealing, Kirkpatrick, Gelatt and
//! Vecchi 1983). The dice have a fixed seed: the same wish has the same layout.

use crate::dice::Dice;
use crate::layout::option::Put;
use crate::layout::relax::{Frame, Open};
use crate::layout::wish::{DeciAmps, Place};
use std::cmp::Reverse;

/// Points of what must not be: larger than any layout, small enough to be summed.
const FORBIDDEN: i64 = 1_000_000_000;
/// No block.
const NOBODY: u16 = u16::MAX;
/// Points that a step may cost at last.
const COLD: f64 = 0.4;
/// Seed of the dice.
const SEED: u64 = 20_261_127;

/// A layout on its way.
struct Walk<'a> {
    frame: &'a Frame<'a>,
    /// Where a block is tried, if not everywhere.
    open: Option<&'a Open>,
    /// Points of each block at each place, upright and turned.
    table: Vec<Vec<i64>>,
    cells: Vec<u16>,
    at: Vec<(Place, bool)>,
    legs: Vec<DeciAmps>,
    own: i64,
    stabs: Vec<i64>,
    groups: Vec<i64>,
    member_of: Vec<Vec<usize>>,
}

/// A block and where it goes.
type Move = (usize, Place, bool);

/// How a walk goes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pace {
    /// Steps.
    pub(crate) n_steps: usize,
    /// Points that a step may cost at first.
    pub(crate) heat: f64,
    /// Seed of the dice.
    pub(crate) seed: u64,
}

/// The best layout of a walk that begins near these ways, the rest of the blocks where it is cheapest; `None` where it
/// meets no layout. Blocks are sent only to ways that are open, where that is told.
pub(crate) fn walk(
    frame: &Frame<'_>,
    near: &[(usize, u16)],
    open: Option<&Open>,
    pace: Pace,
) -> Option<Vec<Put>> {
    let mut walk = Walk::from(frame, near, open)?;
    let (points, at) = walk.run(&mut Dice::new(SEED + pace.seed), pace);
    if FORBIDDEN <= points {
        return None;
    }
    let put = |(it, (at, turned)): (usize, &(Place, bool))| {
        frame.puts[it].iter().find(|put| put.at == *at && put.turned == *turned).copied()
    };
    at.iter().enumerate().map(put).collect()
}

impl<'a> Walk<'a> {
    fn from(frame: &'a Frame<'a>, near: &[(usize, u16)], open: Option<&'a Open>) -> Option<Walk<'a>> {
        let (wish, board) = (frame.wish, &frame.wish.board);
        let n_cells = board.n_rows * board.n_columns;
        let mut table = Vec::new();
        for puts in &frame.puts {
            let mut points = vec![FORBIDDEN; 2 * n_cells];
            for put in puts {
                points[2 * (put.at.row * board.n_columns + put.at.column) + usize::from(put.turned)] =
                    put.cost;
            }
            table.push(points);
        }
        let member_of = (0..wish.blocks.len())
            .map(|it| (0..frame.groups.len()).filter(|&g| frame.groups[g].members.contains(&it)).collect())
            .collect();
        let mut walk = Walk {
            frame,
            open,
            table,
            cells: vec![NOBODY; n_cells],
            at: vec![(Place { row: 0, column: 0 }, false); wish.blocks.len()],
            legs: vec![0; wish.scenarios.len() * board.n_legs],
            own: 0,
            stabs: vec![0; board.n_rows],
            groups: vec![0; frame.groups.len()],
            member_of,
        };
        walk.begin(near)?;
        (0..board.n_rows).for_each(|row| walk.stabs[row] = walk.stab(row));
        (0..walk.groups.len()).for_each(|group| walk.groups[group] = walk.apart(group));
        Some(walk)
    }

    /// Blocks where they are wanted, then tall ones and those with few ways first, each where it is cheapest and free.
    fn begin(&mut self, near: &[(usize, u16)]) -> Option<()> {
        let blocks = &self.frame.wish.blocks;
        let mut order: Vec<usize> = (0..blocks.len()).collect();
        order.sort_by_key(|&it| {
            (2 < self.frame.puts[it].len(), Reverse(blocks[it].poles.len()), self.frame.puts[it].len())
        });
        let mut standing = vec![false; blocks.len()];
        for &(it, way) in near {
            let put = self.frame.put(it, way);
            if !standing[it] && self.is_free(it, put.at) {
                standing[it] = true;
                self.put((it, put.at, put.turned));
            }
        }
        for it in order.into_iter().filter(|&it| !standing[it]) {
            let ways = self.frame.puts[it].iter().map(|put| (put.at, put.turned));
            let anywhere = (0..self.cells.len()).map(|cell| (self.place(cell), false));
            let (at, turned) = ways.chain(anywhere).find(|way| self.is_free(it, way.0))?;
            self.put((it, at, turned));
        }
        Some(())
    }

    fn is_free(&self, it: usize, at: Place) -> bool {
        (0..self.size(it)).all(|k| {
            let place = Place { row: at.row + k, column: at.column };
            place.row < self.frame.wish.board.n_rows && self.cells[self.cell(place)] == NOBODY
        })
    }

    fn cell(&self, place: Place) -> usize {
        place.row * self.frame.wish.board.n_columns + place.column
    }

    fn place(&self, cell: usize) -> Place {
        let n = self.frame.wish.board.n_columns;
        Place { row: cell / n, column: cell % n }
    }

    fn size(&self, it: usize) -> usize {
        self.frame.wish.blocks[it].poles.len()
    }

    fn put(&mut self, (it, at, turned): Move) {
        self.at[it] = (at, turned);
        for k in 0..self.size(it) {
            let cell = self.cell(Place { row: at.row + k, column: at.column });
            self.cells[cell] = u16::try_from(it).unwrap_or(NOBODY);
        }
        self.count(it, 1);
    }

    fn take(&mut self, it: usize) {
        self.count(it, -1);
        let (at, _) = self.at[it];
        for k in 0..self.size(it) {
            let cell = self.cell(Place { row: at.row + k, column: at.column });
            self.cells[cell] = NOBODY;
        }
    }

    /// Adds or takes off what a block costs and carries by itself.
    fn count(&mut self, it: usize, sign: i64) {
        let (at, turned) = self.at[it];
        self.own += sign * self.table[it][2 * self.cell(at) + usize::from(turned)];
        let (net, n_legs) = (&self.frame.net[it], self.frame.wish.board.n_legs);
        for (k, pole) in net.iter().enumerate() {
            let below = if turned { net.len() - 1 - k } else { k };
            let leg = self.frame.wish.board.leg(at.row + below);
            for (scenario, demand) in pole.iter().enumerate() {
                self.legs[scenario * n_legs + leg] += sign * demand;
            }
        }
    }

    fn stab(&self, row: usize) -> i64 {
        let (wish, board) = (self.frame.wish, &self.frame.wish.board);
        if board.n_columns < 2 {
            return 0;
        }
        let pole = |cell: usize| {
            let it = self.cells[cell];
            (it != NOBODY).then(|| {
                let (at, turned) = self.at[usize::from(it)];
                let poles = &wish.blocks[usize::from(it)].poles;
                let k = row - at.row;
                &poles[if turned { poles.len() - 1 - k } else { k }]
            })
        };
        let (Some(one), Some(other)) = (pole(2 * row), pole(2 * row + 1)) else { return 0 };
        let over = board.stab_limit.is_some_and(|most| most < one.rating + other.rating);
        wish.weights.continuous_pair * i64::from(one.continuous && other.continuous)
            + wish.weights.electronic_pair * i64::from(one.electronic && other.electronic)
            + if over { FORBIDDEN } else { 0 }
    }

    fn apart(&self, group: usize) -> i64 {
        let group = &self.frame.groups[group];
        let top = group.members.iter().map(|&it| self.at[it].0.row).min().unwrap_or(0);
        let end = group.members.iter().map(|&it| self.at[it].0.row + self.size(it)).max().unwrap_or(0);
        let rows = i64::try_from((end - top).saturating_sub(group.need)).unwrap_or(0);
        self.frame.wish.weights.apart_row * rows
    }

    fn points(&self) -> i64 {
        let weights = &self.frame.wish.weights;
        let excess: i64 = self
            .legs
            .chunks(self.frame.wish.board.n_legs)
            .map(|legs| {
                let difference = legs.iter().max().unwrap_or(&0) - legs.iter().min().unwrap_or(&0);
                (difference - weights.tolerance).max(0)
            })
            .sum();
        self.own
            + weights.leg_difference * excess
            + self.stabs.iter().sum::<i64>()
            + self.groups.iter().sum::<i64>()
    }

    /// Carries moves out; the same moves backwards undo them.
    fn carry_out(&mut self, moves: &[Move]) -> Vec<Move> {
        let back: Vec<Move> = moves.iter().map(|&(it, ..)| (it, self.at[it].0, self.at[it].1)).collect();
        moves.iter().for_each(|&(it, ..)| self.take(it));
        moves.iter().for_each(|&one| self.put(one));
        for &(it, at, _) in back.iter().chain(moves) {
            (at.row..at.row + self.size(it)).for_each(|row| self.stabs[row] = self.stab(row));
        }
        for &(it, ..) in moves {
            for k in 0..self.member_of[it].len() {
                let group = self.member_of[it][k];
                self.groups[group] = self.apart(group);
            }
        }
        back
    }

    /// Blocks of a stretch of a column, moved to another; false where the stretch cuts one.
    fn shifted(&self, from: Place, n: usize, to: Place, moves: &mut Vec<Move>) -> bool {
        let mut row = from.row;
        while row < from.row + n {
            let it = self.cells[self.cell(Place { row, column: from.column })];
            if it == NOBODY {
                row += 1;
                continue;
            }
            let it = usize::from(it);
            let (at, turned) = self.at[it];
            if at.row < row || from.row + n < at.row + self.size(it) {
                return false;
            }
            moves.push((it, Place { row: to.row + at.row - from.row, column: to.column }, turned));
            row += self.size(it);
        }
        true
    }

    /// A move at random; empty where it came to nothing.
    fn any(&self, dice: &mut Dice) -> Vec<Move> {
        let board = &self.frame.wish.board;
        let mut pick = |n: usize| dice.below(n);
        let mut moves = Vec::new();
        let kind = pick(16);
        let it = pick(self.at.len());
        let (at, turned) = self.at[it];
        let n = self.size(it);
        if kind == 0 && self.frame.wish.blocks[it].turnable && 1 < n {
            return vec![(it, at, !turned)];
        }
        if kind < 6 {
            // With what stands below it in its column.
            let below = at.row + n;
            if board.n_rows <= below {
                return moves;
            }
            let other = self.cells[self.cell(Place { row: below, column: at.column })];
            let m = if other == NOBODY { 1 } else { self.size(usize::from(other)) };
            moves.push((it, Place { row: at.row + m, column: at.column }, turned));
            if other != NOBODY {
                moves.push((usize::from(other), at, self.at[usize::from(other)].1));
            }
            return moves;
        }
        let (from, n, to) = if kind < 14 {
            let to = match self.open {
                Some(open) => self.frame.put(it, open.ways[it][pick(open.ways[it].len())]),
                None => &self.frame.puts[it][pick(self.frame.puts[it].len())],
            };
            (at, n, to.at)
        } else {
            let n = 2 + pick(3);
            let Some(last) = board.n_rows.checked_sub(n) else { return moves };
            let row = pick(last + 1);
            let to =
                Place { row: if kind == 14 { row } else { pick(last + 1) }, column: pick(board.n_columns) };
            (Place { row, column: pick(board.n_columns) }, n, to)
        };
        let meet = from.column == to.column && from.row < to.row + n && to.row < from.row + n;
        if meet || !self.shifted(from, n, to, &mut moves) || !self.shifted(to, n, from, &mut moves) {
            moves.clear();
        }
        moves
    }

    fn run(&mut self, dice: &mut Dice, pace: Pace) -> (i64, Vec<(Place, bool)>) {
        let mut now = self.points();
        let mut best = (now, self.at.clone());
        let cooling = libm::pow(COLD / pace.heat, 1.0 / pace.n_steps.max(1) as f64);
        let mut heat = pace.heat;
        for _ in 0..pace.n_steps {
            heat *= cooling;
            let moves = self.any(dice);
            if moves.is_empty() {
                continue;
            }
            let back = self.carry_out(&moves);
            let next = self.points();
            let allowed = -heat * libm::log(dice.uniform().max(1e-12));
            if ((next - now) as f64) < allowed {
                now = next;
                if now < best.0 {
                    best = (now, self.at.clone());
                }
            } else {
                self.carry_out(&back);
            }
        }
        best
    }
}
