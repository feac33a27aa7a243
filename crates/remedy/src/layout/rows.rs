//! The cheapest filling of the rows from the top, both columns at once, so that what two poles on one stab cost is
//! counted exactly. Which circuit fills a place is not looked at: one may be used twice.

use crate::layout::option::Put;
use crate::layout::relax::MILLI;
use crate::layout::wish::{Block, Pole, Wish};

/// Cost of what cannot be. Larger than any layout.
pub(crate) const NEVER: i64 = 1_000_000_000_000;

/// No slot: nothing begins there.
const NOTHING: u32 = u32::MAX;

/// How blocks follow one another down a column.
#[derive(Debug)]
pub(crate) struct Rows {
    n_rows: usize,
    n_columns: usize,
    /// Kinds of poles as far as their neighbour matters; the first is no pole.
    kinds: Vec<Kind>,
    /// Cost of two kinds on one stab.
    beside: Vec<i64>,
    /// Kind of the next pole of a block that goes on, and the state after it; the first state is free.
    states: Vec<(usize, usize)>,
    /// The poles that each state stands for.
    rests: Vec<Vec<usize>>,
    /// Shapes of blocks: kind of the first pole, state after it.
    shapes: Vec<(usize, usize)>,
    firsts: Vec<Vec<usize>>,
}

/// Runs long, electronic, rating where a stab has a limit.
type Kind = (bool, bool, i64);

/// The cheapest filling.
#[derive(Debug, Clone)]
pub(crate) struct Fill {
    pub(crate) least: i64,
    /// Cheapest way to each pair of states above each row.
    down: Vec<i64>,
    steps: Vec<(u32, u32, u32)>,
    /// What may begin at each place and pays: slot, cost, kind, state after. Where the list of each place begins.
    begins: Vec<Begin>,
    firsts: Vec<usize>,
}

#[derive(Debug, Clone, Copy)]
struct Begin {
    slot: u32,
    cost: i64,
    kind: usize,
    next: usize,
}

impl Fill {
    fn list(&self, at: usize) -> &[Begin] {
        &self.begins[self.firsts[at]..self.firsts[at + 1]]
    }
}

impl Rows {
    pub(crate) fn of(wish: &Wish) -> Rows {
        let board = &wish.board;
        let mut rows = Rows {
            n_rows: board.n_rows,
            n_columns: board.n_columns,
            kinds: vec![(false, false, 0)],
            beside: Vec::new(),
            states: vec![(0, 0)],
            rests: vec![Vec::new()],
            shapes: Vec::new(),
            firsts: Vec::new(),
        };
        let limited = board.stab_limit.is_some();
        for block in &wish.blocks {
            let mut kinds: Vec<usize> = block.poles.iter().map(|pole| rows.kind(pole, limited)).collect();
            rows.add(&kinds);
            kinds.reverse();
            rows.add(&kinds);
        }
        let weights = &wish.weights;
        for one in &rows.kinds {
            for other in &rows.kinds {
                let over = board.stab_limit.is_some_and(|most| most < one.2 + other.2);
                let points = weights.continuous_pair * i64::from(one.0 && other.0)
                    + weights.electronic_pair * i64::from(one.1 && other.1);
                let alone = one.2 == 0 || other.2 == 0;
                rows.beside.push(if over && !alone { NEVER } else { MILLI * points });
            }
        }
        rows
    }

    fn kind(&mut self, pole: &Pole, limited: bool) -> usize {
        // One more than the rating would be: a pole of no rating is still a pole.
        let kind = (pole.continuous, pole.electronic, if limited { pole.rating } else { 0 });
        index_of(&mut self.kinds, kind)
    }

    fn add(&mut self, kinds: &[usize]) {
        if self.firsts.iter().any(|known| known == kinds) {
            return;
        }
        let next = self.state(&kinds[1..]);
        self.firsts.push(kinds.to_vec());
        self.shapes.push((kinds[0], next));
    }

    fn state(&mut self, rest: &[usize]) -> usize {
        if let Some(known) = self.rests.iter().position(|known| known == rest) {
            return known;
        }
        let next = self.state(&rest[1..]);
        self.rests.push(rest.to_vec());
        self.states.push((rest[0], next));
        self.states.len() - 1
    }

    pub(crate) fn n_slots(&self) -> usize {
        self.n_rows * self.n_columns * self.shapes.len()
    }

    /// The slot of a put: its place and the shape of its block.
    pub(crate) fn slot(&self, block: &Block, put: &Put) -> usize {
        let kind = |pole: &Pole| {
            let is = |kind: &Kind| {
                kind.0 == pole.continuous
                    && kind.1 == pole.electronic
                    && (kind.2 == 0 || kind.2 == pole.rating)
            };
            self.kinds.iter().rposition(is).unwrap_or(0)
        };
        let kinds: Vec<usize> = put.poles(block).map(|(_, pole)| kind(pole)).collect();
        let shape = self.firsts.iter().position(|known| *known == kinds).unwrap_or(0);
        (put.at.row * self.n_columns + put.at.column) * self.shapes.len() + shape
    }

    /// What may stand in a column below a state: nothing, what pays to begin there, or what goes on.
    fn after(&self, state: usize, begins: &[Begin], mut take: impl FnMut(Begin)) {
        if state == 0 {
            take(Begin { slot: NOTHING, cost: 0, kind: 0, next: 0 });
            begins.iter().copied().for_each(take);
        } else {
            let (kind, next) = self.states[state];
            take(Begin { slot: NOTHING, cost: 0, kind, next });
        }
    }

    /// The cheapest filling where each slot costs so much to begin.
    pub(crate) fn fill(&self, starts: &[i64]) -> Fill {
        let (n, n_kinds) = (self.states.len(), self.kinds.len());
        let mut begins = Vec::with_capacity(starts.len());
        let mut firsts = Vec::with_capacity(2 * self.n_rows + 1);
        for row in 0..self.n_rows {
            for column in 0..2 {
                firsts.push(begins.len());
                if column < self.n_columns {
                    let first = (row * self.n_columns + column) * self.shapes.len();
                    for (shape, &(kind, next)) in self.shapes.iter().enumerate() {
                        let cost = starts[first + shape];
                        if cost < 0 {
                            begins.push(Begin { slot: (first + shape) as u32, cost, kind, next });
                        }
                    }
                }
            }
        }
        firsts.push(begins.len());
        let list = |at: usize| &begins[firsts[at]..firsts[at + 1]];
        let mut down = vec![NEVER; (self.n_rows + 1) * n * n];
        let mut steps = vec![(0, NOTHING, NOTHING); (self.n_rows + 1) * n * n];
        down[0] = 0;
        for row in 0..self.n_rows {
            for pair in 0..n * n {
                let here = down[row * n * n + pair];
                if NEVER <= here {
                    continue;
                }
                self.after(pair / n, list(2 * row), |left| {
                    self.after(pair % n, list(2 * row + 1), |right| {
                        let cost =
                            here + left.cost + right.cost + self.beside[left.kind * n_kinds + right.kind];
                        let to = (row + 1) * n * n + left.next * n + right.next;
                        if cost < down[to] {
                            down[to] = cost;
                            steps[to] = (pair as u32, left.slot, right.slot);
                        }
                    });
                });
            }
        }
        Fill { least: down[self.n_rows * n * n], down, steps, begins, firsts }
    }

    /// Slots that the cheapest filling uses.
    pub(crate) fn used(&self, fill: &Fill) -> Vec<usize> {
        let n = self.states.len();
        let (mut used, mut pair) = (Vec::new(), 0);
        for row in (1..=self.n_rows).rev() {
            let (before, left, right) = fill.steps[row * n * n + pair];
            used.extend([left, right].into_iter().filter(|&slot| slot != NOTHING).map(|slot| slot as usize));
            pair = before as usize;
        }
        used
    }

    /// For each slot what the cheapest filling costs that uses it, without the slot itself.
    pub(crate) fn margins(&self, fill: &Fill, starts: &[i64]) -> Vec<i64> {
        let (n, n_kinds) = (self.states.len(), self.kinds.len());
        let mut up = vec![NEVER; (self.n_rows + 1) * n * n];
        up[self.n_rows * n * n] = 0;
        for row in (0..self.n_rows).rev() {
            for pair in 0..n * n {
                let mut least = NEVER;
                self.after(pair / n, fill.list(2 * row), |left| {
                    self.after(pair % n, fill.list(2 * row + 1), |right| {
                        let rest = up[(row + 1) * n * n + left.next * n + right.next];
                        let beside = self.beside[left.kind * n_kinds + right.kind];
                        least = least.min(rest + left.cost + right.cost + beside);
                    });
                });
                up[row * n * n + pair] = least;
            }
        }
        let mut margins = vec![NEVER; starts.len()];
        for row in 0..self.n_rows {
            for column in 0..self.n_columns {
                for (shape, &(kind, next)) in self.shapes.iter().enumerate() {
                    let slot = (row * self.n_columns + column) * self.shapes.len() + shape;
                    if NEVER <= starts[slot] {
                        continue;
                    }
                    for beside in 0..n {
                        let pair = if column == 0 { beside } else { beside * n };
                        let above = fill.down[row * n * n + pair];
                        if NEVER <= above {
                            continue;
                        }
                        self.after(beside, fill.list(2 * row + 1 - column), |other| {
                            let to = if column == 0 { next * n + other.next } else { other.next * n + next };
                            let cost = above
                                + other.cost
                                + self.beside[kind * n_kinds + other.kind]
                                + up[(row + 1) * n * n + to];
                            margins[slot] = margins[slot].min(cost);
                        });
                    }
                }
            }
        }
        margins
    }
}

/// The place of something in a list, to which it is added where it is not in it.
fn index_of<T: PartialEq>(list: &mut Vec<T>, one: T) -> usize {
    list.iter().position(|known| *known == one).unwrap_or_else(|| {
        list.push(one);
        list.len() - 1
    })
}
