//! The bound from below: what each circuit is worth, what the legs and the neighbourhoods cost, are prices; at given
//! prices the cheapest filling of the rows is found exactly, and no layout can be cheaper.

use crate::layout::neighbours::Group;
use crate::layout::option::Put;
use crate::layout::rows::{Fill, NEVER, Rows};
use crate::layout::sums::Sums;
use crate::layout::wish::{Block, DeciAmps, Pole, Wish};

/// Points are counted in thousandths here, so that prices can be fractions and the bound stays exact.
pub(crate) const MILLI: i64 = 1_000;

/// What is still open at a node of the search.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Open {
    /// Ways of each block, as indices into its list of puts.
    pub(crate) ways: Vec<Vec<u16>>,
    /// Where each group may begin and end.
    pub(crate) spans: Vec<Span>,
}

/// First row of a group and the row behind its last, each from the least to the most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Span {
    pub(crate) top: (usize, usize),
    pub(crate) end: (usize, usize),
}

/// What follows from what is open alone, whatever the prices.
#[derive(Debug)]
pub(crate) struct Known {
    sums: Sums,
    /// Open ways of each block.
    ways: Vec<Vec<Way>>,
    /// Rows in which the members of each group may stand.
    rows: Vec<Vec<Vec<usize>>>,
}

/// An open way of a block, with what the bound needs of it.
#[derive(Debug, Clone, Copy)]
struct Way {
    way: u16,
    /// Leg of the uppermost pole, twice, and one more where it is turned.
    leg: u16,
    row: u16,
    slot: u32,
    cost: i64,
}

/// What the bound says at given prices.
#[derive(Debug, Clone)]
pub(crate) struct Valued {
    /// No layout within what is open costs less, in thousandths of a point.
    pub(crate) bound: i64,
    /// Ways that the cheapest filling uses: block and way. A block may be there twice or not at all.
    pub(crate) chosen: Vec<(usize, u16)>,
    /// Rows that the groups ask of their members, in the order of the prices.
    pub(crate) asked: Vec<usize>,
    /// Differences of the legs at which they cost least, where that is known.
    differences: Vec<DeciAmps>,
    starts: Vec<i64>,
    fill: Fill,
    /// The bound without the filling.
    constant: i64,
}

/// Wish and all puts, with what the bound needs at hand.
#[derive(Debug)]
pub(crate) struct Frame<'a> {
    pub(crate) wish: &'a Wish,
    pub(crate) puts: Vec<Vec<Put>>,
    pub(crate) pairs: Vec<(usize, usize)>,
    pub(crate) groups: Vec<Group>,
    /// For each block the groups that it belongs to, and its place in each.
    member_of: Vec<Vec<(usize, usize)>>,
    pub(crate) rows: Rows,
    /// Where each put begins, for the filling.
    slots: Vec<Vec<usize>>,
    /// Demand of every pole of a block in each scenario, less what all legs carry alike wherever the block stands.
    pub(crate) net: Vec<Vec<Vec<DeciAmps>>>,
    /// Difference of the legs by each block in each scenario, by leg of its uppermost pole, turned or not; only where
    /// there are two.
    pub(crate) differences: Vec<[Vec<DeciAmps>; 4]>,
    /// Index of the first price of the legs, and of the groups; number of prices.
    pub(crate) first_leg: usize,
    pub(crate) n_prices: usize,
}

impl<'a> Frame<'a> {
    pub(crate) fn new(wish: &'a Wish, puts: Vec<Vec<Put>>) -> Frame<'a> {
        let board = &wish.board;
        let pairs: Vec<(usize, usize)> = (0..board.n_legs)
            .flat_map(|one| (one + 1..board.n_legs).map(move |other| (one, other)))
            .collect();
        let n_scenarios = wish.scenarios.len();
        let net: Vec<_> = wish.blocks.iter().map(|block| net(block, board.n_legs, n_scenarios)).collect();
        let differences =
            net.iter().map(|net| [0, 1, 2, 3].map(|key| difference(net, key, n_scenarios))).collect();
        let rows = Rows::of(wish);
        let slots = wish
            .blocks
            .iter()
            .zip(&puts)
            .map(|(block, puts)| puts.iter().map(|put| rows.slot(block, put)).collect())
            .collect();
        let first_leg = wish.blocks.len();
        let mut n_prices = first_leg + n_scenarios * pairs.len();
        let mut groups = Vec::new();
        for members in &wish.groups {
            if 0 < wish.weights.apart_row && !members.is_empty() {
                groups.push(Group::of(wish, members, n_prices));
                n_prices += members.len() * board.n_rows;
            }
        }
        let mut member_of = vec![Vec::new(); wish.blocks.len()];
        for (g, group) in groups.iter().enumerate() {
            group.members.iter().enumerate().for_each(|(k, &it)| member_of[it].push((g, k)));
        }
        Frame { wish, puts, pairs, groups, member_of, rows, slots, net, differences, first_leg, n_prices }
    }

    pub(crate) fn everything(&self) -> Open {
        let ways = self
            .puts
            .iter()
            .map(|puts| (0..u16::try_from(puts.len()).unwrap_or(u16::MAX)).collect())
            .collect();
        let n_rows = self.wish.board.n_rows;
        let spans =
            self.groups.iter().map(|group| Span { top: (0, n_rows), end: (group.need, n_rows) }).collect();
        Open { ways, spans }
    }

    /// Prices to begin with: each block is worth what its cheapest place costs.
    pub(crate) fn first_prices(&self) -> Vec<i64> {
        let mut prices = vec![0; self.n_prices];
        for (price, puts) in prices.iter_mut().zip(&self.puts) {
            *price = MILLI * puts.iter().map(|put| put.cost).min().unwrap_or(0);
        }
        prices
    }

    pub(crate) fn put(&self, it: usize, way: u16) -> &Put {
        &self.puts[it][usize::from(way)]
    }

    /// Price of the legs for a block by leg of its uppermost pole, turned or not.
    fn priced(&self, it: usize, prices: &[i64]) -> Vec<i64> {
        let n_legs = self.wish.board.n_legs;
        let mut sums = vec![0; 2 * n_legs];
        let net = &self.net[it];
        for (k, pole) in net.iter().enumerate() {
            for (scenario, &demand) in pole.iter().enumerate() {
                if demand == 0 {
                    continue;
                }
                for (pair, &(one, other)) in self.pairs.iter().enumerate() {
                    let worth = prices[self.first_leg + scenario * self.pairs.len() + pair] * demand;
                    for turned in 0..2 {
                        let below = if turned == 1 { net.len() - 1 - k } else { k };
                        for leg in 0..n_legs {
                            let at = (leg + below) % n_legs;
                            sums[2 * leg + turned] += worth * (i64::from(at == one) - i64::from(at == other));
                        }
                    }
                }
            }
        }
        sums
    }

    /// What follows from what is open.
    pub(crate) fn known(&self, open: &Open) -> Known {
        let board = &self.wish.board;
        let small = |number: usize| u16::try_from(number).unwrap_or(u16::MAX);
        let of = |(it, ways): (usize, &Vec<u16>)| {
            let seen = |&way: &u16| {
                let put = self.put(it, way);
                Way {
                    way,
                    leg: small(2 * board.leg(put.at.row) + usize::from(put.turned)),
                    row: small(put.at.row),
                    slot: u32::try_from(self.slots[it][usize::from(way)]).unwrap_or(u32::MAX),
                    cost: MILLI * put.cost,
                }
            };
            ways.iter().map(seen).collect()
        };
        Known {
            sums: Sums::of(self, open),
            ways: open.ways.iter().enumerate().map(of).collect(),
            rows: self.groups.iter().map(|group| group.rows(self, open)).collect(),
        }
    }

    /// Cost of every open way of a block at given prices.
    fn reduced(&self, it: usize, prices: &[i64], known: &Known, mut take: impl FnMut(&Way, i64)) {
        let n_rows = self.wish.board.n_rows;
        let legs = self.priced(it, prices);
        let mut by_row = vec![-prices[it]; n_rows];
        for &(group, k) in &self.member_of[it] {
            let first = self.groups[group].first_price + k * n_rows;
            by_row.iter_mut().zip(&prices[first..]).for_each(|(sum, price)| *sum -= price);
        }
        for way in &known.ways[it] {
            take(way, way.cost + legs[usize::from(way.leg)] + by_row[usize::from(way.row)]);
        }
    }

    /// The bound with given prices; `None` where a group has no place left.
    pub(crate) fn value(&self, open: &Open, known: &Known, prices: &[i64]) -> Option<Valued> {
        let mut starts = vec![NEVER; self.rows.n_slots()];
        let mut who = vec![(0, 0); self.rows.n_slots()];
        for it in 0..known.ways.len() {
            self.reduced(it, prices, known, |way, cost| {
                let slot = way.slot as usize;
                if cost < starts[slot] {
                    starts[slot] = cost;
                    who[slot] = (it, way.way);
                }
            });
        }
        let fill = self.rows.fill(&starts);
        let chosen = self.rows.used(&fill).into_iter().map(|slot| who[slot]).collect();
        let legs = &prices[self.first_leg..self.first_leg + self.wish.scenarios.len() * self.pairs.len()];
        let mut differences = Vec::new();
        let mut constant =
            prices[..self.first_leg].iter().sum::<i64>() + known.sums.cheapest(self, legs, &mut differences);
        let mut asked = Vec::new();
        for ((group, span), rows) in self.groups.iter().zip(&open.spans).zip(&known.rows) {
            constant += group.cheapest(self.wish, rows, *span, prices, &mut asked)?;
        }
        Some(Valued { bound: constant + fill.least, chosen, asked, differences, starts, fill, constant })
    }

    /// The slope of the bound in the prices.
    pub(crate) fn slope(&self, valued: &Valued, prices: &[i64]) -> Vec<i64> {
        let (wish, board) = (self.wish, &self.wish.board);
        let mut slope = vec![0; self.n_prices];
        slope[..self.first_leg].fill(1);
        let mut legs = vec![0; wish.scenarios.len() * board.n_legs];
        for &(it, way) in &valued.chosen {
            slope[it] -= 1;
            let put = self.put(it, way);
            let net = &self.net[it];
            for (k, pole) in net.iter().enumerate() {
                let below = if put.turned { net.len() - 1 - k } else { k };
                for (scenario, demand) in pole.iter().enumerate() {
                    legs[scenario * board.n_legs + board.leg(put.at.row + below)] += demand;
                }
            }
            for &(group, k) in &self.member_of[it] {
                slope[self.groups[group].first_price + k * board.n_rows + put.at.row] -= 1;
            }
        }
        for scenario in 0..wish.scenarios.len() {
            for (k, &(one, other)) in self.pairs.iter().enumerate() {
                let difference: i64 =
                    legs[scenario * board.n_legs + one] - legs[scenario * board.n_legs + other];
                let index = self.first_leg + scenario * self.pairs.len() + k;
                if let Some(cheapest) = valued.differences.get(scenario) {
                    slope[index] = difference - cheapest;
                    continue;
                }
                slope[index] = match prices[index].signum() {
                    0 => difference.signum() * (difference.abs() - wish.weights.tolerance).max(0),
                    sign => difference - sign * wish.weights.tolerance,
                };
            }
        }
        let members = self.groups.iter().flat_map(|group| (0..group.members.len()).map(move |k| (group, k)));
        for ((group, k), row) in members.zip(&valued.asked) {
            slope[group.first_price + k * board.n_rows + row] += 1;
        }
        slope
    }

    /// Strikes the ways with which no layout costs less than `limit`, and the first and last rows of groups.
    pub(crate) fn strike(&self, open: &mut Open, valued: &Valued, prices: &[i64], limit: i64) {
        let known = self.known(open);
        let n_rows = self.wish.board.n_rows;
        let room = MILLI * (limit - 1) - valued.constant;
        let mut apart: Vec<Vec<i64>> = Vec::new();
        for ((group, span), rows) in self.groups.iter().zip(&mut open.spans).zip(&known.rows) {
            let margins = group.margins(self.wish, rows, *span, prices);
            let fits = |margin: i64| valued.fill.least + margin <= room;
            while span.top.0 < span.top.1 && !fits(margins.tops[span.top.0]) {
                span.top.0 += 1;
            }
            while span.top.0 < span.top.1 && !fits(margins.tops[span.top.1]) {
                span.top.1 -= 1;
            }
            while span.end.0 < span.end.1 && !fits(margins.ends[span.end.0]) {
                span.end.0 += 1;
            }
            while span.end.0 < span.end.1 && !fits(margins.ends[span.end.1]) {
                span.end.1 -= 1;
            }
            apart.push(margins.rows);
        }
        let margins = self.rows.margins(&valued.fill, &valued.starts);
        for it in 0..open.ways.len() {
            let mut kept = Vec::with_capacity(open.ways[it].len());
            self.reduced(it, prices, &known, |way, cost| {
                let row = usize::from(way.row);
                let beyond: i64 =
                    self.member_of[it].iter().map(|&(group, k)| apart[group][k * n_rows + row]).sum();
                if margins[way.slot as usize] + cost + beyond <= room {
                    kept.push(way.way);
                }
            });
            open.ways[it] = kept;
        }
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

/// First leg less second, of a block on two legs whose uppermost pole is on leg `key / 2`, turned where `key` is odd.
fn difference(net: &[Vec<DeciAmps>], key: usize, n_scenarios: usize) -> Vec<DeciAmps> {
    let mut sums = vec![0; n_scenarios];
    for (k, pole) in net.iter().enumerate() {
        let below = if key % 2 == 1 { net.len() - 1 - k } else { k };
        let sign = if (key / 2 + below).is_multiple_of(2) { 1 } else { -1 };
        sums.iter_mut().zip(pole).for_each(|(sum, demand)| *sum += sign * demand);
    }
    sums
}
