//! Load states, load currents, and which loads flow through which resistance.

use super::{Load, LoadLaw, Offset, Problem, ResKind, State};
use model::breaker::LoadClass;
use model::job::Exposure;
use model::joint::JointId;
use model::panel::{Feed, Panel};
use model::{FactId, Leg, PanelId, SectionId, Slot, System};
use std::collections::BTreeMap;

/// Feeds deeper than this are taken for a slip in the record and not followed.
const DEEPEST: usize = 8;

impl Problem {
    pub(super) fn build_loads(&mut self) {
        self.build_states();
        let before_of = self.build_history();
        for state in 0..self.states.len() + before_of.len() {
            let mut load_of: BTreeMap<Slot, usize> = BTreeMap::new();
            self.build_loads_of(state, &mut load_of);
            let carry = (0..self.res.len()).map(|res| self.carry_of(res, &load_of)).collect();
            self.carry.push(carry);
        }
    }

    fn build_states(&mut self) {
        let instrument = self.priors.instrument.clone();
        let known: Vec<f64> =
            self.job.load_states.iter().filter_map(|state| state.room.map(|room| room.c())).collect();
        let usual = if known.is_empty() {
            (instrument.unknown_room_c, instrument.unknown_room_k)
        } else {
            (known.iter().sum::<f64>() / known.len() as f64, 2.0)
        };
        for state in self.job.load_states.clone() {
            let (mean, sd) = match state.room {
                Some(room) => (room.c(), instrument.room_k),
                None => {
                    self.note(
                        format!("load state \"{}\"", state.name),
                        format!(
                            "room temperature was not noted; taken as {:.0} ± {:.0} °C",
                            usual.0, usual.1
                        ),
                    );
                    usual
                }
            };
            let room_offset = self.offsets.len();
            self.offsets.push(Offset::normal(format!("room in \"{}\"", state.name), mean, sd));
            self.states.push(State { name: state.name, room_offset });
        }
    }

    fn build_loads_of(&mut self, state: usize, load_of: &mut BTreeMap<Slot, usize>) {
        // Before the record nothing is known: not even that what is off now was off.
        let recorded = self.states.get(state).map(|known| known.name.clone());
        let installation = self.job.installation.clone();
        for (panel, breaker) in installation.breakers() {
            let slots: Vec<Slot> =
                breaker.spaces.iter().map(|&space| Slot::new(panel.id.clone(), space)).collect();
            if installation.sections_fed_by(&slots[0]).any(|(panel, section)| {
                panel
                    .breakers
                    .iter()
                    .any(|inner| inner.spaces.iter().any(|&space| section.holds_row(panel.row_of(space))))
            }) {
                continue;
            }
            let class = breaker.circuit.as_ref().and_then(|circuit| circuit.class);
            let feeds_section = installation.sections_fed_by(&slots[0]).next().is_some();
            let idle = self.job.is_idle(&slots[0], self.states.get(state).map(|known| known.name.as_str()));
            let clamped: Vec<Option<(f64, FactId)>> =
                slots.iter().map(|slot| self.pole_current(recorded.as_ref()?, slot)).collect();
            let heavy = feeds_section || class.is_some_and(LoadClass::is_heavy);
            let mut shared: Option<usize> = None;
            // Poles that were clamped have their own current; the others follow the first one.
            for (slot, clamp) in slots.iter().zip(&clamped) {
                let Some((a, fact)) = clamp else { continue };
                let instrument = &self.priors.instrument;
                let plate = self.job.exposure == Exposure::CoverOn;
                let relative = if plate { instrument.plate_relative } else { instrument.clamp_relative };
                let sd = relative * a.abs() + instrument.clamp_a;
                let law = LoadLaw::Measured { a: a.abs(), sd };
                let idx = self.add_load(state, vec![slot.clone()], law, Some(fact.clone()));
                load_of.insert(slot.clone(), idx);
                shared.get_or_insert(idx);
            }
            for (slot, clamp) in slots.iter().zip(&clamped) {
                if clamp.is_some() {
                    continue;
                }
                let idx = match shared {
                    Some(idx) => {
                        self.loads[idx].slots.push(slot.clone());
                        idx
                    }
                    None => {
                        let law = if idle {
                            LoadLaw::Zero
                        } else {
                            let scale_a = self.driven(state, panel, breaker) * breaker.rating.a();
                            LoadLaw::Unknown { scale_a, heavy }
                        };
                        self.add_load(state, vec![slot.clone()], law, None)
                    }
                };
                load_of.insert(slot.clone(), idx);
                shared.get_or_insert(idx);
            }
        }
    }

    fn add_load(&mut self, state: usize, slots: Vec<Slot>, law: LoadLaw, fact: Option<FactId>) -> usize {
        self.loads.push(Load { state, slots, law, fact });
        self.loads.len() - 1
    }

    /// A first guess of a load current, A.
    pub(crate) fn typical_load(&self, load: &Load) -> f64 {
        match &load.law {
            LoadLaw::Zero => 0.0,
            LoadLaw::Measured { a, .. } => *a,
            LoadLaw::Unknown { scale_a, .. } => 0.12 * scale_a,
        }
    }

    fn carry_of(&self, res: usize, load_of: &BTreeMap<Slot, usize>) -> Vec<(usize, f64)> {
        let installation = &self.job.installation;
        let legs_of = |panel: &PanelId, leg: Leg| {
            installation.panel(panel).map(|panel| self.panel_leg(panel, leg, load_of, 0)).unwrap_or_default()
        };
        match &self.res[res].kind {
            ResKind::Joint(JointId::Stab(slot) | JointId::Terminal(slot))
            | ResKind::Pole(slot)
            | ResKind::Wire(slot) => self.pole_carry(slot, load_of, 0),
            ResKind::Joint(JointId::NeutralTerminal(slot)) => self.pole_carry(slot, load_of, 0),
            ResKind::Joint(JointId::Lug(panel, leg)) | ResKind::Main(panel, leg) => legs_of(panel, *leg),
            ResKind::Joint(JointId::Feeder(panel, section, leg)) => installation
                .panel(panel)
                .map(|panel| self.section_leg(panel, section, *leg, load_of, 0))
                .unwrap_or_default(),
            ResKind::Joint(JointId::NeutralLug(panel)) => self.neutral_of(panel, load_of),
            ResKind::SupplyLeg(leg) => {
                merge(self.service_panels().iter().flat_map(|panel| legs_of(panel, *leg)).collect())
            }
            ResKind::SupplyNeutral => merge(
                self.service_panels().iter().flat_map(|panel| self.neutral_of(panel, load_of)).collect(),
            ),
        }
    }

    fn service_panels(&self) -> Vec<PanelId> {
        self.job
            .installation
            .panels
            .iter()
            .filter(|panel| {
                panel.sections.iter().any(|section| !matches!(section.feed, Feed::Breaker { .. }))
            })
            .map(|panel| panel.id.clone())
            .collect()
    }

    /// Loads through one pole.
    fn pole_carry(&self, slot: &Slot, load_of: &BTreeMap<Slot, usize>, depth: usize) -> Vec<(usize, f64)> {
        if let Some(&load) = load_of.get(slot) {
            return vec![(load, 1.0)];
        }
        let installation = &self.job.installation;
        let Some(panel) = installation.panel(&slot.panel) else { return Vec::new() };
        if depth == DEEPEST {
            return Vec::new();
        }
        let leg = panel.leg_of(slot.space);
        merge(
            installation
                .sections_fed_by(slot)
                .flat_map(|(fed, section)| self.section_leg(fed, &section.id, leg, load_of, depth + 1))
                .collect(),
        )
    }

    /// Loads on one leg of one section.
    fn section_leg(
        &self,
        panel: &Panel,
        section: &SectionId,
        leg: Leg,
        load_of: &BTreeMap<Slot, usize>,
        depth: usize,
    ) -> Vec<(usize, f64)> {
        let Some(section) = panel.section(section) else { return Vec::new() };
        let mut all = Vec::new();
        for breaker in &panel.breakers {
            for &space in &breaker.spaces {
                if section.holds_row(panel.row_of(space)) && panel.leg_of(space) == leg {
                    all.extend(self.pole_carry(&Slot::new(panel.id.clone(), space), load_of, depth));
                }
            }
        }
        merge(all)
    }

    /// Loads on one leg of all sections of a panel that come straight from the service or its feeder.
    fn panel_leg(
        &self,
        panel: &Panel,
        leg: Leg,
        load_of: &BTreeMap<Slot, usize>,
        depth: usize,
    ) -> Vec<(usize, f64)> {
        let outer = panel.sections.iter().filter(|section| match &section.feed {
            Feed::Breaker { slot } => slot.panel != panel.id,
            Feed::ServiceLugs | Feed::MainBreaker { .. } => true,
        });
        merge(outer.flat_map(|section| self.section_leg(panel, &section.id, leg, load_of, depth)).collect())
    }

    /// Loads through the neutral of a split-phase panel: leg A less leg B. Other systems: none, said in a note elsewhere.
    fn neutral_of(&self, id: &PanelId, load_of: &BTreeMap<Slot, usize>) -> Vec<(usize, f64)> {
        let Some(panel) = self.job.installation.panel(id) else { return Vec::new() };
        if panel.system != System::SplitPhase {
            return Vec::new();
        }
        let mut all = self.panel_leg(panel, Leg::A, load_of, 0);
        all.extend(
            self.panel_leg(panel, Leg::B, load_of, 0).into_iter().map(|(load, weight)| (load, -weight)),
        );
        merge(all)
    }
}

fn merge(all: Vec<(usize, f64)>) -> Vec<(usize, f64)> {
    let mut sums: BTreeMap<usize, f64> = BTreeMap::new();
    for (load, weight) in all {
        *sums.entry(load).or_insert(0.0) += weight;
    }
    sums.into_iter().filter(|&(_, weight)| weight != 0.0).collect()
}
