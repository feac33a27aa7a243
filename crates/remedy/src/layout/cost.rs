//! What a finished layout costs, part by part.

use crate::layout::option::{Put, moved_rows, n_splices};
use crate::layout::wish::{Board, DeciAmps, Pole, Wish};

/// Points of a layout by what they are for. The sum is what is made small.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Bill {
    /// Conductors to be spliced.
    pub n_splices: usize,
    /// Difference of the fullest and the emptiest leg in each scenario.
    pub leg_difference: Vec<DeciAmps>,
    /// Rows between the feed and continuous loads, summed.
    pub continuous_rows: i64,
    /// Stabs with two continuous loads.
    pub n_continuous_pairs: i64,
    /// Stabs with two electronic devices.
    pub n_electronic_pairs: i64,
    /// Rows by which circuits move, summed.
    pub moved_rows: i64,
    /// Rows between the circuits of the groups, summed.
    pub apart_rows: i64,
    /// Stabs over the limit of the label. Such a layout is never given out.
    pub(crate) n_over: i64,
    /// All points.
    pub points: i64,
}

/// The bill of a layout: one way to put each block.
pub(crate) fn bill(wish: &Wish, puts: &[Put]) -> Bill {
    let (board, weights) = (&wish.board, &wish.weights);
    let mut bill = Bill::default();
    let mut grid: Vec<Option<&Pole>> = vec![None; board.n_rows * board.n_columns];
    for (block, put) in wish.blocks.iter().zip(puts) {
        for (place, pole) in put.poles(block) {
            grid[place.row * board.n_columns + place.column] = Some(pole);
            bill.n_splices += n_splices(board, place, pole);
            if pole.continuous {
                bill.continuous_rows += board.rows_from_feed(place.row);
            }
            bill.moved_rows += moved_rows(board, place, pole);
        }
    }
    let at = |row: usize, column: usize| -> Option<&Pole> {
        (row < board.n_rows && column < board.n_columns)
            .then(|| grid[row * board.n_columns + column])
            .flatten()
    };
    for row in 0..board.n_rows {
        for column in 0..board.n_columns {
            let Some(pole) = at(row, column) else { continue };
            if let Some(right) = at(row, column + 1) {
                bill.n_continuous_pairs += i64::from(pole.continuous && right.continuous);
                bill.n_electronic_pairs += i64::from(pole.electronic && right.electronic);
                bill.n_over +=
                    i64::from(board.stab_limit.is_some_and(|most| most < pole.rating + right.rating));
            }
        }
    }
    bill.apart_rows = wish.groups.iter().map(|group| apart(wish, puts, group)).sum();
    bill.leg_difference =
        (0..wish.scenarios.len()).map(|scenario| difference(wish, puts, scenario)).collect();
    let excess: i64 =
        bill.leg_difference.iter().map(|difference| (difference - weights.tolerance).max(0)).sum();
    bill.points = weights.splice * i64::try_from(bill.n_splices).unwrap_or(i64::MAX)
        + weights.leg_difference * excess
        + weights.continuous_row * bill.continuous_rows
        + weights.continuous_pair * bill.n_continuous_pairs
        + weights.electronic_pair * bill.n_electronic_pairs
        + weights.moved_row * bill.moved_rows
        + weights.apart_row * bill.apart_rows;
    bill
}

/// Rows from the uppermost to the lowest pole of a group, beyond those that its poles fill in all columns.
fn apart(wish: &Wish, puts: &[Put], group: &[usize]) -> i64 {
    let poles: usize = group.iter().map(|&it| wish.blocks[it].poles.len()).sum();
    let top = group.iter().map(|&it| puts[it].at.row).min().unwrap_or(0);
    let end = group.iter().map(|&it| puts[it].at.row + wish.blocks[it].poles.len()).max().unwrap_or(0);
    let rows = (end - top).saturating_sub(poles.div_ceil(wish.board.n_columns.max(1)));
    i64::try_from(rows).unwrap_or(i64::MAX)
}

/// Currents of the legs in a scenario.
pub(crate) fn legs(wish: &Wish, puts: &[Put], scenario: usize) -> Vec<DeciAmps> {
    let board: &Board = &wish.board;
    let mut legs = vec![0; board.n_legs];
    for (block, put) in wish.blocks.iter().zip(puts) {
        for (place, pole) in put.poles(block) {
            legs[board.leg(place.row)] += pole.demand.get(scenario).copied().unwrap_or(0);
        }
    }
    legs
}

fn difference(wish: &Wish, puts: &[Put], scenario: usize) -> DeciAmps {
    let legs = legs(wish, puts, scenario);
    legs.iter().max().unwrap_or(&0) - legs.iter().min().unwrap_or(&0)
}
