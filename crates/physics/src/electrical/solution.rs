//! What a solved installation tells.

use super::circuit::{BranchIdx, CircuitSolution, NodeIdx};
use model::joint::JointId;
use model::place::Place;
use model::{Leg, Note, PanelId, SectionId, Slot, Voltage};
use nalgebra::Complex;
use std::collections::BTreeMap;

/// A piece of the network that carries current.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Piece {
    /// Winding of the transformer.
    Winding(Leg),
    /// Leg of the drop.
    DropLeg(Leg),
    /// Neutral of the drop.
    DropNeutral,
    /// Leg of the entrance conductors of a panel; current into the panel.
    EntranceLeg(PanelId, Leg),
    /// Neutral of the entrance conductors of a panel; current out of the panel.
    EntranceNeutral(PanelId),
    /// A joint.
    Joint(JointId),
    /// A breaker pole.
    Pole(Slot),
    /// A pole of a main breaker.
    MainPole(PanelId, SectionId, Leg),
    /// Bus bar of a leg that ends at a row, from the row nearer the feed.
    Bar(PanelId, Leg, u16),
    /// Feeder conductor of a section.
    FeederLeg(PanelId, SectionId, Leg),
    /// Feeder neutral of a panel.
    FeederNeutral(PanelId),
    /// Branch conductor of a pole.
    BranchLeg(Slot),
    /// Branch neutral of the circuit whose first pole is in this slot.
    BranchNeutral(Slot),
    /// A load, by its place in the list of the case.
    Load(usize),
    /// Bonding jumper between neutral bar and electrode conductor.
    Bonding,
    /// Grounding electrode of the dwelling.
    Electrode,
    /// Grounds of the utility.
    UtilityElectrode,
}

/// Current, drop and heat of a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flow {
    /// Current, A rms, from the source's side to the load's side; of neutrals, back to the source.
    pub current_a: Complex<f64>,
    /// Voltage over it in the same direction, V rms.
    pub drop_v: Complex<f64>,
    /// Heat (or work of a load), W.
    pub heat_w: f64,
}

/// A solved installation.
#[derive(Debug, Clone)]
pub struct Solution {
    pub(super) circuit: CircuitSolution,
    pub(super) places: BTreeMap<Place, NodeIdx>,
    pub(super) load_neutrals: BTreeMap<Slot, NodeIdx>,
    pub(super) neutral_owner: BTreeMap<Slot, Slot>,
    pub(super) pieces: BTreeMap<Piece, BranchIdx>,
    /// Remarks on how it was built.
    pub notes: Vec<Note>,
}

impl Solution {
    /// Voltage of a place against the transformer's neutral, V rms; `None` where the place is no conductor of the
    /// network or hangs apart from the supply.
    pub fn voltage(&self, place: &Place) -> Option<Complex<f64>> {
        self.circuit.voltage(*self.places.get(place)?)
    }

    /// Voltage between two places as a meter shows it.
    ///
    /// ```text
    /// U = |V_from − V_to|
    /// ```
    ///
    /// | symbol | here         | meaning              | unit |
    /// |--------|--------------|----------------------|------|
    /// | V      | [`Solution::voltage`] | phasors     | V    |
    ///
    /// - **Source:** Kirchhoff's law.
    /// - **Valid:** sinusoidal steady state. For drops over small resistances take [`Solution::flow`], which does
    ///   not subtract two near voltages.
    /// - **Checked:** `tests/reference/tests/physics/circuit_simulator.rs`.
    pub fn between(&self, from: &Place, to: &Place) -> Option<Voltage> {
        let over = self.voltage(from)? - self.voltage(to)?;
        Some(Voltage::from_v(over.norm_sqr().sqrt()))
    }

    /// Voltage at the load of a pole against its circuit's neutral, as a meter shows it there.
    pub fn at_load(&self, slot: &Slot) -> Option<Voltage> {
        let owner = self.neutral_owner.get(slot)?;
        let hot = self.voltage(&Place::Receptacle(slot.clone()))?;
        let neutral = self.circuit.voltage(*self.load_neutrals.get(owner)?)?;
        Some(Voltage::from_v((hot - neutral).norm_sqr().sqrt()))
    }

    /// Current, drop and heat of a piece; `None` where the network has no such piece or it is open.
    pub fn flow(&self, piece: &Piece) -> Option<Flow> {
        let &branch = self.pieces.get(piece)?;
        Some(Flow {
            current_a: self.circuit.current(branch),
            drop_v: self.circuit.drop(branch)?,
            heat_w: self.circuit.consumed_w(branch),
        })
    }

    /// Current, drop and heat of a joint. Partners of a multiwire circuit share one neutral terminal: both give it.
    pub fn joint(&self, joint: &JointId) -> Option<Flow> {
        if let JointId::NeutralTerminal(slot) = joint {
            let owner = self.neutral_owner.get(slot)?;
            return self.flow(&Piece::Joint(JointId::NeutralTerminal(owner.clone())));
        }
        self.flow(&Piece::Joint(joint.clone()))
    }

    /// Every joint of the network with its flow; a shared neutral terminal once.
    pub fn joints(&self) -> impl Iterator<Item = (&JointId, Flow)> {
        self.pieces.keys().filter_map(|piece| match piece {
            Piece::Joint(joint) => Some((joint, self.flow(piece)?)),
            _ => None,
        })
    }

    /// Every piece of the network with its flow.
    pub fn pieces(&self) -> impl Iterator<Item = (&Piece, Flow)> {
        self.pieces.keys().filter_map(|piece| Some((piece, self.flow(piece)?)))
    }

    /// Current in the line of a leg into a panel: its line lug, or its feeder joints where a breaker feeds it.
    pub fn leg_current(&self, panel: &PanelId, leg: Leg) -> Complex<f64> {
        if let Some(flow) = self.flow(&Piece::EntranceLeg(panel.clone(), leg)) {
            return flow.current_a;
        }
        self.pieces()
            .filter(|(piece, _)| matches!(piece, Piece::FeederLeg(p, _, l) if p == panel && *l == leg))
            .map(|(_, flow)| flow.current_a)
            .sum()
    }

    /// Current in the neutral lug of a panel, out of the panel.
    pub fn neutral_current(&self, panel: &PanelId) -> Complex<f64> {
        self.joint(&JointId::NeutralLug(panel.clone())).map_or(Complex::new(0.0, 0.0), |flow| flow.current_a)
    }

    /// Current through the grounding electrode, out of the dwelling.
    pub fn earth_current(&self) -> Complex<f64> {
        self.flow(&Piece::Electrode).map_or(Complex::new(0.0, 0.0), |flow| flow.current_a)
    }

    /// Active power given by the supply and consumed by all pieces, W.
    pub fn balance_w(&self) -> (f64, f64) {
        self.circuit.balance_w()
    }
}
