//! Tables of conductors: ampacity, correction, service sizes, grounding, resistance, box volume, torque.

use model::conductor::{Metal, WireSize};

/// Insulation temperature of a column of the ampacity table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// 60 °C.
    C60,
    /// 75 °C.
    C75,
    /// 90 °C.
    C90,
}

impl Column {
    /// All, coolest first.
    pub const ALL: [Column; 3] = [Column::C60, Column::C75, Column::C90];

    /// Its temperature, °C.
    pub const fn celsius(self) -> u8 {
        match self {
            Column::C60 => 60,
            Column::C75 => 75,
            Column::C90 => 90,
        }
    }
}

/// Ampacities of a size.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct AmpacityRow {
    pub(crate) variant: String,
    #[serde(deserialize_with = "super::size")]
    pub(crate) size: WireSize,
    cu60: Option<f64>,
    cu75: Option<f64>,
    cu90: Option<f64>,
    al60: Option<f64>,
    al75: Option<f64>,
    al90: Option<f64>,
}

impl AmpacityRow {
    pub(crate) fn amps(&self, metal: Metal, column: Column) -> Option<f64> {
        match (metal, column) {
            (Metal::Copper, Column::C60) => self.cu60,
            (Metal::Copper, Column::C75) => self.cu75,
            (Metal::Copper, Column::C90) => self.cu90,
            (_, Column::C60) => self.al60,
            (_, Column::C75) => self.al75,
            (_, Column::C90) => self.al90,
        }
    }
}

/// Correction for air up to a temperature.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct AmbientRow {
    pub(crate) variant: String,
    pub(crate) upto_c: f64,
    f60: Option<f64>,
    f75: Option<f64>,
    f90: Option<f64>,
}

impl AmbientRow {
    pub(crate) fn factor(&self, column: Column) -> Option<f64> {
        match column {
            Column::C60 => self.f60,
            Column::C75 => self.f75,
            Column::C90 => self.f90,
        }
    }
}

/// Adjustment for up to a number of conductors.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct BundleRow {
    pub(crate) upto_n: Option<u32>,
    pub(crate) percent: f64,
}

/// Conductors of a dwelling service.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct ServiceRow {
    pub(crate) rating_a: f64,
    #[serde(deserialize_with = "super::size")]
    pub(crate) cu: WireSize,
    #[serde(deserialize_with = "super::size")]
    pub(crate) al: WireSize,
}

/// Largest protection of a small conductor.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct SmallRow {
    #[serde(deserialize_with = "super::size")]
    pub(crate) size: WireSize,
    pub(crate) cu_a: Option<f64>,
    pub(crate) al_a: Option<f64>,
}

/// Electrode conductor for service conductors up to an area.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct ElectrodeRow {
    pub(crate) upto_cu_kcmil: Option<f64>,
    pub(crate) upto_al_kcmil: Option<f64>,
    #[serde(deserialize_with = "super::size")]
    pub(crate) cu: WireSize,
    #[serde(deserialize_with = "super::size")]
    pub(crate) al: WireSize,
}

/// Equipment grounding conductor for a device up to a rating.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct EquipmentRow {
    pub(crate) upto_a: f64,
    #[serde(deserialize_with = "super::size")]
    pub(crate) cu: WireSize,
    #[serde(deserialize_with = "super::size")]
    pub(crate) al: WireSize,
}

/// Area, resistance and reactance of a size.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct ConductorRow {
    #[serde(deserialize_with = "super::size")]
    pub(crate) size: WireSize,
    pub(crate) cmil: f64,
    pub(crate) r_cu: f64,
    pub(crate) r_al: f64,
    pub(crate) x_pvc: Option<f64>,
    pub(crate) x_steel: Option<f64>,
}

/// Volume of a conductor in a box.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct BoxRow {
    #[serde(deserialize_with = "super::size")]
    pub(crate) size: WireSize,
    pub(crate) volume_in3: f64,
}

/// Torque for sizes up to one.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct TorqueRow {
    #[serde(deserialize_with = "super::size")]
    pub(crate) upto: WireSize,
    pub(crate) slot_small: Option<f64>,
    pub(crate) slot_large: Option<f64>,
    pub(crate) hex_split_bolt: f64,
    pub(crate) hex_other: f64,
}
