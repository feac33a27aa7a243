//! How a node of the search is split so that nothing is lost: a leg, a row, a column, or where a group begins.

use crate::layout::ascend::Climbed;
use crate::layout::option::Put;
use crate::layout::relax::{Frame, Open, Span};

/// Splits that are tried at a node.
const TRIED: usize = 3;

/// The splits of a node that are worth trying, the best guess first.
pub(crate) fn splits(frame: &Frame<'_>, open: &Open, climbed: &Climbed) -> Vec<Vec<Open>> {
    let mut all: Vec<(f64, Vec<Open>)> = Vec::new();
    let share = 1.0 / climbed.last.len().max(1) as f64;
    for it in 0..open.ways.len() {
        if open.ways[it].len() < 2 {
            continue;
        }
        // How the last fillings share the block out.
        let mut shares: Vec<(u16, f64)> = Vec::new();
        for (chosen, _) in &climbed.last {
            for &(_, way) in chosen.iter().filter(|(other, _)| *other == it) {
                match shares.iter_mut().find(|(known, _)| *known == way) {
                    Some((_, sum)) => *sum += share,
                    None => shares.push((way, share)),
                }
            }
        }
        let total: f64 = shares.iter().map(|(_, share)| share).sum::<f64>().max(1e-9);
        let part = |holds: &dyn Fn(&Put) -> bool| {
            let inside: f64 =
                shares.iter().filter(|(way, _)| holds(frame.put(it, *way))).map(|(_, share)| share).sum();
            (inside / total).min(1.0 - inside / total)
        };
        let mut offer = |worth: f64, holds: &dyn Fn(&Put) -> bool| {
            let score = worth * (part(holds) + 1e-3);
            if all.len() < TRIED || all.last().is_some_and(|last| last.0 < score) {
                let halves = halves(frame, open, it, holds);
                if !halves.is_empty() {
                    all.push((score, halves));
                    all.sort_by(|one, other| other.0.total_cmp(&one.0));
                    all.truncate(TRIED);
                }
            }
        };
        let first = frame.put(it, open.ways[it][0]);
        let weight = weight(frame, it);
        if 0.0 < weight {
            let leg = frame.wish.board.leg(first.at.row);
            offer(1.0 + weight, &|put| frame.wish.board.leg(put.at.row) == leg);
            offer(1.0 + weight, &|put| !put.turned);
        }
        offer(1.0, &|put| put.at.column == 0);
        let mean: f64 =
            shares.iter().map(|(way, share)| share / total * frame.put(it, *way).at.row as f64).sum();
        let spread: f64 = shares
            .iter()
            .map(|(way, share)| share / total * (frame.put(it, *way).at.row as f64 - mean).abs())
            .sum();
        offer(0.5 + 0.5 * spread.min(4.0), &|put| (put.at.row as f64) <= mean);
    }
    all.extend(spans(frame, open, climbed));
    all.sort_by(|one, other| other.0.total_cmp(&one.0));
    all.truncate(TRIED);
    if all.is_empty() {
        // Nothing of that divides them: one way of the block with the fewest against the others.
        let loose = (0..open.ways.len()).filter(|&it| 1 < open.ways[it].len());
        if let Some(it) = loose.min_by_key(|&it| open.ways[it].len()) {
            let first = *frame.put(it, open.ways[it][0]);
            all.push((0.0, halves(frame, open, it, &|put| *put == first)));
        }
    }
    all.into_iter().map(|(_, halves)| halves).collect()
}

/// The ways of a block in two; empty where one half would be.
fn halves(frame: &Frame<'_>, open: &Open, it: usize, holds: &dyn Fn(&Put) -> bool) -> Vec<Open> {
    let (left, right): (Vec<u16>, Vec<u16>) =
        open.ways[it].iter().copied().partition(|&way| holds(frame.put(it, way)));
    if left.is_empty() || right.is_empty() {
        return Vec::new();
    }
    let with = |ways: Vec<u16>| {
        let mut child = open.clone();
        child.ways[it] = ways;
        child
    };
    vec![with(left), with(right)]
}

/// Where the groups begin and end, in two.
fn spans(frame: &Frame<'_>, open: &Open, climbed: &Climbed) -> Vec<(f64, Vec<Open>)> {
    let mut all = Vec::new();
    let mut first = 0;
    for (g, group) in frame.groups.iter().enumerate() {
        let n = group.members.len();
        let rows = |asked: &Vec<usize>| asked[first..first + n].to_vec();
        let size = |k: usize| frame.wish.blocks[group.members[k]].poles.len();
        let tops: Vec<usize> =
            climbed.last.iter().map(|(_, asked)| rows(asked).into_iter().min().unwrap_or(0)).collect();
        let end = |asked: &Vec<usize>| rows(asked).iter().enumerate().map(|(k, row)| row + size(k)).max();
        let ends: Vec<usize> = climbed.last.iter().map(|(_, asked)| end(asked).unwrap_or(0)).collect();
        first += n;
        for (is_top, seen) in [(true, tops), (false, ends)] {
            let Span { top, end } = open.spans[g];
            let range = if is_top { top } else { end };
            let mean = seen.iter().sum::<usize>() as f64 / seen.len().max(1) as f64;
            let spread =
                seen.iter().map(|row| (*row as f64 - mean).abs()).sum::<f64>() / seen.len().max(1) as f64;
            let cut = (mean as usize).clamp(range.0, range.1.saturating_sub(1).max(range.0));
            if range.1 <= range.0 {
                continue;
            }
            let worth = spread.min(4.0) * frame.wish.weights.apart_row as f64 / 2.0;
            let with = |range: (usize, usize)| {
                let mut child = open.clone();
                if is_top {
                    child.spans[g].top = range;
                } else {
                    child.spans[g].end = range;
                }
                child
            };
            all.push((worth, vec![with((range.0, cut)), with((cut + 1, range.1))]));
        }
    }
    all
}

/// How much the legs differ by where the block stands, in amperes, as far as a difference counts.
fn weight(frame: &Frame<'_>, it: usize) -> f64 {
    if frame.wish.weights.leg_difference == 0 {
        return 0.0;
    }
    let net = &frame.net[it];
    let of = |scenario: usize| {
        let most = net.iter().map(|pole| pole[scenario]).max().unwrap_or(0);
        let least = if net.len() < 2 { 0 } else { net.iter().map(|pole| pole[scenario]).min().unwrap_or(0) };
        most - least
    };
    (0..frame.wish.scenarios.len()).map(of).sum::<i64>() as f64 / 100.0
}
