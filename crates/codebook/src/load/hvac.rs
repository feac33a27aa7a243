//! Heating and cooling: the sums of each kind, and the larger of what does not run together.

use super::dwelling::{Known, Load, LoadKind, Wires};
use super::print;
use super::readings::{BlowerReading, Readings};

/// Sums of the heating and cooling of a dwelling, VA.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Hvac {
    /// Air conditioning without heat pumps.
    pub(crate) cooling: f64,
    /// The same, leg to neutral.
    pub(crate) cooling_neutral: f64,
    /// Heat pump compressors.
    pub(crate) compressors: f64,
    /// Supplemental heat that runs with its compressor.
    pub(crate) supplement_with: f64,
    /// Compressors of heat pumps with supplemental heat that a control keeps apart.
    pub(crate) compressors_apart: f64,
    /// That supplemental heat.
    pub(crate) supplement_apart: f64,
    /// Electric space heating.
    pub(crate) heat: f64,
    /// Its separate controls.
    pub(crate) controls: u32,
    /// Thermal storage.
    pub(crate) storage: f64,
    /// Blowers, where read as heating and cooling equipment.
    pub(crate) blowers: f64,
    /// The same, leg to neutral.
    pub(crate) blowers_neutral: f64,
    /// Heating on the neutral.
    pub(crate) heat_neutral: f64,
}

impl Hvac {
    pub(crate) fn of(known: &Known, readings: &Readings) -> Hvac {
        let mut hvac = Hvac::default();
        let values = |pick: &dyn Fn(&Load) -> Option<f64>| print::sum(known.loads.iter().filter_map(pick));
        let on_neutral = |load: &Load| load.wires != Wires::LineToLine;
        hvac.cooling = values(&|load| (load.kind == LoadKind::Cooling).then_some(load.va));
        hvac.cooling_neutral =
            values(&|load| (load.kind == LoadKind::Cooling && on_neutral(load)).then_some(load.va));
        hvac.heat = values(&|load| matches!(load.kind, LoadKind::Heat { .. }).then_some(load.va));
        hvac.storage = values(&|load| (load.kind == LoadKind::StorageHeat).then_some(load.va));
        hvac.heat_neutral = values(&|load| {
            (matches!(load.kind, LoadKind::Heat { .. } | LoadKind::StorageHeat) && on_neutral(load))
                .then_some(load.va)
        });
        hvac.controls = known
            .loads
            .iter()
            .map(|load| match load.kind {
                LoadKind::Heat { controls } => controls,
                _ => 0,
            })
            .sum();
        hvac.compressors = values(&|load| matches!(load.kind, LoadKind::HeatPump { .. }).then_some(load.va));
        hvac.supplement_with = values(&|load| match load.kind {
            LoadKind::HeatPump { supplement_va, together: true } => Some(supplement_va),
            _ => None,
        });
        hvac.compressors_apart = values(&|load| match load.kind {
            LoadKind::HeatPump { supplement_va, together: false } if 0.0 < supplement_va => Some(load.va),
            _ => None,
        });
        hvac.supplement_apart = values(&|load| match load.kind {
            LoadKind::HeatPump { supplement_va, together: false } => Some(supplement_va),
            _ => None,
        });
        if readings.blower == BlowerReading::Hvac {
            hvac.blowers = values(&|load| (load.kind == LoadKind::AirHandler).then_some(load.va));
            hvac.blowers_neutral =
                values(&|load| (load.kind == LoadKind::AirHandler && on_neutral(load)).then_some(load.va));
        }
        hvac
    }

    /// All that can cool at once.
    pub(crate) fn cooling_all(&self) -> f64 {
        self.cooling + self.compressors
    }

    /// Heat pumps while heating, with a weight on the supplemental heat.
    pub(crate) fn heat_pumps(&self, supplement_share: f64) -> f64 {
        let apart = self.supplement_apart * supplement_share;
        self.compressors - self.compressors_apart
            + self.supplement_with * supplement_share
            + if apart < self.compressors_apart { self.compressors_apart } else { apart }
    }

    /// All that can heat at once, at full nameplate.
    pub(crate) fn heating_all(&self) -> f64 {
        self.heat + self.storage + self.heat_pumps(1.0)
    }
}
