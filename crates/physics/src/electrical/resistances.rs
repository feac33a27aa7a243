//! Resistance of every joint, pole and conductor of an installation, as data that a caller may change.

use super::supply::Supply;
use crate::breaker::loss::pole_resistance_prior;
use crate::cited::Cited;
use crate::conductor::{Stranding, dc_resistance};
use crate::material::{Metal as Bulk, material};
use crate::table::{self, Word};
use model::breaker::Attachment;
use model::conductor::{Conductor, Metal, WireSize};
use model::installation::Installation;
use model::joint::{JointId, JointKind, joints};
use model::panel::Feed;
use model::{Current, Leg, Length, Note, PanelId, SectionId, Slot, Temperature};
use std::collections::BTreeMap;

/// Resistances of an installation, Ω. An infinite resistance is an open joint or conductor.
#[derive(Debug, Clone, PartialEq)]
pub struct Resistances {
    /// Every joint of [`joints`].
    pub joints: BTreeMap<JointId, f64>,
    /// Every breaker pole, by its slot, without its joints.
    pub poles: BTreeMap<Slot, f64>,
    /// Poles of main breakers, by panel, section and leg.
    pub main_poles: BTreeMap<(PanelId, SectionId, Leg), f64>,
    /// Bus bar from row to row, by panel.
    pub bus_per_row: BTreeMap<PanelId, f64>,
    /// Feeder conductor of a section fed by a breaker, one way; legs and neutral alike.
    pub feeders: BTreeMap<(PanelId, SectionId), f64>,
    /// Branch conductor of a pole, one way. A circuit's neutral has the same.
    pub branches: BTreeMap<Slot, f64>,
    /// The supply.
    pub supply: Supply,
}

#[derive(Debug, serde::Deserialize)]
struct Row {
    name: String,
    value: f64,
    #[cfg_attr(not(test), expect(dead_code, reason = "printed beside the value; a test reads it"))]
    unit: String,
    standing: Word,
    source: String,
}

/// The table of assumed values.
pub(super) struct Assumed(Vec<Row>);

impl Assumed {
    pub(super) fn read() -> Self {
        Assumed(table::rows(include_str!("../../data/electrical_assumptions.csv")))
    }

    fn cited(&self, name: &str) -> Cited<f64> {
        self.0
            .iter()
            .find(|row| row.name == name)
            .map(|row| Cited::new(row.value, row.standing.cite(&row.source)))
            .expect("a test asks for every name that the code asks for")
    }

    pub(super) fn value(&self, name: &str) -> f64 {
        self.cited(name).value
    }

    pub(super) fn note(&self, subject: &str, what: &str, name: &str) -> Note {
        let Cited { value, cite } = self.cited(name);
        let row = self.0.iter().find(|row| row.name == name);
        let standing = row.map(|row| row.standing.standing());
        let words = standing.map_or(String::new(), |standing| format!(" ({standing})"));
        Note {
            subject: subject.to_owned(),
            text: format!("The {what} is not recorded; {value} was assumed{words}."),
            cite: Some(cite),
        }
    }
}

/// Resistance of a length of wire; size and metal that are not known follow the rating.
pub(super) fn wire_ohm(wire: &Conductor, rating: Option<Current>, length_m: f64, assumed: &Assumed) -> f64 {
    let rating_a = rating.map_or(100.0, Current::a);
    let (usual_size, usual_metal) = match rating_a {
        a if a <= 15.0 => (WireSize::Awg(14), Metal::Copper),
        a if a <= 20.0 => (WireSize::Awg(12), Metal::Copper),
        a if a <= 30.0 => (WireSize::Awg(10), Metal::Copper),
        a if a <= 40.0 => (WireSize::Awg(8), Metal::Copper),
        a if a <= 60.0 => (WireSize::Awg(6), Metal::Copper),
        a if a <= 100.0 => (WireSize::Awg(2), Metal::Aluminium),
        a if a <= 150.0 => (WireSize::Aught(2), Metal::Aluminium),
        _ => (WireSize::Aught(4), Metal::Aluminium),
    };
    let metal = wire.metal.unwrap_or(usual_metal);
    let size = wire.size.unwrap_or(usual_size);
    let stranding = match size {
        WireSize::Awg(gauge) if 10 <= gauge && metal == Metal::Copper => Stranding::Solid,
        _ => Stranding::Stranded,
    };
    let at_c = assumed.value("conductor_temperature");
    let length = Length::from_m(length_m);
    match dc_resistance(size, metal, stranding, length, Temperature::from_c(at_c)) {
        Ok(resistance) => resistance.ohm(),
        Err(_) => {
            // Not in the code's table: from area and resistivity, copper-clad aluminium as aluminium.
            const M2_PER_CIRCULAR_MIL: f64 = 5.067_075e-10;
            let bulk = material(if metal == Metal::Copper { Bulk::Copper } else { Bulk::Aluminium1350 });
            let rho = bulk.resistivity_20c.value * (1.0 + bulk.alpha_20c.value * (at_c - 20.0));
            rho * length_m / (size.circular_mils() * M2_PER_CIRCULAR_MIL)
        }
    }
}

impl Resistances {
    /// Everything sound and as recorded; what the record does not say is assumed, with notes.
    pub fn sound(installation: &Installation) -> (Self, Vec<Note>) {
        let assumed = Assumed::read();
        let mut notes = Vec::new();
        let system = installation.panels.first().map_or(model::System::SplitPhase, |panel| panel.system);
        let supply = Supply::assumed(installation, system, &assumed, &mut notes);
        let mut all = Resistances {
            joints: sound_joints(installation, &assumed),
            poles: BTreeMap::new(),
            main_poles: BTreeMap::new(),
            bus_per_row: BTreeMap::new(),
            feeders: BTreeMap::new(),
            branches: BTreeMap::new(),
            supply,
        };
        for panel in &installation.panels {
            let bulk = match panel.bus.metal {
                Some(Metal::Copper) => Bulk::Copper,
                _ => Bulk::AluminiumBus,
            };
            let rho = material(bulk).resistivity_20c.value;
            let per_row = rho * assumed.value("row_pitch") / assumed.value("bus_area");
            all.bus_per_row.insert(panel.id.clone(), per_row);
            for section in &panel.sections {
                let key = (panel.id.clone(), section.id.clone());
                match &section.feed {
                    Feed::MainBreaker { rating } => {
                        for &leg in panel.system.legs() {
                            all.main_poles.insert((key.0.clone(), key.1.clone(), leg), pole_ohm(*rating));
                        }
                    }
                    Feed::Breaker { slot } => {
                        let name = if slot.panel == panel.id {
                            "section_feeder_length"
                        } else {
                            "panel_feeder_length"
                        };
                        let rating = installation.breaker_at(slot).map(|breaker| breaker.rating);
                        all.feeders
                            .insert(key, wire_ohm(&section.feeder, rating, assumed.value(name), &assumed));
                    }
                    Feed::ServiceLugs => {}
                }
            }
            for breaker in &panel.breakers {
                let empty = Conductor::default();
                let wire = breaker.circuit.as_ref().map_or(&empty, |circuit| &circuit.conductor);
                let branch = wire_ohm(wire, Some(breaker.rating), assumed.value("branch_length"), &assumed);
                for &space in &breaker.spaces {
                    let slot = Slot::new(panel.id.clone(), space);
                    all.poles.insert(slot.clone(), pole_ohm(breaker.rating));
                    all.branches.insert(slot, branch);
                }
            }
        }
        (all, notes)
    }
}

fn pole_ohm(rating: Current) -> f64 {
    let clamped = Current::from_a(rating.a().clamp(1.0, 400.0));
    pole_resistance_prior(clamped).map_or(0.0, |prior| prior.median.ohm())
}

fn sound_joints(installation: &Installation, assumed: &Assumed) -> BTreeMap<JointId, f64> {
    joints(installation)
        .into_iter()
        .map(|joint| {
            let bolted = joint.id.slot().and_then(|slot| installation.breaker_at(slot)).map(|b| b.attachment);
            let name = match (joint.id.kind(), &joint.id) {
                (JointKind::Stab, _) if bolted == Some(Attachment::BoltOn) => "bolted_stab",
                (JointKind::Stab, _) => "stab",
                (JointKind::Lug, _) => "lug",
                (JointKind::Terminal, _) => "terminal",
                (JointKind::Feeder, _) => "feeder",
                (JointKind::Neutral, JointId::NeutralLug(_)) => "neutral_lug",
                (JointKind::Neutral, _) => "neutral_terminal",
            };
            (joint.id, assumed.value(name))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn table_is_whole() {
        let assumed = Assumed::read();
        for row in &assumed.0 {
            assert!(0.0 < row.value && !row.unit.is_empty() && !row.source.is_empty(), "{}", row.name);
        }
        // Every name the code asks for.
        for name in [
            "stab",
            "bolted_stab",
            "lug",
            "terminal",
            "neutral_terminal",
            "neutral_lug",
            "feeder",
            "bus_area",
            "row_pitch",
            "transformer_kva",
            "transformer_impedance",
            "transformer_x_over_r",
            "drop_length",
            "entrance_length",
            "section_feeder_length",
            "panel_feeder_length",
            "branch_length",
            "electrode",
            "utility_electrode",
            "bonding_jumper",
            "conductor_temperature",
        ] {
            assert!(0.0 < assumed.value(name));
        }
    }
}
