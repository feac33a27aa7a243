//! When no layout meets all wishes: a smallest set of wishes that cannot be met together.

use crate::layout::search::{Missing, search, unweighed};
use crate::layout::wish::{DeciAmps, Wish};
use std::fmt;

/// Nodes for each question whether a set of wishes can be met.
const NODES: usize = 4_000;

/// Up to this many wishes every set of two and three is tried, so that the set is a smallest one; beyond, one that
/// cannot be made smaller.
const FEW: usize = 24;

/// A wish that can be given up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Want {
    /// This block at this space.
    Locked {
        /// The block.
        id: String,
        /// Space of its first pole.
        space: usize,
    },
    /// This space kept free.
    Reserved(usize),
    /// So many further places for two poles.
    SparePairs(usize),
    /// The limit of a stab.
    StabLimit(DeciAmps),
}

/// How names of circuits begin that are added.
const NEW: &str = "new: ";

impl fmt::Display for Want {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Want::Locked { id, space } if id.starts_with(NEW) => {
                write!(f, "the new circuit {} into space {space}", id.trim_start_matches(NEW))
            }
            Want::Locked { id, space } => write!(f, "the circuit of {id} into space {space}"),
            Want::Reserved(space) => write!(f, "space {space} kept free"),
            Want::SparePairs(1) => write!(f, "a further place for two poles"),
            Want::SparePairs(n) => write!(f, "{n} further places for two poles"),
            Want::StabLimit(limit) => write!(f, "at most {:.1} A on one stab", *limit as f64 / 10.0),
        }
    }
}

/// Why these wishes, which cannot be met together, leave no layout.
pub(super) fn conflict_words(wants: &[Want]) -> String {
    if wants.is_empty() {
        return "the circuits do not fit into so few spaces, whatever is given up".to_owned();
    }
    let words: Vec<String> = wants.iter().map(Want::to_string).collect();
    format!("these wishes cannot be met together: {}; give up one of them", words.join("; "))
}

/// All wishes of a wish that can be given up.
fn wants(wish: &Wish) -> Vec<Want> {
    let mut wants: Vec<Want> = wish
        .blocks
        .iter()
        .filter_map(|block| block.locked.map(|space| Want::Locked { id: block.id.clone(), space }))
        .collect();
    wants.extend(wish.reserved.iter().map(|&space| Want::Reserved(space)));
    if 0 < wish.spare_pairs {
        wants.push(Want::SparePairs(wish.spare_pairs));
    }
    wants.extend(wish.board.stab_limit.map(Want::StabLimit));
    wants
}

/// A smallest set of wishes that cannot be met together. Empty: the circuits do not fit whatever is given up. `None`:
/// it was not found within the work allowed.
pub(crate) fn conflict(wish: &Wish) -> Option<Vec<Want>> {
    let all = wants(wish);
    let cannot = |set: &[&Want]| match search(&only(wish, set), NODES, true) {
        Ok(_) => Some(false),
        Err(Missing::Infeasible) => Some(true),
        Err(Missing::Unknown) => None,
    };
    if cannot(&[])? {
        return Some(Vec::new());
    }
    let own = |set: &[&Want]| set.iter().map(|&want| want.clone()).collect::<Vec<Want>>();
    if all.len() <= FEW {
        for (k, one) in all.iter().enumerate() {
            if cannot(&[one])? {
                return Some(own(&[one]));
            }
            for other in &all[..k] {
                if cannot(&[other, one])? {
                    return Some(own(&[other, one]));
                }
            }
        }
    }
    // Give up one after the other what is not needed for the conflict.
    let mut kept: Vec<&Want> = all.iter().collect();
    let mut at = 0;
    while at < kept.len() {
        let mut fewer = kept.clone();
        fewer.remove(at);
        if cannot(&fewer)? {
            kept = fewer;
        } else {
            at += 1;
        }
    }
    Some(own(&kept))
}

/// The wish with only these wants, and nothing weighed.
fn only(wish: &Wish, set: &[&Want]) -> Wish {
    let mut wish = wish.clone();
    for block in &mut wish.blocks {
        let held = set.iter().any(|want| matches!(want, Want::Locked { id, .. } if *id == block.id));
        block.locked = block.locked.filter(|_| held);
    }
    wish.reserved.retain(|space| set.iter().any(|want| **want == Want::Reserved(*space)));
    wish.spare_pairs =
        set.iter().find_map(|want| if let Want::SparePairs(n) = want { Some(*n) } else { None }).unwrap_or(0);
    wish.board.stab_limit =
        wish.board.stab_limit.filter(|_| set.iter().any(|want| matches!(want, Want::StabLimit(_))));
    unweighed(&wish)
}
