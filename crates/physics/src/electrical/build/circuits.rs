//! Clips, poles, load terminals, branch conductors, their neutrals, and the loads.

use super::super::circuit::{Branch, NodeIdx};
use super::super::load::{Draw, Load, LoadEnd};
use super::super::solution::Piece;
use super::{Build, NetworkError, lagging, missing};
use model::breaker::{Breaker, LoadClass};
use model::joint::JointId;
use model::panel::Panel;
use model::place::Place;
use model::{Slot, Space};
use nalgebra::Complex;

impl Build<'_> {
    pub(super) fn circuits(&mut self) -> Result<(), NetworkError> {
        let installation = self.installation;
        for (panel, breaker) in installation.breakers() {
            let first = Slot::new(panel.id.clone(), breaker.spaces[0]);
            let branch_circuit = installation.sections_fed_by(&first).next().is_none() && !is_spare(breaker);
            for &space in &breaker.spaces {
                self.pole(panel, space, branch_circuit)?;
            }
            if branch_circuit && uses_neutral(breaker) {
                self.circuit_neutral(panel, breaker, &first)?;
            }
        }
        Ok(())
    }

    fn pole(&mut self, panel: &Panel, space: Space, branch_circuit: bool) -> Result<(), NetworkError> {
        let slot = Slot::new(panel.id.clone(), space);
        let piece = Piece::Pole(slot.clone());
        let row = (panel.id.clone(), panel.row_of(space));
        let bar = *self.rows.get(&row).ok_or_else(|| missing(&piece))?;
        let line_side = self.circuit.node();
        self.put_joint(JointId::Stab(slot.clone()), bar, line_side)?;
        let load_side = self.place(Place::Load(slot.clone()));
        let ohm = self.given.poles.get(&slot).copied().ok_or_else(|| missing(&piece))?;
        let ohm = if self.case.open.contains(&slot) { f64::INFINITY } else { ohm };
        self.put_ohm(piece, line_side, load_side, ohm);
        if branch_circuit {
            let wire = self.place(Place::Wire(slot.clone()));
            self.put_joint(JointId::Terminal(slot.clone()), load_side, wire)?;
            let end = self.place(Place::Receptacle(slot.clone()));
            let piece = Piece::BranchLeg(slot.clone());
            let ohm = self.given.branches.get(&slot).copied().ok_or_else(|| missing(&piece))?;
            self.put_ohm(piece, wire, end, ohm);
        }
        Ok(())
    }

    /// Neutral of a circuit. Partners of a multiwire circuit share one, that of the lower space.
    fn circuit_neutral(
        &mut self,
        panel: &Panel,
        breaker: &Breaker,
        first: &Slot,
    ) -> Result<(), NetworkError> {
        let owner = Slot::new(panel.id.clone(), neutral_owner(panel, breaker));
        for &space in &breaker.spaces {
            self.neutral_owner.insert(Slot::new(panel.id.clone(), space), owner.clone());
        }
        let wire = self.place(Place::NeutralWire(owner.clone()));
        self.places.insert(Place::NeutralWire(first.clone()), wire);
        if self.load_neutrals.contains_key(&owner) {
            return Ok(());
        }
        let end = self.circuit.node();
        self.load_neutrals.insert(owner.clone(), end);
        let piece = Piece::BranchNeutral(owner.clone());
        let ohm = self.given.branches.get(&owner).copied().ok_or_else(|| missing(&piece))?;
        self.put_ohm(piece, end, wire, ohm);
        let bar = self.place(Place::NeutralBar(panel.id.clone()));
        self.put_joint(JointId::NeutralTerminal(owner), wire, bar)
    }

    pub(super) fn loads(&mut self) -> Result<(), NetworkError> {
        let case = self.case;
        for (idx, load) in case.loads.iter().enumerate() {
            let from = self.load_end(&load.from)?;
            let to = match &load.to {
                LoadEnd::Pole(slot) if *slot == load.from => {
                    return Err(NetworkError::SamePole(slot.clone()));
                }
                LoadEnd::Pole(slot) => self.load_end(slot)?,
                LoadEnd::Neutral => {
                    let owner = self.neutral_owner.get(&load.from);
                    let end = owner.and_then(|owner| self.load_neutrals.get(owner)).copied();
                    end.ok_or_else(|| NetworkError::NoNeutral(load.from.clone()))?
                }
            };
            let branch = self.draw(idx, load)?;
            let branch = self.circuit.connect(from, to, branch);
            self.pieces.insert(Piece::Load(idx), branch);
        }
        Ok(())
    }

    fn load_end(&self, slot: &Slot) -> Result<NodeIdx, NetworkError> {
        let end = self.places.get(&Place::Receptacle(slot.clone())).copied();
        end.ok_or_else(|| NetworkError::NoCircuit(slot.clone()))
    }

    fn draw(&self, idx: usize, load: &Load) -> Result<Branch, NetworkError> {
        let bad = |what, value| Err(NetworkError::BadLoad { idx, what, value });
        match load.draw {
            Draw::Impedance { ohm, .. } if !(0.0 < ohm && ohm.is_finite()) => bad("Ω", ohm),
            Draw::Impedance { ohm, reactance_ohm } if reactance_ohm.is_finite() => {
                let emf_v = Complex::new(0.0, 0.0);
                Ok(Branch::Impedance { ohm: Complex::new(ohm, reactance_ohm), emf_v })
            }
            Draw::Impedance { reactance_ohm, .. } => bad("Ω of reactance", reactance_ohm),
            Draw::Current { a, .. } if !(0.0 <= a && a.is_finite()) => bad("A", a),
            Draw::Current { power_factor, .. } if !(0.0 < power_factor && power_factor <= 1.0) => {
                bad("of power factor", power_factor)
            }
            Draw::Current { a, power_factor } => {
                let over = self.unloaded(&load.from)
                    - match &load.to {
                        LoadEnd::Neutral => Complex::new(0.0, 0.0),
                        LoadEnd::Pole(slot) => self.unloaded(slot),
                    };
                let size = over.norm_sqr().sqrt();
                let unit = if size == 0.0 { over } else { over / size };
                Ok(Branch::Current(unit * lagging(power_factor) * a))
            }
        }
    }

    /// Voltage of a pole with nothing drawn, by the name of its leg; a start for the settling.
    fn unloaded(&self, slot: &Slot) -> Complex<f64> {
        let leg = self.installation.panel(&slot.panel).map(|panel| panel.leg_of(slot.space));
        leg.map_or(Complex::new(0.0, 0.0), |leg| super::service::direction(self.system, leg))
    }
}

fn is_spare(breaker: &Breaker) -> bool {
    breaker.circuit.as_ref().is_none_or(|circuit| circuit.class == Some(LoadClass::Spare))
}

fn uses_neutral(breaker: &Breaker) -> bool {
    let circuit = breaker.circuit.as_ref();
    circuit.is_some_and(|circuit| circuit.uses_neutral.unwrap_or(breaker.n_poles() == 1))
}

/// First space of the breaker whose terminal carries the shared neutral: the lowest among partners.
fn neutral_owner(panel: &Panel, breaker: &Breaker) -> Space {
    let partner_of = |breaker: &Breaker| breaker.circuit.as_ref().and_then(|circuit| circuit.partner);
    let named = partner_of(breaker).and_then(|space| panel.breaker_at(space));
    let naming = panel
        .breakers
        .iter()
        .filter(|other| partner_of(other).is_some_and(|space| breaker.spaces.contains(&space)));
    named
        .into_iter()
        .chain(naming)
        .filter(|other| !is_spare(other) && uses_neutral(other))
        .map(|other| other.spaces[0])
        .fold(breaker.spaces[0], Space::min)
}
