//! Blocks of the layout from the circuits as known: partners in one piece, reach, groups, locks, new circuits.

use super::demand::{ALL_AT_ONCE, Currents, FOR_HOURS, HEAVY};
use super::{CannotLayOut, LayoutAsk, Member, Origin, deci, list};
use model::breaker::Protection;
use model::job::Job;
use model::panel::Panel;
use model::replacement::Seated;
use model::{Slot, Space};
use remedy::layout::{Block, Pole};
use remedy::reach::{Measures, reach};
use remedy::survey::{KnownCircuit, circuits};
use std::collections::{BTreeMap, BTreeSet};

/// What goes in, as far as the job says.
pub(super) struct Draft {
    pub(super) blocks: Vec<Block>,
    pub(super) circuits: Vec<(Vec<u16>, String)>,
    pub(super) members: Vec<Vec<Member>>,
    pub(super) scenarios: Vec<String>,
    pub(super) groups: Vec<Vec<usize>>,
    pub(super) notes: Vec<String>,
}

impl Draft {
    pub(super) fn of(
        job: &Job,
        panel: &Panel,
        ask: &LayoutAsk,
        currents: &Currents,
        measures: &Measures,
    ) -> Result<Self, CannotLayOut> {
        let known = circuits(job, &panel.id);
        if known.is_empty() {
            return Err(CannotLayOut::NoCircuit(panel.id.clone()));
        }
        let scenarios = currents.scenarios(&known);
        let mut draft = Draft {
            blocks: Vec::new(),
            circuits: Vec::new(),
            members: Vec::new(),
            scenarios,
            groups: Vec::new(),
            notes: left_out(panel, &known),
        };
        let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        let mut seen: BTreeSet<Space> = BTreeSet::new();
        for circuit in &known {
            if !seen.insert(circuit.slot.space) {
                continue;
            }
            let partner = partner(&known, circuit).filter(|other| !seen.contains(&other.slot.space));
            seen.extend(partner.map(|other| other.slot.space));
            let both: Vec<&KnownCircuit> = std::iter::once(circuit).chain(partner).collect();
            for group in both.iter().map(|one| one.together.as_str()).filter(|name| !name.is_empty()) {
                let list = groups.entry(group).or_default();
                if list.last() != Some(&draft.blocks.len()) {
                    list.push(draft.blocks.len());
                }
            }
            draft.add(panel, ask, currents, measures, &both);
        }
        draft.groups = groups.into_values().filter(|group| 1 < group.len()).collect();
        draft.add_new(job, ask);
        draft.note(currents, &known);
        draft.knows_locks(ask)?;
        Ok(draft)
    }

    fn add(
        &mut self,
        panel: &Panel,
        ask: &LayoutAsk,
        currents: &Currents,
        measures: &Measures,
        both: &[&KnownCircuit],
    ) {
        let mut poles = Vec::new();
        for circuit in both {
            let reach = reach(&ask.new, measures, &circuit.conductor);
            let reach: Option<BTreeSet<usize>> = reach.map(|all| all.into_iter().map(usize::from).collect());
            for k in 0..usize::from(circuit.poles) {
                let space = circuit.spaces.get(k).copied();
                poles.push(Pole {
                    rating: deci(circuit.rating.a()),
                    demand: currents.demand(&self.scenarios, circuit, space),
                    continuous: circuit.runs_long(),
                    electronic: !matches!(
                        circuit.device_after(),
                        Protection::ThermalMagnetic | Protection::SwitchOnly
                    ),
                    reach: reach.clone(),
                    old: space.and_then(|space| same_place(panel, ask, space)),
                    half: None,
                });
            }
        }
        let old: Vec<u16> = both.iter().flat_map(|one| &one.spaces).map(|space| space.number).collect();
        let words: Vec<String> = both.iter().map(|one| words(one)).collect();
        let locked = old.first().and_then(|&first| ask.locked(&Origin::Old(first)));
        let names: Vec<String> = both.iter().flat_map(|one| &one.spaces).map(Space::to_string).collect();
        self.blocks.push(Block { id: names.join("/"), poles, turnable: 1 < both.len(), locked, only: None });
        self.circuits.push((old, words.join(" + ")));
        self.members.push(
            both.iter()
                .zip(words)
                .map(|(one, words)| Member {
                    what: Seated::Circuit(one.slot.clone()),
                    n_poles: usize::from(one.poles),
                    words,
                })
                .collect(),
        );
    }

    /// Circuits that are to be added.
    fn add_new(&mut self, job: &Job, ask: &LayoutAsk) {
        let planned = job.premises.site.iter().flat_map(|site| &site.site.new_circuits);
        for one in planned {
            let n_poles = if one.is_120_v { 1 } else { 2 };
            let rating = deci(f64::from(one.amps));
            let demand = self.scenarios.iter().map(|name| if name == ALL_AT_ONCE { rating / 2 } else { 0 });
            let pole = Pole { rating, demand: demand.collect(), ..Pole::default() };
            let id = format!("new: {}", one.name);
            if self.blocks.iter().any(|block| block.id == id) {
                continue;
            }
            self.blocks.push(Block {
                id,
                poles: vec![pole; n_poles],
                turnable: false,
                locked: ask.locked(&Origin::New(one.name.clone())),
                only: None,
            });
            self.circuits.push((Vec::new(), format!("new: {}", one.name)));
            let (what, words) = (Seated::New(one.name.clone()), format!("new: {}", one.name));
            self.members.push(vec![Member { what, n_poles, words }]);
        }
    }

    fn note(&mut self, currents: &Currents, known: &[KnownCircuit]) {
        let first = |all: Vec<&KnownCircuit>| -> Vec<u16> {
            all.into_iter().map(|circuit| circuit.slot.space.number).collect()
        };
        let blind = |circuit: &&KnownCircuit| {
            circuit.conductor.free_length.is_none() || circuit.conductor.entry.is_none()
        };
        let unmeasured = first(known.iter().filter(blind).collect());
        if unmeasured.len() == known.len() {
            self.notes.push("Lengths of the conductors are not on record: no splice is counted. Survey them before the day.".into());
        } else if !unmeasured.is_empty() {
            self.notes.push(format!(
                "Length or side of entry is not known of the circuits in {}: no splice is counted for them.",
                list(&unmeasured)
            ));
        }
        if unmeasured.len() != known.len() {
            self.notes.push("Reach goes by the measures of usual cabinets (judgement) unless the new one was measured; neutral and ground of a cable are not counted apart.".into());
        }
        let unclamped: Vec<u16> = known
            .iter()
            .flat_map(|circuit| circuit.spaces.iter().map(move |space| (circuit, space)))
            .filter(|(circuit, space)| currents.running(circuit, **space).is_none())
            .map(|(_, space)| space.number)
            .collect();
        if !unclamped.is_empty() {
            self.notes.push(format!(
                "No current is known of the poles in {}, or they were read while a heavy load was off: none is counted for them in a load state that was measured, half of their rating in “{ALL_AT_ONCE}” and “{HEAVY}”, four fifths in “{FOR_HOURS}” (judgement).",
                list(&unclamped)
            ));
        }
        if known.iter().any(|circuit| circuit.continuous.is_none()) {
            self.notes.push("Where nobody said so, water heaters, space heat and vehicle chargers count as running for hours.".into());
        }
        let open: Vec<u16> =
            first(known.iter().filter(|one| one.partner.is_none() && one.poles == 1).collect());
        if !open.is_empty() {
            self.notes.push(format!("Whether the circuits in {} share a neutral with another is not known: find out before anything is disconnected.", list(&open)));
        }
        self.notes.push("Arc-fault and ground-fault protection that the new work needs, and the listing of every breaker for the new panel, are not decided here.".into());
    }
}

fn words(circuit: &KnownCircuit) -> String {
    circuit.label().to_owned()
}

fn left_out(panel: &Panel, known: &[KnownCircuit]) -> Vec<String> {
    let is_spare = |slot: &Slot| known.iter().all(|circuit| circuit.slot != *slot);
    let feeds = |slot: &Slot| {
        panel
            .sections
            .iter()
            .any(|one| matches!(&one.feed, model::panel::Feed::Breaker { slot: of } if of == slot))
    };
    panel
        .breakers
        .iter()
        .filter_map(|breaker| breaker.spaces.first().map(|&space| Slot::new(panel.id.clone(), space)))
        .filter(|slot| is_spare(slot) && !feeds(slot))
        .map(|slot| format!("Breaker {} feeds no circuit and is left out.", slot.space))
        .collect()
}

/// The partner of a single-pole circuit, itself single-pole.
fn partner<'a>(known: &'a [KnownCircuit], circuit: &KnownCircuit) -> Option<&'a KnownCircuit> {
    let space = circuit.partner.flatten()?;
    known.iter().find(|other| {
        other.spaces.contains(&space) && other.poles == 1 && circuit.poles == 1 && other.slot != circuit.slot
    })
}

/// The space at the same height in the new panel, where it has one.
fn same_place(panel: &Panel, ask: &LayoutAsk, space: Space) -> Option<usize> {
    let number = match (panel.n_columns, ask.new.n_columns) {
        (2, 2) => space.number,
        (2, _) => panel.row_of(space) + 1,
        (_, 2) => 2 * panel.row_of(space) + 1,
        _ => space.number,
    };
    (number <= ask.new.n_spaces).then(|| usize::from(number))
}
