//! The circuits of a panel laid out in a new one: from the job to the wish, and the layouts under each aim.

use model::breaker::{Breaker, LoadClass, Protection};
use model::evidence::{ClampPlace, Observed};
use model::id::{PanelId, Slot, Space};
use model::job::Job;
use model::panel::{Feed, Panel};
use remedy::layout::{Aim, Block, Board, DeciAmps, Layout, NoLayout, Pole, Wish, aims, lay_out};
use std::collections::{BTreeMap, BTreeSet};

/// Fewest clamp readings that make a load state a scenario.
const CLAMPED: usize = 3;

/// Scenario in which everything runs.
const ALL_AT_ONCE: &str = "everything at once";

/// What is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LayoutAsk {
    /// The panel whose circuits move; `None`: the only one, or the one called `main`.
    pub panel: Option<String>,
    /// Spaces of the new panel.
    pub n_spaces: u16,
    /// Circuits with a place already: old space, new space.
    pub locks: Vec<(u16, u16)>,
    /// New spaces to be kept free.
    pub reserved: BTreeSet<u16>,
    /// Further places kept for breakers of two poles.
    pub spare_pairs: u16,
    /// Largest sum of the ratings on one stab of the new panel, amperes, where its label states one.
    pub stab_limit_a: Option<u16>,
    /// Nodes of the search for each aim.
    pub max_nodes: usize,
}

/// The layouts.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidOut {
    /// The panel whose circuits move.
    pub panel: PanelId,
    /// What went in, with the names of the scenarios.
    pub wish: Wish,
    /// Old spaces and words of each block, in the order of the wish.
    pub circuits: Vec<(Vec<u16>, String)>,
    /// A layout an aim, equal ones left out.
    pub plans: Vec<(Aim, Layout)>,
    /// What is not known or was assumed.
    pub notes: Vec<String>,
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
    /// The data of the aims is wrong.
    #[error("the data of the aims is wrong: {0}")]
    Aims(String),
    /// The wishes exclude one another, or the search found nothing.
    #[error(transparent)]
    Layout(#[from] NoLayout),
}

/// Lays the circuits of a panel out in a new one of `ask.n_spaces` spaces in two columns, fed at the top.
///
/// # Errors
/// See [`CannotLayOut`].
pub fn lay_out_panel(job: &Job, ask: &LayoutAsk) -> Result<LaidOut, CannotLayOut> {
    let panel = panel(job, ask)?;
    let currents = currents(job, panel);
    let mut notes = Vec::new();
    let mut scenarios: Vec<String> = currents
        .states
        .iter()
        .filter(|(_, clamped)| CLAMPED <= clamped.len())
        .map(|(state, _)| state.clone())
        .collect();
    scenarios.push(ALL_AT_ONCE.to_owned());

    let mut blocks = Vec::new();
    let mut circuits = Vec::new();
    let mut unclamped = Vec::new();
    let mut seen = BTreeSet::new();
    for breaker in &panel.breakers {
        let Some(&first) = breaker.spaces.first() else { continue };
        if feeds_a_section(panel, first) || !seen.insert(first) {
            continue;
        }
        if class(breaker) == Some(LoadClass::Spare) || breaker.circuit.is_none() {
            notes.push(format!("Breaker {first} feeds no circuit and is left out."));
            continue;
        }
        let partner = partner(panel, breaker).filter(|other| {
            other.n_poles() == 1 && breaker.n_poles() == 1 && other.spaces.first() != Some(&first)
        });
        let members: Vec<&Breaker> = std::iter::once(breaker).chain(partner).collect();
        seen.extend(partner.and_then(|other| other.spaces.first().copied()));
        let mut poles = Vec::new();
        for member in &members {
            for &space in &member.spaces {
                let known = currents.largest(space);
                if known.is_none() {
                    unclamped.push(space.number);
                }
                let demand = scenarios
                    .iter()
                    .map(|scenario| match scenario.as_str() {
                        ALL_AT_ONCE => known.unwrap_or(deci(member.rating.a()) / 2),
                        state => currents.in_state(state, space).unwrap_or(0),
                    })
                    .collect();
                poles.push(Pole {
                    rating: deci(member.rating.a()),
                    demand,
                    continuous: matches!(
                        class(member),
                        Some(LoadClass::WaterHeater | LoadClass::SpaceHeat | LoadClass::Vehicle)
                    ),
                    electronic: !matches!(
                        member.protection,
                        Protection::ThermalMagnetic | Protection::SwitchOnly
                    ),
                    reach: None,
                    old: same_place(panel, ask, space),
                });
            }
        }
        let old: Vec<u16> =
            members.iter().flat_map(|member| &member.spaces).map(|space| space.number).collect();
        let words: Vec<&str> = members.iter().map(|member| member.feeds_label()).collect();
        let locked =
            ask.locks.iter().find(|(from, _)| old.first() == Some(from)).map(|&(_, to)| usize::from(to));
        let id = members
            .iter()
            .flat_map(|member| &member.spaces)
            .map(Space::to_string)
            .collect::<Vec<_>>()
            .join("/");
        blocks.push(Block { id, poles, turnable: 1 < members.len(), locked });
        circuits.push((old, words.join(" + ")));
    }
    if blocks.is_empty() {
        return Err(CannotLayOut::NoCircuit(panel.id.clone()));
    }
    if let Some(&(from, _)) =
        ask.locks.iter().find(|(from, _)| circuits.iter().all(|(old, _)| old.first() != Some(from)))
    {
        return Err(CannotLayOut::NoSuchCircuit(from));
    }
    notes.push(
        "Lengths of the conductors are not on record: no splice is counted. Measure them before the day."
            .into(),
    );
    if !unclamped.is_empty() {
        notes.push(format!(
            "No current is known of the poles in {}: none is counted for them in a load state, half of their rating in “{ALL_AT_ONCE}” (judgement).",
            list(&unclamped)
        ));
    }
    notes.push("Water heaters, space heat and vehicle chargers count as running for hours.".into());
    notes.push(
        "Arc-fault and ground-fault protection that the new work needs, and the listing of every breaker for the new panel, are not decided here.".into(),
    );

    let board = Board {
        n_rows: usize::from(ask.n_spaces).div_ceil(2),
        n_columns: 2,
        n_legs: panel.system.legs().len(),
        first_leg: 0,
        n_spaces: usize::from(ask.n_spaces),
        fed_at_top: true,
        stab_limit: ask.stab_limit_a.map(|limit| deci(f64::from(limit))),
    };
    let aims = aims().map_err(CannotLayOut::Aims)?;
    let Some(first) = aims.first() else { return Err(CannotLayOut::Aims("it holds none".into())) };
    let mut wish = Wish {
        board,
        blocks,
        reserved: ask.reserved.iter().map(|&space| usize::from(space)).collect(),
        spare_pairs: usize::from(ask.spare_pairs),
        scenarios,
        weights: first.weights.clone(),
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
    Ok(LaidOut { panel: panel.id.clone(), wish, circuits, plans, notes })
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

fn class(breaker: &Breaker) -> Option<LoadClass> {
    breaker.circuit.as_ref().and_then(|circuit| circuit.class)
}

fn feeds_a_section(panel: &Panel, first: Space) -> bool {
    panel.sections.iter().any(
        |section| matches!(&section.feed, Feed::Breaker { slot } if slot.panel == panel.id && slot.space == first),
    )
}

fn partner<'a>(panel: &'a Panel, breaker: &Breaker) -> Option<&'a Breaker> {
    let space = breaker.circuit.as_ref()?.partner?;
    panel.breakers.iter().find(|other| other.spaces.contains(&space))
}

/// The space at the same height in the new panel, where it has one.
fn same_place(panel: &Panel, ask: &LayoutAsk, space: Space) -> Option<usize> {
    let column = panel.column_of(space);
    let number = match (panel.n_columns, column) {
        (2, _) => space.number,
        _ => 2 * panel.row_of(space) + 1,
    };
    (number <= ask.n_spaces).then(|| usize::from(number))
}

fn deci(amps: f64) -> DeciAmps {
    (amps * 10.0).round() as DeciAmps
}

fn list(numbers: &[u16]) -> String {
    numbers.iter().map(u16::to_string).collect::<Vec<_>>().join(", ")
}

/// Clamp readings of a panel: by state, the latest of each pole.
struct Currents {
    states: BTreeMap<String, BTreeMap<Space, DeciAmps>>,
}

impl Currents {
    fn largest(&self, space: Space) -> Option<DeciAmps> {
        self.states.values().filter_map(|state| state.get(&space)).max().copied()
    }

    fn in_state(&self, state: &str, space: Space) -> Option<DeciAmps> {
        self.states.get(state).and_then(|state| state.get(&space)).copied()
    }
}

fn currents(job: &Job, panel: &Panel) -> Currents {
    let mut states: BTreeMap<String, BTreeMap<Space, DeciAmps>> = BTreeMap::new();
    for observation in &job.observations {
        if let Observed::Current(reading) = &observation.what
            && let ClampPlace::Pole(Slot { panel: of, space }) = &reading.place
            && *of == panel.id
        {
            states.entry(reading.state.clone()).or_default().insert(*space, deci(reading.value.a()));
        }
    }
    Currents { states }
}
