//! Why a block sits where it sits: what the cheapest exchange would cost that puts it elsewhere.

use crate::layout::cost::{Bill, bill};
use crate::layout::option::Put;
use crate::layout::relax::Frame;

/// The cheapest single exchange.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exchange {
    /// Space that its first pole would have.
    pub space: usize,
    /// The block that it would change places with; `None`: the place is free.
    pub with: Option<String>,
    /// The bill after it.
    pub bill: Bill,
    /// Points more than now; none less, or it would have been done.
    pub more: i64,
}

/// The cheapest exchange of a block with another of as many poles, or with free spaces.
pub(crate) fn next(frame: &Frame<'_>, puts: &[Put], it: usize) -> Option<Exchange> {
    let wish = frame.wish;
    let now = bill(wish, puts).points;
    let mut best: Option<Exchange> = None;
    let mut take = |trial: &[Put], with: Option<usize>| {
        let bill = bill(wish, trial);
        let more = bill.points - now;
        if bill.n_over == 0 && best.as_ref().is_none_or(|best| more < best.more) {
            let with = with.map(|other| wish.blocks[other].id.clone());
            best = Some(Exchange { space: wish.board.number(trial[it].at), with, bill, more });
        }
    };
    let mut trial = puts.to_vec();
    for way in frame.puts[it].iter().filter(|way| way.at != puts[it].at) {
        trial[it] = *way;
        let mut in_way = (0..puts.len()).filter(|&other| {
            other != it
                && puts[other]
                    .poles(&wish.blocks[other])
                    .any(|(held, _)| way.poles(&wish.blocks[it]).any(|(place, _)| place == held))
        });
        match (in_way.next(), in_way.next()) {
            (None, _) => take(&trial, None),
            (Some(other), None)
                if puts[other].at == way.at
                    && wish.blocks[other].poles.len() == wish.blocks[it].poles.len() =>
            {
                for back in frame.puts[other].iter().filter(|back| back.at == puts[it].at) {
                    trial[other] = *back;
                    take(&trial, Some(other));
                }
                trial[other] = puts[other];
            }
            _ => {}
        }
    }
    best
}
