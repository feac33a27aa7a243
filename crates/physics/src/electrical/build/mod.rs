//! The network of an installation, from its description, its resistances and a state of its loads.

mod circuits;
mod panels;
mod service;

use super::circuit::{Branch, BranchIdx, Circuit, CircuitError, NodeIdx};
use super::load::{Case, Draw};
use super::resistances::Resistances;
use super::solution::{Piece, Solution};
use model::installation::Installation;
use model::joint::JointId;
use model::place::Place;
use model::{Leg, Note, PanelId, SectionId, Slot, System};
use nalgebra::Complex;
use std::collections::BTreeMap;

/// Why an installation has no electrical solution.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NetworkError {
    /// The installation has no panel.
    #[error("the installation has no panel, so there is nothing to solve")]
    NoPanel,
    /// A joint, pole or conductor without a resistance.
    #[error("no resistance was given for {0:?}")]
    MissingResistance(Box<Piece>),
    /// A section is fed by a breaker that does not exist, or has too few poles for its legs.
    #[error(
        "section `{section}` of panel `{panel}` is fed from {feed}, where no breaker has a pole for leg {leg}"
    )]
    NoFeed {
        /// Panel.
        panel: PanelId,
        /// Section.
        section: SectionId,
        /// Slot named as its feed.
        feed: Slot,
        /// Leg without a pole.
        leg: Leg,
    },
    /// A load at a slot without a branch circuit.
    #[error("no branch circuit starts at {0}: there is no breaker, or it feeds a section or is a spare")]
    NoCircuit(Slot),
    /// A load to neutral on a circuit without one.
    #[error("the circuit at {0} has no neutral, so no load can be connected to it")]
    NoNeutral(Slot),
    /// A load between a pole and itself.
    #[error("a load at {0} is connected to its own pole")]
    SamePole(Slot),
    /// A load that is no load.
    #[error("load {idx}: {value} {what} cannot be: it must be above zero")]
    BadLoad {
        /// Place in the list.
        idx: usize,
        /// What is wrong.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// The angle of a given current did not settle: the supply is too weak for it.
    #[error("the currents asked for cannot flow: the supply has too much resistance for them")]
    NotSettled,
    /// A load's given current cannot flow: its circuit is open somewhere.
    #[error("load {idx} is said to draw a current, but its circuit is open")]
    OpenCircuit {
        /// Place in the list.
        idx: usize,
    },
    /// The circuit itself.
    #[error(transparent)]
    Circuit(#[from] CircuitError),
}

/// Solves an installation for one state of its loads.
///
/// Topology: transformer, drop, entrance, line lugs, main breakers, bus bars row by row, sections and their feeding
/// breakers, sub-panels, clips, poles, load terminals, branch conductors, loads, neutral terminals and lugs, service
/// neutral, and the earth path in parallel with it. Currents that are given keep their power factor against the
/// voltage they find; this is settled by repetition.
pub fn solve(
    installation: &Installation,
    resistances: &Resistances,
    case: &Case,
) -> Result<Solution, NetworkError> {
    let mut build = Build::new(installation, resistances, case)?;
    build.service()?;
    build.panels()?;
    build.circuits()?;
    build.loads()?;
    build.settle()
}

struct Build<'a> {
    installation: &'a Installation,
    given: &'a Resistances,
    case: &'a Case,
    system: System,
    circuit: Circuit,
    places: BTreeMap<Place, NodeIdx>,
    /// Where the legs leave the drop.
    service_legs: BTreeMap<Leg, NodeIdx>,
    service_neutral: NodeIdx,
    /// Bus bar by panel, row.
    rows: BTreeMap<(PanelId, u16), NodeIdx>,
    load_neutrals: BTreeMap<Slot, NodeIdx>,
    neutral_owner: BTreeMap<Slot, Slot>,
    pieces: BTreeMap<Piece, BranchIdx>,
    notes: Vec<Note>,
}

impl<'a> Build<'a> {
    fn new(
        installation: &'a Installation,
        given: &'a Resistances,
        case: &'a Case,
    ) -> Result<Self, NetworkError> {
        let first = installation.panels.first().ok_or(NetworkError::NoPanel)?;
        let mut circuit = Circuit::new();
        let service_neutral = circuit.node();
        Ok(Build {
            installation,
            given,
            case,
            system: first.system,
            circuit,
            places: BTreeMap::new(),
            service_legs: BTreeMap::new(),
            service_neutral,
            rows: BTreeMap::new(),
            load_neutrals: BTreeMap::new(),
            neutral_owner: BTreeMap::new(),
            pieces: BTreeMap::new(),
            notes: Vec::new(),
        })
    }

    /// The node of a place, made when first asked for.
    fn place(&mut self, place: Place) -> NodeIdx {
        let circuit = &mut self.circuit;
        *self.places.entry(place).or_insert_with(|| circuit.node())
    }

    /// Puts an impedance between two nodes under a name. An infinite resistance leaves them apart.
    fn put(&mut self, piece: Piece, from: NodeIdx, to: NodeIdx, ohm: Complex<f64>) {
        if ohm.re == f64::INFINITY {
            return;
        }
        let branch = Branch::Impedance { ohm, emf_v: Complex::new(0.0, 0.0) };
        let idx = self.circuit.connect(from, to, branch);
        self.pieces.insert(piece, idx);
    }

    fn put_ohm(&mut self, piece: Piece, from: NodeIdx, to: NodeIdx, ohm: f64) {
        self.put(piece, from, to, Complex::new(ohm, 0.0));
    }

    fn put_joint(&mut self, joint: JointId, from: NodeIdx, to: NodeIdx) -> Result<(), NetworkError> {
        let ohm = self.given.joints.get(&joint).copied();
        let piece = Piece::Joint(joint);
        let ohm = ohm.ok_or_else(|| missing(&piece))?;
        self.put_ohm(piece, from, to, ohm);
        Ok(())
    }

    /// Repeats the solution until given currents have the angle of their own voltage.
    fn settle(mut self) -> Result<Solution, NetworkError> {
        const ROUNDS: usize = 60;
        const SETTLED_A: f64 = 1e-12;
        for _ in 0..ROUNDS {
            let solved = self.circuit.solve().map_err(|error| self.name(error))?;
            let mut largest = 0.0f64;
            for (idx, load) in self.case.loads.iter().enumerate() {
                let Draw::Current { a, power_factor } = load.draw else { continue };
                let Some(&branch) = self.pieces.get(&Piece::Load(idx)) else { continue };
                let Some(over) = solved.drop(branch) else { continue };
                let size = over.norm_sqr().sqrt();
                if a == 0.0 || size == 0.0 {
                    continue;
                }
                let wanted = over / size * lagging(power_factor) * a;
                let change = (wanted - solved.current(branch)).norm_sqr().sqrt();
                largest = largest.max(change / a);
                self.circuit.set_current(branch, wanted);
            }
            if largest <= SETTLED_A {
                let Build { places, load_neutrals, neutral_owner, pieces, notes, .. } = self;
                return Ok(Solution { circuit: solved, places, load_neutrals, neutral_owner, pieces, notes });
            }
        }
        Err(NetworkError::NotSettled)
    }

    fn name(&self, error: CircuitError) -> NetworkError {
        let CircuitError::CurrentWithoutPath { branch } = error else { return error.into() };
        let load = self.pieces.iter().find_map(|(piece, &idx)| match piece {
            Piece::Load(load) if idx.is(branch) => Some(*load),
            _ => None,
        });
        load.map_or(NetworkError::Circuit(error), |idx| NetworkError::OpenCircuit { idx })
    }
}

fn missing(piece: &Piece) -> NetworkError {
    NetworkError::MissingResistance(Box::new(piece.clone()))
}

/// Unit phasor of a current behind its voltage.
fn lagging(power_factor: f64) -> Complex<f64> {
    Complex::new(power_factor, -(1.0 - power_factor * power_factor).max(0.0).sqrt())
}
