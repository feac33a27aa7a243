//! The tables of the book, read once from `data/tables`; a rule's word names the variant that an edition uses.

mod conductor;
mod demand;

pub use conductor::Column;
pub(crate) use conductor::{AmpacityRow, ElectrodeRow};
pub(crate) use demand::CookingRow;

use conductor::{AmbientRow, BoxRow, BundleRow, ConductorRow, EquipmentRow, ServiceRow, SmallRow, TorqueRow};
use demand::{DryerRow, LightingRow, MotorRow};
use serde::de::DeserializeOwned;

/// All tables.
#[derive(Debug, Clone)]
pub(crate) struct Tables {
    pub(crate) lighting: Vec<LightingRow>,
    pub(crate) dryer: Vec<DryerRow>,
    pub(crate) cooking: Vec<CookingRow>,
    pub(crate) motors: Vec<MotorRow>,
    pub(crate) ampacity: Vec<AmpacityRow>,
    pub(crate) ambient: Vec<AmbientRow>,
    pub(crate) bundle: Vec<BundleRow>,
    pub(crate) dwelling_service: Vec<ServiceRow>,
    pub(crate) small: Vec<SmallRow>,
    pub(crate) ratings: Vec<f64>,
    pub(crate) electrode: Vec<ElectrodeRow>,
    pub(crate) equipment_ground: Vec<EquipmentRow>,
    pub(crate) conductors: Vec<ConductorRow>,
    pub(crate) boxes: Vec<BoxRow>,
    pub(crate) torque: Vec<TorqueRow>,
}

#[derive(serde::Deserialize)]
struct RatingRow {
    rating_a: f64,
}

impl Tables {
    pub(crate) fn built_in() -> Tables {
        let ratings: Vec<RatingRow> = rows(include_str!("../data/tables/standard_ratings.csv"));
        Tables {
            lighting: rows(include_str!("../data/tables/lighting_demand.csv")),
            dryer: rows(include_str!("../data/tables/dryer.csv")),
            cooking: rows(include_str!("../data/tables/cooking.csv")),
            motors: rows(include_str!("../data/tables/motors.csv")),
            ampacity: rows(include_str!("../data/tables/ampacity.csv")),
            ambient: rows(include_str!("../data/tables/ambient.csv")),
            bundle: rows(include_str!("../data/tables/bundle.csv")),
            dwelling_service: rows(include_str!("../data/tables/dwelling_service.csv")),
            small: rows(include_str!("../data/tables/small_conductors.csv")),
            ratings: ratings.into_iter().map(|row| row.rating_a).collect(),
            electrode: rows(include_str!("../data/tables/electrode.csv")),
            equipment_ground: rows(include_str!("../data/tables/equipment_ground.csv")),
            conductors: rows(include_str!("../data/tables/conductors.csv")),
            boxes: rows(include_str!("../data/tables/box.csv")),
            torque: rows(include_str!("../data/tables/torque.csv")),
        }
    }
}

/// All rows of a table. The files are part of the program; a test reads every row of each.
fn rows<T: DeserializeOwned>(text: &str) -> Vec<T> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<Vec<T>, csv::Error>>()
        .expect("the tables of this crate are read whole by its tests")
}

/// A wire size as the tables print it.
fn size<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<model::conductor::WireSize, D::Error> {
    let text = <String as serde::Deserialize>::deserialize(deserializer)?;
    text.parse().map_err(serde::de::Error::custom)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_reads_and_rises() {
        let tables = Tables::built_in();
        for pair in tables.conductors.windows(2) {
            assert!(
                pair[0].cmil < pair[1].cmil && pair[1].r_cu < pair[0].r_cu && pair[1].r_al < pair[0].r_al
            );
        }
        for row in &tables.conductors {
            assert!((row.cmil - row.size.circular_mils()).abs() < 1.0, "{}", row.size);
        }
        for pair in tables.ratings.windows(2) {
            assert!(pair[0] < pair[1]);
        }
        for variant in ["before-2011", "from-2011"] {
            let rows: Vec<&AmpacityRow> =
                tables.ampacity.iter().filter(|row| row.variant == variant).collect();
            assert_eq!(rows.len(), 19);
            for pair in rows.windows(2) {
                for metal in [model::conductor::Metal::Copper, model::conductor::Metal::Aluminium] {
                    for column in Column::ALL {
                        if let (Some(thin), Some(thick)) =
                            (pair[0].amps(metal, column), pair[1].amps(metal, column))
                        {
                            assert!(thin < thick, "{variant} {} {metal:?}", pair[1].size);
                        }
                    }
                }
            }
        }
        let cooking = &tables.cooking;
        for pair in cooking.windows(2) {
            assert_eq!(pair[0].to_n.map(|n| n + 1), Some(pair[1].from_n));
            assert!(pair[1].a_percent <= pair[0].a_percent && pair[1].b_percent <= pair[0].b_percent);
        }
    }
}
