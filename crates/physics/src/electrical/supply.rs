//! From the transformer to the service conductors.

use super::resistances::{Assumed, wire_ohm};
use model::installation::Installation;
use model::{Note, System};
use nalgebra::Complex;

/// An impedance, Ω.
pub type Impedance = Complex<f64>;

/// Impedances of the supply. A broken conductor has infinite resistance.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Each half or phase winding of the transformer.
    pub winding: Impedance,
    /// Each leg of the drop or lateral, legs in order of the system.
    pub drop_legs: Vec<Impedance>,
    /// Neutral of the drop or lateral.
    pub drop_neutral: Impedance,
    /// Each leg of the entrance, meter included.
    pub entrance_legs: Vec<Impedance>,
    /// Neutral of the entrance.
    pub entrance_neutral: Impedance,
    /// Grounding electrode of the dwelling to remote earth, Ω.
    pub electrode_ohm: f64,
    /// Grounds of the utility's neutral to remote earth, Ω.
    pub utility_electrode_ohm: f64,
    /// Main bonding jumper between neutral bar and electrode conductor, Ω.
    pub bonding_ohm: f64,
}

impl Supply {
    /// From the record of the service; what it does not say is assumed, with a note each.
    pub(super) fn assumed(
        installation: &Installation,
        system: System,
        assumed: &Assumed,
        notes: &mut Vec<Note>,
    ) -> Self {
        let service = &installation.service;
        let mut take = |known: Option<f64>, name: &'static str, what: &str| {
            known.unwrap_or_else(|| {
                notes.push(assumed.note("service", what, name));
                assumed.value(name)
            })
        };
        let kva = take(service.transformer_kva, "transformer_kva", "rating of the transformer");
        let pct =
            take(service.transformer_impedance_pct, "transformer_impedance", "impedance of the transformer");
        let drop_m = take(service.drop_length.map(|l| l.m()), "drop_length", "length of the drop");
        let entrance_m =
            take(service.entrance_length.map(|l| l.m()), "entrance_length", "length of the entrance");
        let electrode_ohm =
            take(service.electrode.map(|r| r.ohm()), "electrode", "resistance of the electrode");

        // Half of the winding carries half of the voltage, with about half of the impedance. Of three phases, each
        // has a third of the rating at the leg's voltage.
        let leg_v = system.leg_to_neutral_v();
        let size_ohm = match system {
            System::SplitPhase => pct / 100.0 * (2.0 * leg_v) * (2.0 * leg_v) / (kva * 1000.0) / 2.0,
            System::TwoLegsOfWye | System::ThreePhaseWye => {
                pct / 100.0 * 3.0 * leg_v * leg_v / (kva * 1000.0)
            }
        };
        let x_over_r = assumed.value("transformer_x_over_r");
        let r = size_ohm / (1.0 + x_over_r * x_over_r).sqrt();
        let n_legs = system.legs().len();
        let real = |ohm| Complex::new(ohm, 0.0);
        let drop = real(wire_ohm(&service.drop, service.rating, drop_m, assumed));
        let entrance = real(wire_ohm(&service.entrance, service.rating, entrance_m, assumed));
        Supply {
            winding: Complex::new(r, r * x_over_r),
            drop_legs: vec![drop; n_legs],
            drop_neutral: drop,
            entrance_legs: vec![entrance; n_legs],
            entrance_neutral: entrance,
            electrode_ohm,
            utility_electrode_ohm: assumed.value("utility_electrode"),
            bonding_ohm: assumed.value("bonding_jumper"),
        }
    }
}
