//! Circuits that are to stay together: the cheapest stretch of rows for a group at given prices of its members' rows.

use crate::layout::relax::{Frame, MILLI, Open, Span};
use crate::layout::rows::NEVER;
use crate::layout::wish::Wish;

/// A group, and where its prices are: one for each member and row.
#[derive(Debug)]
pub(crate) struct Group {
    pub(crate) members: Vec<usize>,
    /// Rows that its poles fill in all columns.
    pub(crate) need: usize,
    pub(crate) first_price: usize,
}

impl Group {
    pub(crate) fn of(wish: &Wish, members: &[usize], first_price: usize) -> Group {
        let poles: usize = members.iter().map(|&it| wish.blocks[it].poles.len()).sum();
        Group { members: members.to_vec(), need: poles.div_ceil(wish.board.n_columns.max(1)), first_price }
    }

    /// For each member the rows in which it may stand.
    pub(crate) fn rows(&self, frame: &Frame<'_>, open: &Open) -> Vec<Vec<usize>> {
        let of = |&it: &usize| {
            let mut rows: Vec<usize> = open.ways[it].iter().map(|&way| frame.put(it, way).at.row).collect();
            rows.sort_unstable();
            rows.dedup();
            rows
        };
        self.members.iter().map(of).collect()
    }

    /// Price of each row of each member, where it may stand there.
    fn costs(&self, n_rows: usize, rows: &[Vec<usize>], prices: &[i64]) -> Vec<i64> {
        let mut costs = vec![NEVER; rows.len() * n_rows];
        for (k, rows) in rows.iter().enumerate() {
            for &row in rows {
                costs[k * n_rows + row] = prices[self.first_price + k * n_rows + row];
            }
        }
        costs
    }

    /// The least that the group costs at these prices, and the rows that it asks of its members; `None` where it has
    /// no place.
    pub(crate) fn cheapest(
        &self,
        wish: &Wish,
        rows: &[Vec<usize>],
        span: Span,
        prices: &[i64],
        asked: &mut Vec<usize>,
    ) -> Option<i64> {
        let (n_rows, n) = (wish.board.n_rows, self.members.len());
        let costs = self.costs(n_rows, rows, prices);
        let size = |k: usize| wish.blocks[self.members[k]].poles.len();
        let lowest: i64 = costs.chunks(n_rows).filter_map(|costs| costs.iter().min()).sum();
        let mut best = (NEVER, 0, 0);
        self.stretches(wish, &costs, span, |cost, top, end, beyond| {
            if cost < best.0 {
                best = (cost, top, end);
            }
            // A longer stretch costs more rows, and no row less than the cheapest.
            lowest + beyond < best.0
        });
        let (cost, top, end) = best;
        if NEVER / 2 < cost {
            return None;
        }
        for k in 0..n {
            let rows = top..=end - size(k);
            asked.push(rows.min_by_key(|row| costs[k * n_rows + row])?);
        }
        Some(cost)
    }

    /// Goes through all stretches within a span with what each costs; and what its rows beyond those needed cost. Longer
    /// ones with the same top are left out where the taker says so.
    fn stretches(
        &self,
        wish: &Wish,
        costs: &[i64],
        span: Span,
        mut take: impl FnMut(i64, usize, usize, i64) -> bool,
    ) {
        let (n_rows, weight) = (wish.board.n_rows, MILLI * wish.weights.apart_row);
        let sizes: Vec<usize> = self.members.iter().map(|&it| wish.blocks[it].poles.len()).collect();
        let mut least = vec![NEVER; sizes.len()];
        for top in span.top.0..=span.top.1.min(n_rows.saturating_sub(1)) {
            least.fill(NEVER);
            for end in top + 1..=span.end.1 {
                for (k, least) in least.iter_mut().enumerate() {
                    if let Some(row) = end.checked_sub(sizes[k]).filter(|row| top <= *row) {
                        *least = (*least).min(costs[k * n_rows + row]);
                    }
                }
                if span.end.0 <= end && top + self.need <= end {
                    let beyond = weight * i64::try_from(end - top - self.need).unwrap_or(NEVER);
                    if !take(least.iter().sum::<i64>() + beyond, top, end, beyond) {
                        break;
                    }
                }
            }
        }
    }

    /// What the group costs more than at least, with each member in each row, and with each first row and each row behind
    /// the last.
    pub(crate) fn margins(&self, wish: &Wish, rows: &[Vec<usize>], span: Span, prices: &[i64]) -> Margins {
        let (n_rows, n) = (wish.board.n_rows, self.members.len());
        let costs = self.costs(n_rows, rows, prices);
        let mut found = Margins {
            rows: vec![NEVER; n * n_rows],
            tops: vec![NEVER; n_rows + 1],
            ends: vec![NEVER; n_rows + 1],
        };
        let size = |k: usize| wish.blocks[self.members[k]].poles.len();
        let mut best = NEVER;
        self.stretches(wish, &costs, span, |cost, top, end, _| {
            if NEVER / 2 < cost {
                return true;
            }
            best = best.min(cost);
            found.tops[top] = found.tops[top].min(cost);
            found.ends[end] = found.ends[end].min(cost);
            for k in 0..n {
                let of = &costs[k * n_rows..(k + 1) * n_rows];
                let inside = &of[top..=end - size(k)];
                let least = inside.iter().min().copied().unwrap_or(NEVER);
                for (margin, own) in found.rows[k * n_rows + top..].iter_mut().zip(inside) {
                    *margin = (*margin).min(cost - least + own);
                }
            }
            true
        });
        for margin in found.rows.iter_mut().chain(&mut found.tops).chain(&mut found.ends) {
            *margin = if NEVER / 2 < *margin { NEVER } else { *margin - best };
        }
        found
    }
}

/// What a group costs more than at least, where something of it is settled.
#[derive(Debug)]
pub(crate) struct Margins {
    /// With a member in a row: one after another.
    pub(crate) rows: Vec<i64>,
    /// With this first row.
    pub(crate) tops: Vec<i64>,
    /// With this row behind the last.
    pub(crate) ends: Vec<i64>,
}
