//! What is asked of a layout, what comes out, and why there may be none.

use super::Origin;
use model::Space;
use model::id::{Half, PanelId};
use model::replacement::{HeldFor, HeldSpaces, NewPanel, Seated};
use remedy::fill::Gutter;
use remedy::layout::{Aim, Layout, NoLayout, Wish};
use std::collections::BTreeSet;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct LayoutAsk {
    /// The panel whose circuits move; `None`: the only one, or the one called `main`.
    pub panel: Option<String>,
    /// The new panel.
    pub new: NewPanel,
    /// Circuits with a place already, and the first new space of each.
    pub locks: Vec<(Origin, u16)>,
    /// New spaces to be kept free.
    pub reserved: BTreeSet<u16>,
    /// Places held for later devices; without spaces the usual ones.
    pub hold: Vec<(HeldFor, Vec<u16>)>,
    /// Circuits that share a space on half-width breakers: an old space of each.
    pub share: Vec<(u16, u16)>,
    /// Further places kept for breakers of two poles.
    pub spare_pairs: u16,
    /// Nodes of the search for each aim.
    pub max_nodes: usize,
}

/// A breaker of a block.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// What goes in.
    pub what: Seated,
    /// Its poles, in the order of the block.
    pub n_poles: usize,
    /// Words.
    pub words: String,
}

/// The layouts.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidOut {
    /// The panel whose circuits move.
    pub panel: PanelId,
    /// The new panel.
    pub new: NewPanel,
    /// What went in, with the names of the scenarios.
    pub wish: Wish,
    /// Old spaces and words of each block, in the order of the wish.
    pub circuits: Vec<(Vec<u16>, String)>,
    /// Breakers of each block.
    pub members: Vec<Vec<Member>>,
    /// A layout an aim, equal ones left out.
    pub plans: Vec<(Aim, Layout)>,
    /// Places held for later devices.
    pub held: Vec<HeldSpaces>,
    /// The wiring spaces beside the columns at their fullest, by layout.
    pub fills: Vec<Vec<Gutter>>,
    /// What is not known or was assumed.
    pub notes: Vec<String>,
}

/// Which circuit a block is, by its old spaces and its breakers; of partners the first.
pub(super) fn origin_of(old: &[u16], members: &[Member]) -> Option<Origin> {
    match (old.first(), members.first().map(|member| &member.what)) {
        (Some(&first), _) => Some(Origin::Old(first)),
        (None, Some(Seated::New(name))) => Some(Origin::New(name.clone())),
        _ => None,
    }
}

impl LaidOut {
    /// Which circuit a block is; of partners the first.
    pub fn origin(&self, it: usize) -> Option<Origin> {
        origin_of(&self.circuits.get(it)?.0, self.members.get(it)?)
    }

    /// The places of a block in a layout, one for each conductor in the order of its old spaces, and whether it must be
    /// spliced there; halves of a space for two half-width breakers.
    pub fn places(&self, plan: usize, it: usize) -> Vec<(Space, bool)> {
        let Some((_, layout)) = self.plans.get(plan) else { return Vec::new() };
        let seat = &layout.seats[it];
        let halves = self.wish.blocks[it].poles.iter().any(|pole| pole.half.is_some());
        let number = |space: usize| u16::try_from(space).unwrap_or(u16::MAX);
        let half = |idx: usize| halves.then_some(if idx == 0 { Half::Upper } else { Half::Lower });
        let of = |(idx, (&space, &spliced)): (usize, (&usize, &bool))| {
            (Space { number: number(space), half: half(idx) }, spliced)
        };
        seat.spaces.iter().zip(&seat.spliced).enumerate().map(of).collect()
    }
}

/// Why there is none.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CannotLayOut {
    /// No such panel.
    #[error("the record holds no panel `{0}`")]
    NoPanel(String),
    /// Nothing to lay out.
    #[error("panel {0} has no breaker on record that feeds a circuit")]
    NoCircuit(PanelId),
    /// A lock names a space without a circuit.
    #[error("there is no circuit in space {0} to be given a place")]
    NoSuchCircuit(u16),
    /// A lock names a new circuit that is not planned.
    #[error(
        "no new circuit `{0}` is planned: write it under the planned work first, or look how it is spelled there"
    )]
    NoSuchNew(String),
    /// A circuit cannot have the place that was decided for it.
    #[error("{what} cannot go into space {space}: {why}")]
    NotThere {
        /// The circuit.
        what: String,
        /// Space of its first pole.
        space: u16,
        /// Why not.
        why: String,
    },
    /// Somebody asks for half-width breakers where none may go.
    #[error(
        "two circuits in one space need half-width breakers: say where the label of the new panel permits them"
    )]
    NoHalfWidth,
    /// Two circuits that may not share a space.
    #[error("the circuits in {0} and {1} cannot share a space: {2}")]
    CannotShare(u16, u16, &'static str),
    /// The data of the aims or of the cabinet is wrong.
    #[error("the data of the layout is wrong: {0}")]
    Aims(String),
    /// The wishes exclude one another, or the search found nothing.
    #[error(transparent)]
    Layout(#[from] NoLayout),
}
