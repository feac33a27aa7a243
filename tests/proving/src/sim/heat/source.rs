//! Where heat arises: resistances that carry currents, and constant sources.

use super::network::Node;
use crate::sim::house::SimPanel;
use crate::sim::load::{neutral_currents, section_currents};

/// What sets the current through a resistance.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Carrier {
    Pole(usize),
    /// Bus bar of a section's leg, from this row down.
    Bus {
        section: usize,
        leg: usize,
        from_row: u16,
    },
    /// All of a section's leg.
    Section {
        section: usize,
        leg: usize,
    },
    /// Own neutral of a breaker's circuit.
    Neutral(usize),
    /// Service neutral.
    NeutralMain,
}

/// A resistance that warms one or two nodes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Source {
    pub(crate) carrier: Carrier,
    /// At 20 °C.
    pub(crate) ohm: f64,
    /// Temperature coefficient, 1/K.
    pub(crate) alpha: f64,
    /// A metallic contact cannot hold more than its softening and melting voltage allow; above it the spots
    /// grow and the voltage stays.
    pub(crate) most_v: Option<f64>,
    /// Nodes that take the heat, half each.
    pub(crate) into: [Node; 2],
}

/// Temperature coefficient of copper, aluminium and joints between them, 1/K.
pub(crate) const ALPHA_METAL: f64 = 0.0039;
/// Of a whole pole: bimetal and heater alloys change less.
pub(crate) const ALPHA_POLE: f64 = 0.0015;
/// Voltage that a burnt joint settles at when more is asked of it, volts rms (between softening and melting).
pub(crate) const CONTACT_LIMIT_V: f64 = 0.25;

/// Resistance at a temperature and current, ohms.
pub(crate) fn ohm_at(ohm20: f64, alpha: f64, most_v: Option<f64>, at_c: f64, current_a: f64) -> f64 {
    let ohm = ohm20 * (1.0 + alpha * (at_c - 20.0));
    match most_v {
        Some(most) if ohm * current_a > most => most / current_a,
        _ => ohm,
    }
}

/// Resistance of a joint of `mohm` (at 20 °C) at a temperature and current, ohms.
pub(crate) fn contact_ohm(mohm: f64, at_c: f64, current_a: f64) -> f64 {
    ohm_at(mohm * 1e-3, ALPHA_METAL, Some(CONTACT_LIMIT_V), at_c, current_a)
}

/// Resistance of a pole of `mohm` (at 20 °C) at a temperature, ohms.
pub(crate) fn pole_ohm(mohm: f64, at_c: f64) -> f64 {
    ohm_at(mohm * 1e-3, ALPHA_POLE, None, at_c, 0.0)
}

impl Source {
    /// Mean temperature of its nodes.
    fn at_c(&self, temperature_c: &[f64]) -> f64 {
        0.5 * (temperature_c[self.into[0].0] + temperature_c[self.into[1].0])
    }

    /// Heat at this current, W.
    pub(crate) fn heat_w(&self, temperature_c: &[f64], current_a: f64) -> f64 {
        let ohm = ohm_at(self.ohm, self.alpha, self.most_v, self.at_c(temperature_c), current_a);
        ohm * current_a * current_a
    }
}

/// Current through each source under a load, amperes.
pub(crate) fn carried(panel: &SimPanel, currents: &[f64], sources: &[Source]) -> Vec<f64> {
    let legs: Vec<[f64; 2]> =
        (0..panel.sections.len()).map(|section| section_currents(panel, currents, section)).collect();
    let (neutrals, net) = neutral_currents(panel, currents);
    sources
        .iter()
        .map(|source| match source.carrier {
            Carrier::Pole(pole) => currents[pole],
            Carrier::Section { section, leg } => legs[section][leg],
            Carrier::Neutral(breaker) => neutrals[breaker],
            Carrier::NeutralMain => net.abs(),
            Carrier::Bus { section, leg, from_row } => panel
                .poles
                .iter()
                .zip(currents)
                .filter(|(pole, _)| pole.section == section && pole.leg == leg && pole.row >= from_row)
                .map(|(_, current)| current)
                .sum(),
        })
        .collect()
}
