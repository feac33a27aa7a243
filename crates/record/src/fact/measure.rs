//! Measures in the unit in which a person read them.

use model::{Length, Temperature, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A temperature as displayed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum TemperatureAs {
    /// Degrees Celsius.
    C(f64),
    /// Degrees Fahrenheit.
    F(f64),
}

impl TemperatureAs {
    /// The quantity.
    pub const fn quantity(self) -> Temperature {
        match self {
            TemperatureAs::C(value) => Temperature::from_c(value),
            TemperatureAs::F(value) => Temperature::from_f(value),
        }
    }

    /// The number as displayed.
    pub const fn number(self) -> f64 {
        match self {
            TemperatureAs::C(value) | TemperatureAs::F(value) => value,
        }
    }
}

/// A length as measured.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum LengthAs {
    /// Inches.
    In(f64),
    /// Feet.
    Ft(f64),
    /// Millimetres.
    Mm(f64),
    /// Metres.
    M(f64),
}

impl LengthAs {
    /// The quantity.
    pub const fn quantity(self) -> Length {
        match self {
            LengthAs::In(value) => Length::from_in(value),
            LengthAs::Ft(value) => Length::from_ft(value),
            LengthAs::Mm(value) => Length::from_mm(value),
            LengthAs::M(value) => Length::from_m(value),
        }
    }

    /// The number as measured.
    pub const fn number(self) -> f64 {
        match self {
            LengthAs::In(value) | LengthAs::Ft(value) | LengthAs::Mm(value) | LengthAs::M(value) => value,
        }
    }
}

/// A torque as the tool is marked.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TorqueAs {
    /// Pound-force inches.
    LbIn(f64),
    /// Pound-force feet.
    LbFt(f64),
    /// Newton metres.
    Nm(f64),
}

impl TorqueAs {
    /// The quantity.
    pub const fn quantity(self) -> Torque {
        match self {
            TorqueAs::LbIn(value) => Torque::from_lb_in(value),
            TorqueAs::LbFt(value) => Torque::from_lb_ft(value),
            TorqueAs::Nm(value) => Torque::from_nm(value),
        }
    }

    /// The number as read.
    pub const fn number(self) -> f64 {
        match self {
            TorqueAs::LbIn(value) | TorqueAs::LbFt(value) | TorqueAs::Nm(value) => value,
        }
    }
}
