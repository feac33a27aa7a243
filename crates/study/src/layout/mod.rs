//! The circuits of a panel laid out in a new one: from the job to the wish, and the layouts under each aim.

mod blocks;
mod chosen;
mod demand;
mod fill;
mod hold;
mod locks;
mod origin;
mod result;
mod share;

pub(crate) use chosen::origin_of_seat;
pub use chosen::{chosen, current_layout, forecasts, moved_seat};
pub use fill::fill_words;
pub use origin::Origin;
pub use result::{CannotLayOut, LaidOut, LayoutAsk, Member};

use result::origin_of;

use blocks::Draft;
use demand::Currents;
use model::id::PanelId;
use model::job::Job;
use model::panel::Panel;
use model::replacement::{HeldFor, NewPanel, PanelEnd};
use remedy::layout::{Aim, Board, DeciAmps, Layout, Wish, aims, lay_out};
use remedy::reach::Measures;

impl LayoutAsk {
    /// A new panel of so many spaces in two columns, fed at the top, nothing decided yet.
    pub fn of_spaces(n_spaces: u16) -> Self {
        LayoutAsk {
            panel: None,
            new: NewPanel::of_spaces(n_spaces),
            locks: Vec::new(),
            reserved: std::collections::BTreeSet::new(),
            hold: Vec::new(),
            share: Vec::new(),
            spare_pairs: 1,
            max_nodes: 4000,
        }
    }

    /// The space that was decided for a circuit.
    pub fn locked(&self, origin: &Origin) -> Option<usize> {
        self.locks.iter().find(|(from, _)| from == origin).map(|&(_, to)| usize::from(to))
    }
}

/// Lays the circuits of a panel out in a new one.
///
/// # Errors
/// See [`CannotLayOut`].
pub fn lay_out_panel(job: &Job, ask: &LayoutAsk) -> Result<LaidOut, CannotLayOut> {
    let panel = panel(job, ask)?;
    let measures = Measures::standard().map_err(CannotLayOut::Aims)?;
    let currents = Currents::of(job, panel);
    let mut draft = Draft::of(job, panel, ask, &currents, &measures)?;
    let held = hold::places(ask, draft.locked_spaces(usize::from(ask.new.n_columns.max(1))));
    let known = remedy::survey::circuits(job, &panel.id);
    let kept: std::collections::BTreeSet<u16> = held
        .iter()
        .flat_map(|held| &held.spaces)
        .map(|space| space.number)
        .chain(ask.reserved.iter().copied())
        .collect();
    draft.share(ask, &known, kept.len())?;
    let new = &ask.new;
    let board = Board {
        n_rows: usize::from(new.n_spaces).div_ceil(usize::from(new.n_columns.max(1))),
        n_columns: usize::from(new.n_columns.max(1)),
        n_legs: panel.system.legs().len(),
        first_leg: panel.system.legs().iter().position(|&leg| leg == new.first_leg).unwrap_or(0),
        n_spaces: usize::from(new.n_spaces),
        fed_at_top: new.fed_at != Some(PanelEnd::Bottom),
        stab_limit: new.stab_limit.map(|limit| deci(limit.a())),
    };
    draft.places_locks(&board, &held)?;
    let aims = aims().map_err(CannotLayOut::Aims)?;
    let Some(first) = aims.first() else { return Err(CannotLayOut::Aims("it holds none".into())) };
    let held_numbers = held.iter().flat_map(|held| &held.spaces).map(|space| usize::from(space.number));
    let mut wish = Wish {
        board,
        blocks: draft.blocks,
        reserved: ask.reserved.iter().map(|&space| usize::from(space)).chain(held_numbers).collect(),
        spare_pairs: usize::from(ask.spare_pairs),
        scenarios: draft.scenarios,
        weights: first.weights.clone(),
        groups: draft.groups,
    };
    let mut plans: Vec<(Aim, Layout)> = Vec::new();
    for aim in aims {
        wish.weights = aim.weights.clone();
        let layout = lay_out(&wish, ask.max_nodes)?;
        let places =
            |layout: &Layout| layout.seats.iter().map(|seat| seat.spaces.clone()).collect::<Vec<_>>();
        if plans.iter().all(|(_, other)| places(other) != places(&layout)) {
            plans.push((aim, layout));
        }
    }
    wish.weights = plans[0].0.weights.clone();
    let mut laid_out = LaidOut {
        panel: panel.id.clone(),
        new: new.clone(),
        wish,
        circuits: draft.circuits,
        members: draft.members,
        plans,
        held,
        fills: Vec::new(),
        notes: draft.notes,
    };
    let (fills, n_assumed) = fill::fills(&laid_out, &known, &measures);
    laid_out.fills = fills;
    if 0 < n_assumed {
        laid_out.notes.push(format!(
            "The size of {n_assumed} conductors is not known: for the fill of the cabinet the usual one of the rating is taken."
        ));
    }
    Ok(laid_out)
}

fn panel<'a>(job: &'a Job, ask: &LayoutAsk) -> Result<&'a Panel, CannotLayOut> {
    let panels = &job.installation.panels;
    let wanted = ask.panel.as_deref().or_else(|| job.default_panel.as_ref().map(PanelId::as_str));
    match wanted {
        Some(name) => panels
            .iter()
            .find(|panel| panel.id.as_str() == name)
            .ok_or_else(|| CannotLayOut::NoPanel(name.to_owned())),
        None => panels.first().ok_or_else(|| CannotLayOut::NoPanel("main".into())),
    }
}

/// What a place is held for, in a sentence.
fn held_for_words(held_for: HeldFor) -> &'static str {
    match held_for {
        HeldFor::Generator => "a generator",
        HeldFor::Solar => "solar or a battery",
        HeldFor::Surge => "a surge device",
        HeldFor::Spare => "a spare breaker",
        HeldFor::Other => "something else",
    }
}

fn deci(amps: f64) -> DeciAmps {
    (amps * 10.0).round() as DeciAmps
}

fn list(numbers: &[u16]) -> String {
    numbers.iter().map(u16::to_string).collect::<Vec<_>>().join(", ")
}
