//! Metals of joints and bus bars: resistivity, conductivity, softening, melting, hardness.

use crate::between::Between;
use crate::cited::Cited;
use crate::range::{OutOfRange, within};
use crate::table::{self, Word};
use model::Temperature;

/// Metals with a row in `data/materials.csv`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Metal {
    /// Copper of 100 % IACS.
    Copper,
    /// Aluminium of conductors, 61 % IACS.
    #[serde(rename = "aluminium_1350")]
    Aluminium1350,
    /// Aluminium alloys of bus bars, 55 to 57 % IACS.
    AluminiumBus,
    /// Silver.
    Silver,
    /// Tin.
    Tin,
    /// Zinc.
    Zinc,
    /// Nickel.
    Nickel,
    /// Brass 70/30.
    Brass,
    /// Low-carbon steel; softening and melting are those of iron.
    Steel,
}

impl Metal {
    /// All metals.
    pub const ALL: [Metal; 9] = [
        Metal::Copper,
        Metal::Aluminium1350,
        Metal::AluminiumBus,
        Metal::Silver,
        Metal::Tin,
        Metal::Zinc,
        Metal::Nickel,
        Metal::Brass,
        Metal::Steel,
    ];

    /// The word used on papers.
    pub const fn word(self) -> &'static str {
        match self {
            Metal::Copper => "copper",
            Metal::Aluminium1350 => "aluminium",
            Metal::AluminiumBus => "aluminium bus alloy",
            Metal::Silver => "silver",
            Metal::Tin => "tin",
            Metal::Zinc => "zinc",
            Metal::Nickel => "nickel",
            Metal::Brass => "brass",
            Metal::Steel => "steel",
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
enum Quantity {
    Resistivity,
    TemperatureCoefficient,
    ThermalConductivity,
    Softening,
    Melting,
    SofteningVoltagePrinted,
    MeltingVoltagePrinted,
    HardnessLow,
    HardnessHigh,
}

#[cfg(test)]
impl Quantity {
    const fn unit(self) -> &'static str {
        match self {
            Quantity::Resistivity => "ohm.m",
            Quantity::TemperatureCoefficient => "1/K",
            Quantity::ThermalConductivity => "W/(m.K)",
            Quantity::Softening | Quantity::Melting => "degC",
            Quantity::SofteningVoltagePrinted | Quantity::MeltingVoltagePrinted => "V",
            Quantity::HardnessLow | Quantity::HardnessHigh => "Pa",
        }
    }
}

#[derive(Debug, serde::Deserialize)]
struct Row {
    metal: Metal,
    quantity: Quantity,
    value: f64,
    #[cfg_attr(
        not(test),
        expect(dead_code, reason = "printed beside the value; a test holds it to the quantity")
    )]
    unit: String,
    standing: Word,
    source: String,
}

fn all_rows() -> Vec<Row> {
    table::rows(include_str!("../data/materials.csv"))
}

/// What is known of a metal, each value with its source.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Which.
    pub metal: Metal,
    /// Resistivity at 20 °C, Ω·m.
    pub resistivity_20c: Cited<f64>,
    /// Temperature coefficient of resistance at 20 °C, 1/K.
    pub alpha_20c: Cited<f64>,
    /// Thermal conductivity near room temperature, W/(m·K).
    pub conductivity_w_mk: Cited<f64>,
    /// Temperature at which work-hardened metal softens.
    pub softening: Cited<Temperature>,
    /// Melting point, or lower end of the melting range of an alloy.
    pub melting: Cited<Temperature>,
    /// Softening voltage as printed in contact tables, V.
    pub softening_voltage_printed_v: Option<Cited<f64>>,
    /// Melting voltage as printed in contact tables, V.
    pub melting_voltage_printed_v: Option<Cited<f64>>,
    /// Hardness, Pa, softest to hardest state. `None` where no value is kept.
    pub hardness_pa: Option<Cited<Between<f64>>>,
}

/// Looks a metal up.
///
/// ```text
/// a table: data/materials.csv
/// ```
///
/// | symbol | here  | meaning | unit |
/// |--------|-------|---------|------|
/// | –      | `metal` | which | –    |
///
/// - **Source:** a column of the table, one source a value.
/// - **Valid:** solid metal; alloys vary from melt to melt, see each value's standing.
/// - **Checked:** `tests/reference/tests/physics/material.rs`.
pub fn material(metal: Metal) -> Material {
    let rows = all_rows();
    let find = |quantity: Quantity| {
        rows.iter()
            .find(|row| row.metal == metal && row.quantity == quantity)
            .map(|row| Cited::new(row.value, row.standing.cite(&row.source)))
    };
    let must = |quantity| find(quantity).expect("a test checks that every metal has this quantity");
    let hardness_pa = match (find(Quantity::HardnessLow), find(Quantity::HardnessHigh)) {
        (Some(low), Some(high)) => Some(Cited::new(Between::new(low.value, high.value), high.cite)),
        _ => None,
    };
    Material {
        metal,
        resistivity_20c: must(Quantity::Resistivity),
        alpha_20c: must(Quantity::TemperatureCoefficient),
        conductivity_w_mk: must(Quantity::ThermalConductivity),
        softening: must(Quantity::Softening).map(Temperature::from_c),
        melting: must(Quantity::Melting).map(Temperature::from_c),
        softening_voltage_printed_v: find(Quantity::SofteningVoltagePrinted),
        melting_voltage_printed_v: find(Quantity::MeltingVoltagePrinted),
        hardness_pa,
    }
}

impl Material {
    /// Resistivity at a temperature, Ω·m.
    ///
    /// ```text
    /// ρ(T) = ρ20·[1 + α20 (T − 20 °C)]
    /// ```
    ///
    /// | symbol | here       | meaning                         | unit |
    /// |--------|------------|---------------------------------|------|
    /// | T      | `at`       | temperature                     | °C   |
    /// | ρ20    | `resistivity_20c` | resistivity at 20 °C     | Ω·m  |
    /// | α20    | `alpha_20c` | temperature coefficient at 20 °C | 1/K |
    ///
    /// - **Source:** the linear law of all conductor tables; values in `data/materials.csv`.
    /// - **Valid:** −50 °C to the metal's softening temperature or 300 °C, whichever is higher; solid metal.
    /// - **Checked:** `tests/reference/tests/physics/material.rs`.
    pub fn resistivity(&self, at: Temperature) -> Result<f64, OutOfRange> {
        let high_c = self.softening.value.c().max(300.0).min(self.melting.value.c());
        let t_c = within("temperature", at.c(), "°C", (-50.0, high_c), "linear law of resistance")?;
        Ok(self.resistivity_20c.value * (1.0 + self.alpha_20c.value * (t_c - 20.0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_its_unit_and_a_source_and_stands_once() {
        let rows = all_rows();
        for (idx, row) in rows.iter().enumerate() {
            assert_eq!(row.unit, row.quantity.unit(), "{row:?}");
            assert!(!row.source.is_empty() && 0.0 < row.value, "{row:?}");
            let again = rows[idx + 1..].iter().any(|r| r.metal == row.metal && r.quantity == row.quantity);
            assert!(!again, "{row:?} stands twice");
        }
    }

    #[test]
    fn every_metal_is_complete_and_softens_before_it_melts() {
        for metal in Metal::ALL {
            let material = material(metal);
            assert!(material.softening.value < material.melting.value, "{metal:?}");
            if let Some(hardness) = &material.hardness_pa {
                assert!(hardness.value.low < hardness.value.high, "{metal:?}");
            }
        }
    }

    #[test]
    fn molten_metal_has_no_value() {
        assert!(material(Metal::Tin).resistivity(Temperature::from_c(240.0)).is_err());
        assert!(material(Metal::Copper).resistivity(Temperature::from_c(75.0)).is_ok());
    }
}
