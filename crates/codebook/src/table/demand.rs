//! Demand tables: lighting, dryers, cooking, motors.

/// Portion of the lighting load at a percentage.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct LightingRow {
    pub(crate) variant: String,
    pub(crate) upto_va: Option<f64>,
    pub(crate) percent: f64,
}

/// Demand of a number of dryers.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct DryerRow {
    pub(crate) from_n: u32,
    pub(crate) to_n: Option<u32>,
    pub(crate) percent: f64,
    pub(crate) slope: f64,
    pub(crate) origin: f64,
}

impl DryerRow {
    pub(crate) fn holds(&self, n: u32) -> bool {
        self.from_n <= n && self.to_n.is_none_or(|last| n <= last)
    }

    pub(crate) fn percent_of(&self, n: u32) -> f64 {
        self.percent - self.slope * (f64::from(n) - self.origin)
    }
}

/// Demand of a number of cooking appliances.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct CookingRow {
    pub(crate) from_n: u32,
    pub(crate) to_n: Option<u32>,
    pub(crate) a_percent: f64,
    pub(crate) b_percent: f64,
    pub(crate) c_kw: f64,
    pub(crate) c_per_unit: f64,
}

impl CookingRow {
    pub(crate) fn holds(&self, n: u32) -> bool {
        self.from_n <= n && self.to_n.is_none_or(|last| n <= last)
    }

    pub(crate) fn column_c_va(&self, n: u32) -> f64 {
        (self.c_kw + self.c_per_unit * f64::from(n)) * 1000.0
    }
}

/// Full-load current of a motor.
#[derive(Debug, Clone, serde::Deserialize)]
pub(crate) struct MotorRow {
    pub(crate) hp: String,
    pub(crate) a_115v: f64,
    pub(crate) a_230v: f64,
}
