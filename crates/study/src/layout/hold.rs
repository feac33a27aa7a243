//! Places held for a generator, solar, a surge device: where they usually go, unless somebody names the spaces.

use super::LayoutAsk;
use model::Space;
use model::replacement::{HeldFor, HeldSpaces, PanelEnd};
use std::collections::BTreeSet;

/// The places asked for; `locked` are spaces of circuits whose place is decided. Usual ones are common practice, no source: an interlock for a generator and a surge device with
/// its short leads next to the feed, solar or a battery at the other end; the label of the new panel decides.
pub(super) fn places(ask: &LayoutAsk, locked: BTreeSet<u16>) -> Vec<HeldSpaces> {
    let mut taken: BTreeSet<u16> = locked.into_iter().chain(ask.reserved.clone()).collect();
    let mut all = Vec::new();
    for (held_for, named) in &ask.hold {
        let spaces = if named.is_empty() { usual(ask, *held_for, &taken) } else { named.clone() };
        taken.extend(&spaces);
        let spaces = spaces.into_iter().map(Space::whole).collect();
        all.push(HeldSpaces { spaces, held_for: *held_for });
    }
    all
}

/// Two spaces one below the other in one column: the nearest to their end that are free.
fn usual(ask: &LayoutAsk, held_for: HeldFor, taken: &BTreeSet<u16>) -> Vec<u16> {
    let columns = u16::from(ask.new.n_columns.max(1));
    let rows = ask.new.n_spaces / columns;
    let near_feed = !matches!(held_for, HeldFor::Solar | HeldFor::Spare);
    let from_top = near_feed == (ask.new.fed_at != Some(PanelEnd::Bottom));
    // Generators on the right, where most interlocks slide; the rest on the left.
    let order: Vec<u16> =
        if held_for == HeldFor::Generator { (1..=columns).rev().collect() } else { (1..=columns).collect() };
    let starts: Vec<u16> = (0..rows.saturating_sub(1)).collect();
    let starts: Vec<u16> = if from_top { starts } else { starts.into_iter().rev().collect() };
    for row in starts {
        for &column in &order {
            let pair = [row * columns + column, (row + 1) * columns + column];
            if pair.iter().all(|space| *space <= ask.new.n_spaces && !taken.contains(space)) {
                return pair.to_vec();
            }
        }
    }
    Vec::new()
}
