//! From a relaxed layout to a real one, and to a better one by exchanges.

use crate::layout::cost::bill;
use crate::layout::option::Put;
use crate::layout::relax::{Frame, Open, Relaxed};
use crate::layout::wish::Place;

/// Rounds of exchanges.
const ROUNDS: usize = 12;

/// Puts the blocks of several poles as near as can be to where their poles went, then fills in the rest.
pub(crate) fn complete(frame: &Frame<'_>, open: &Open, relaxed: &Relaxed) -> Option<Vec<Put>> {
    let (wish, board) = (frame.wish, &frame.wish.board);
    let mut taken = vec![false; board.n_rows * board.n_columns];
    let mut all: Vec<Option<Put>> = vec![None; open.len()];
    let mut firsts = Vec::with_capacity(open.len());
    let mut first = 0;
    for block in &wish.blocks {
        firsts.push(first);
        first += block.poles.len();
    }
    let mut order: Vec<usize> = (0..open.len()).collect();
    // Fewest ways first, then the tallest.
    order.sort_by_key(|&it| {
        (1 < open[it].len(), std::cmp::Reverse(wish.blocks[it].poles.len()), open[it].len())
    });
    for it in order {
        let block = &wish.blocks[it];
        let near = relaxed.places[firsts[it]];
        let far = |put: &Put| put.at.row.abs_diff(near.row) + usize::from(put.at.column != near.column);
        let spot = |place: Place| place.row * board.n_columns + place.column;
        let put = open[it]
            .iter()
            .map(|&index| frame.puts[it][usize::from(index)])
            .filter(|put| put.poles(block).all(|(place, _)| !taken[spot(place)]))
            .min_by_key(|put| (far(put), put.cost))?;
        put.poles(block).for_each(|(place, _)| taken[spot(place)] = true);
        all[it] = Some(put);
    }
    all.into_iter().collect()
}

/// Exchanges two blocks of as many poles, turns one, or moves one and the single poles in its way, as long as it
/// helps.
pub(crate) fn improve(frame: &Frame<'_>, puts: &mut [Put]) {
    let wish = frame.wish;
    let worth = |puts: &[Put]| {
        let bill = bill(wish, puts);
        (bill.n_over, bill.points)
    };
    let find = |it: usize, at: Place| frame.puts[it].iter().filter(move |put| put.at == at);
    let mut now = worth(puts);
    for _ in 0..ROUNDS {
        let before = now;
        for it in 0..puts.len() {
            for other in it + 1..puts.len() {
                if wish.blocks[it].poles.len() != wish.blocks[other].poles.len() {
                    continue;
                }
                let held = (puts[it], puts[other]);
                for one in find(it, held.1.at) {
                    for two in find(other, held.0.at) {
                        let kept = (puts[it], puts[other]);
                        (puts[it], puts[other]) = (*one, *two);
                        let next = worth(puts);
                        if next < now {
                            now = next;
                        } else {
                            (puts[it], puts[other]) = kept;
                        }
                    }
                }
            }
            for way in &frame.puts[it] {
                let kept = puts.to_vec();
                if shift(frame, puts, it, *way) {
                    let next = worth(puts);
                    if next < now {
                        now = next;
                        continue;
                    }
                }
                puts.copy_from_slice(&kept);
            }
        }
        if now == before {
            break;
        }
    }
}

/// Puts a block elsewhere; single poles in its way take the places that it leaves. False where they cannot.
fn shift(frame: &Frame<'_>, puts: &mut [Put], it: usize, way: Put) -> bool {
    let blocks = &frame.wish.blocks;
    let held: Vec<Place> = puts[it].poles(&blocks[it]).map(|(place, _)| place).collect();
    let wanted: Vec<Place> = way.poles(&blocks[it]).map(|(place, _)| place).collect();
    let mut left = held.into_iter().filter(|place| !wanted.contains(place));
    puts[it] = way;
    for other in (0..puts.len()).filter(|&other| other != it) {
        if puts[other].poles(&blocks[other]).all(|(place, _)| !wanted.contains(&place)) {
            continue;
        }
        let back = (blocks[other].poles.len() == 1).then(|| left.next()).flatten();
        let Some(put) = back.and_then(|back| frame.puts[other].iter().find(|put| put.at == back)) else {
            return false;
        };
        puts[other] = *put;
    }
    true
}
