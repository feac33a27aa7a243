//! Transformer, drop, and the earth path.

use super::super::circuit::{Branch, Circuit};
use super::super::solution::Piece;
use super::{Build, NetworkError};
use model::place::Place;
use model::{Leg, System};
use nalgebra::Complex;

/// Unit phasor of a leg's voltage to neutral, exact.
pub(super) fn direction(system: System, leg: Leg) -> Complex<f64> {
    let half_root_3 = 3f64.sqrt() / 2.0;
    match (system, leg) {
        (_, Leg::A) => Complex::new(1.0, 0.0),
        (System::SplitPhase, _) => Complex::new(-1.0, 0.0),
        (_, Leg::B) => Complex::new(-0.5, -half_root_3),
        (_, Leg::C) => Complex::new(-0.5, half_root_3),
    }
}

impl Build<'_> {
    pub(super) fn service(&mut self) -> Result<(), NetworkError> {
        let supply = &self.given.supply;
        for (idx, &leg) in self.system.legs().iter().enumerate() {
            let at_transformer = self.circuit.node();
            let emf_v = direction(self.system, leg) * self.case.source_v;
            let winding = Branch::Impedance { ohm: supply.winding, emf_v };
            let branch = self.circuit.connect(Circuit::REFERENCE, at_transformer, winding);
            self.pieces.insert(Piece::Winding(leg), branch);
            let at_service = self.circuit.node();
            self.service_legs.insert(leg, at_service);
            let drop = supply.drop_legs.get(idx).copied();
            let drop = drop.ok_or_else(|| super::missing(&Piece::DropLeg(leg)))?;
            self.put(Piece::DropLeg(leg), at_transformer, at_service, drop);
        }
        self.put(Piece::DropNeutral, self.service_neutral, Circuit::REFERENCE, supply.drop_neutral);

        // The dwelling's electrode is bonded to the neutral bar of the first panel.
        let first = self.installation.panels[0].id.clone();
        let bar = self.place(Place::NeutralBar(first.clone()));
        let earth = self.place(Place::Earth(first));
        let remote = self.circuit.node();
        self.put_ohm(Piece::Bonding, bar, earth, supply.bonding_ohm);
        self.put_ohm(Piece::Electrode, earth, remote, supply.electrode_ohm);
        self.put_ohm(Piece::UtilityElectrode, remote, Circuit::REFERENCE, supply.utility_electrode_ohm);
        for panel in &self.installation.panels[1..] {
            self.places.insert(Place::Earth(panel.id.clone()), earth);
        }
        Ok(())
    }
}
