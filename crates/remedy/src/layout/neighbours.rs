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

    /// The least that the group costs at these prices, and the rows that it asks of its members; `None` where it has
    /// no place.
    pub(crate) fn cheapest(
        &self,
        frame: &Frame<'_>,
        open: &Open,
        span: Span,
        prices: &[i64],
        asked: &mut Vec<usize>,
    ) -> Option<i64> {
        let (n_rows, n) = (frame.wish.board.n_rows, self.members.len());
        let weight = MILLI * frame.wish.weights.apart_row;
        // Price of each row of each member, where it may stand there.
        let mut costs = vec![NEVER; n * n_rows];
        for (k, &it) in self.members.iter().enumerate() {
            for &way in &open.ways[it] {
                let row = frame.put(it, way).at.row;
                costs[k * n_rows + row] = prices[self.first_price + k * n_rows + row];
            }
        }
        let size = |k: usize| frame.wish.blocks[self.members[k]].poles.len();
        let mut best = (NEVER, 0, 0);
        let mut least = vec![NEVER; n];
        for top in span.top.0..=span.top.1.min(n_rows.saturating_sub(1)) {
            least.fill(NEVER);
            for end in top + 1..=span.end.1 {
                for (k, least) in least.iter_mut().enumerate() {
                    if let Some(row) = end.checked_sub(size(k)).filter(|row| top <= *row) {
                        *least = (*least).min(costs[k * n_rows + row]);
                    }
                }
                if span.end.0 <= end && top + self.need <= end {
                    let rows = i64::try_from(end - top - self.need).unwrap_or(NEVER);
                    let cost = least.iter().sum::<i64>() + weight * rows;
                    if cost < best.0 {
                        best = (cost, top, end);
                    }
                }
            }
        }
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
}
