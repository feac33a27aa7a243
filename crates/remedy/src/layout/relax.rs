//! A bound from below: every pole goes to a place of its own as cheaply as it can, breakers of several poles may be
//! torn apart, and the difference of the legs is priced instead of counted.

use crate::layout::option::Put;
use crate::layout::wish::{Block, DeciAmps, Place, Pole, Wish};
use pathfinding::kuhn_munkres::kuhn_munkres_min;
use pathfinding::matrix::Matrix;

/// Points are counted in thousandths here, so that prices of the legs can be fractions and the bound stays exact.
pub(crate) const MILLI: i64 = 1_000;

/// Cost of what cannot be. Larger than any layout.
const NEVER: i64 = 1_000_000_000_000;

/// Ways that are still open for each block, as indices into its list of puts.
pub(crate) type Open = Vec<Vec<u16>>;

/// Prices of the leg differences: for each scenario and each pair of legs.
pub(crate) type Prices = Vec<i64>;

/// What the relaxation says.
#[derive(Debug, Clone)]
pub(crate) struct Relaxed {
    /// No layout within the open ways costs less, in thousandths of a point.
    pub(crate) bound: i64,
    /// Place of every pole, in the order of blocks and their poles.
    pub(crate) places: Vec<Place>,
}

/// Wish and all puts, with what the bound needs at hand.
#[derive(Debug)]
pub(crate) struct Frame<'a> {
    pub(crate) wish: &'a Wish,
    pub(crate) puts: Vec<Vec<Put>>,
    pub(crate) pairs: Vec<(usize, usize)>,
    columns: Vec<Place>,
    /// Demand of every pole in each scenario, less what all legs carry alike wherever the block stands: a torn
    /// breaker must not balance the legs.
    net: Vec<Vec<DeciAmps>>,
}

impl<'a> Frame<'a> {
    pub(crate) fn new(wish: &'a Wish, puts: Vec<Vec<Put>>) -> Frame<'a> {
        let board = &wish.board;
        let columns = (1..=board.n_spaces)
            .filter(|number| !wish.reserved.contains(number))
            .filter_map(|number| board.place(number))
            .collect();
        let pairs = (0..board.n_legs)
            .flat_map(|one| (one + 1..board.n_legs).map(move |other| (one, other)))
            .collect();
        let net =
            wish.blocks.iter().flat_map(|block| net(block, board.n_legs, wish.scenarios.len())).collect();
        Frame { wish, puts, pairs, columns, net }
    }

    pub(crate) fn everything(&self) -> Open {
        self.puts.iter().map(|puts| (0..u16::try_from(puts.len()).unwrap_or(u16::MAX)).collect()).collect()
    }

    pub(crate) fn no_prices(&self) -> Prices {
        vec![0; self.wish.scenarios.len() * self.pairs.len()]
    }

    /// Price of a pole on a leg.
    fn priced(&self, pole: usize, leg: usize, prices: &Prices) -> i64 {
        let mut sum = 0;
        for (scenario, &demand) in self.net[pole].iter().enumerate() {
            for (k, &(one, other)) in self.pairs.iter().enumerate() {
                let price = prices[scenario * self.pairs.len() + k];
                sum += price * demand * (i64::from(leg == one) - i64::from(leg == other));
            }
        }
        sum
    }

    /// The bound with given prices; `None` where the poles cannot all be placed.
    pub(crate) fn relax(&self, open: &Open, prices: &Prices) -> Option<Relaxed> {
        let (wish, board) = (self.wish, &self.wish.board);
        let column_of =
            |place: Place| self.columns.binary_search_by_key(&board.number(place), |one| board.number(*one));
        let n_poles: usize = wish.blocks.iter().map(|block| block.poles.len()).sum();
        if self.columns.len() < n_poles {
            return None;
        }
        let fixed = Fixed::of(self, open);
        let mut matrix = Matrix::new(n_poles, self.columns.len(), NEVER);
        let mut first = 0;
        for ((block, puts), open) in wish.blocks.iter().zip(&self.puts).zip(open) {
            let alone = open.len() == 1;
            for &index in open {
                let put = &puts[usize::from(index)];
                let n = block.poles.len();
                for k in 0..n {
                    let place = Place { row: put.at.row + k, column: put.at.column };
                    let pole = if put.turned { n - 1 - k } else { k };
                    let Ok(column) = column_of(place) else { continue };
                    let cell = &mut matrix[(first + pole, column)];
                    if *cell == NEVER {
                        let it = &block.poles[pole];
                        let beside = if alone { 0 } else { fixed.beside(place, it) };
                        *cell = MILLI * (self.own(place, it) + beside)
                            + self.priced(first + pole, board.leg(place.row), prices);
                    }
                }
            }
            first += block.poles.len();
        }
        let (total, columns) = kuhn_munkres_min(&matrix);
        if NEVER / 2 < total {
            return None;
        }
        let tolerance: i64 = prices.iter().map(|price| price.abs()).sum::<i64>() * wish.weights.tolerance;
        Some(Relaxed {
            bound: total - tolerance + MILLI * fixed.pairs,
            places: columns.iter().map(|&column| self.columns[column]).collect(),
        })
    }

    fn own(&self, place: Place, pole: &Pole) -> i64 {
        crate::layout::option::own_cost(self.wish, place, pole)
    }

    /// The slope of the bound in the prices.
    pub(crate) fn slope(&self, relaxed: &Relaxed, prices: &Prices) -> Vec<i64> {
        let wish = self.wish;
        let tolerance = wish.weights.tolerance;
        let mut slope = Vec::with_capacity(prices.len());
        for scenario in 0..wish.scenarios.len() {
            let mut legs = vec![0; wish.board.n_legs];
            for (net, place) in self.net.iter().zip(&relaxed.places) {
                legs[wish.board.leg(place.row)] += net[scenario];
            }
            for (k, &(one, other)) in self.pairs.iter().enumerate() {
                let difference: i64 = legs[one] - legs[other];
                let price = prices[scenario * self.pairs.len() + k];
                slope.push(match price.signum() {
                    0 => difference.signum() * (difference.abs() - tolerance).max(0),
                    sign => difference - sign * tolerance,
                });
            }
        }
        slope
    }

    /// Better prices: some steps up the slope, the best bound kept.
    pub(crate) fn climb(
        &self,
        open: &Open,
        prices: &Prices,
        steps: usize,
        best: i64,
    ) -> Option<(Relaxed, Prices)> {
        let most = MILLI * self.wish.weights.leg_difference;
        let mut prices = prices.clone();
        let mut kept = (self.relax(open, &prices)?, prices.clone());
        let mut now = kept.0.clone();
        let mut length = 1.0;
        for _ in 0..steps {
            if best <= kept.0.bound {
                break;
            }
            let slope = self.slope(&now, &prices);
            let norm: f64 = slope.iter().map(|&one| (one * one) as f64).sum();
            if norm < 1.0 {
                break;
            }
            let step = length * (best - now.bound).max(MILLI) as f64 / norm;
            for (price, slope) in prices.iter_mut().zip(&slope) {
                *price += (step * *slope as f64) as i64;
            }
            for scenario in prices.chunks_mut(self.pairs.len()) {
                let sum: i64 = scenario.iter().map(|price| price.abs()).sum();
                if most < sum {
                    scenario.iter_mut().for_each(|price| *price = *price * most / sum);
                }
            }
            now = self.relax(open, &prices)?;
            if kept.0.bound < now.bound {
                kept = (now.clone(), prices.clone());
            } else {
                length *= 0.7;
            }
        }
        Some(kept)
    }
}

/// Demand of each pole of a block that is not on all legs alike.
fn net(block: &Block, n_legs: usize, n_scenarios: usize) -> Vec<Vec<DeciAmps>> {
    let of = |pole: &Pole, scenario: usize| pole.demand.get(scenario).copied().unwrap_or(0);
    let alike = |scenario: usize| {
        let least = block.poles.iter().map(|pole| of(pole, scenario)).min().unwrap_or(0);
        if block.poles.len() == n_legs { least } else { 0 }
    };
    let less = |pole: &Pole| (0..n_scenarios).map(|scenario| of(pole, scenario) - alike(scenario)).collect();
    block.poles.iter().map(less).collect()
}

/// The blocks that have one way left, as they stand in the panel.
struct Fixed<'a> {
    frame: &'a Frame<'a>,
    grid: Vec<Option<&'a Pole>>,
    /// Points of their pairs.
    pairs: i64,
}

impl<'a> Fixed<'a> {
    fn of(frame: &'a Frame<'a>, open: &Open) -> Fixed<'a> {
        let board = &frame.wish.board;
        let mut fixed = Fixed { frame, grid: vec![None; board.n_rows * board.n_columns], pairs: 0 };
        for ((block, puts), open) in frame.wish.blocks.iter().zip(&frame.puts).zip(open) {
            if let [index] = open[..] {
                for (place, pole) in puts[usize::from(index)].poles(block) {
                    fixed.pairs += fixed.beside(place, pole);
                    fixed.grid[place.row * board.n_columns + place.column] = Some(pole);
                }
            }
        }
        fixed
    }

    /// Points of a pole with the fixed ones around it.
    fn beside(&self, place: Place, pole: &Pole) -> i64 {
        let (board, weights) = (&self.frame.wish.board, &self.frame.wish.weights);
        let at = |row: usize, column: usize| -> Option<&Pole> {
            (row < board.n_rows && column < board.n_columns)
                .then(|| self.grid[row * board.n_columns + column])
                .flatten()
        };
        let mut points = 0;
        if board.n_columns == 2
            && let Some(other) = at(place.row, 1 - place.column)
        {
            points += weights.continuous_pair * i64::from(pole.continuous && other.continuous);
            points += weights.electronic_pair * i64::from(pole.electronic && other.electronic);
        }
        points
    }
}
