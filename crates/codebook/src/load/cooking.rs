//! Household cooking appliances: the demand table with its notes, for feeders and for branch circuits.

use super::print;
use super::readings::CountReading;
use super::sheet::{input, ruled, working};
use crate::law::Law;
use crate::rule;
use crate::ruling::{Refused, Ruling};
use crate::table::Tables;
use model::Cite;
use model::working::Working;

/// What a cooking appliance is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unit {
    /// Range.
    Range,
    /// Wall oven.
    WallOven,
    /// Cooktop.
    Cooktop,
}

/// Bounds of the columns, kW: over 1 3/4, A below 3 1/2, B to 8 3/4, C to 12, notes to 27.
const TABLE_FROM_VA: f64 = 1750.0;
const COLUMN_B_FROM_VA: f64 = 3500.0;
const COLUMN_B_TO_VA: f64 = 8750.0;
const COLUMN_C_TO_VA: f64 = 12_000.0;
const NOTES_TO_VA: f64 = 27_000.0;

/// A way to the demand that the table allows.
struct Way {
    va: f64,
    formula: String,
    note: &'static str,
}

fn row(tables: &Tables, n: u32) -> &crate::table::CookingRow {
    tables
        .cooking
        .iter()
        .find(|row| row.holds(n))
        .expect("the cooking table has a row for every number from 1")
}

/// Column C for a number of units, raised for what is above 12 kW (Notes 1 and 2; they agree for equal ratings).
fn column_c(tables: &Tables, ratings: &[f64]) -> Option<Way> {
    let n = ratings.len() as u32;
    if n == 0 || ratings.iter().any(|va| NOTES_TO_VA < *va) {
        return None;
    }
    // Note 2 averages units above 8 3/4 kW only; smaller ones go by Note 3 where any is above 12 kW.
    let (small, above) = (|va: &f64| *va <= COLUMN_B_TO_VA, |va: &f64| COLUMN_C_TO_VA < *va);
    if ratings.iter().any(small) && ratings.iter().any(above) {
        return None;
    }
    let lifted = ratings.iter().map(|va| if *va < COLUMN_C_TO_VA { COLUMN_C_TO_VA } else { *va });
    let mean_kw = print::sum(lifted) / f64::from(n) / 1000.0;
    // A major fraction of a kilowatt counts as a whole one.
    let steps = (mean_kw - COLUMN_C_TO_VA / 1000.0 + 0.5).floor();
    let base = row(tables, n).column_c_va(n);
    let va = base * (1.0 + 0.05 * steps);
    Some(if 0.0 < steps {
        Way {
            va,
            formula: format!(
                "column C for {n}: {}, raised {steps:.0} × 5 % for a mean of {mean_kw:.2} kW",
                print::va(base)
            ),
            note: "Notes 1 and 2",
        }
    } else {
        Way { va, formula: format!("column C for {n}: {}", print::va(base)), note: "column C" }
    })
}

/// Columns A and B for the small units (Note 3), column C for the others.
fn columns_a_b(tables: &Tables, ratings: &[f64], count: CountReading) -> Option<Way> {
    let (small, large): (Vec<f64>, Vec<f64>) = ratings.iter().partition(|va| **va <= COLUMN_B_TO_VA);
    if small.is_empty() {
        return None;
    }
    let (a, b): (Vec<f64>, Vec<f64>) = small.iter().partition(|va| **va < COLUMN_B_FROM_VA);
    let mut va = 0.0;
    let mut parts = vec![];
    for (column, group) in [("A", &a), ("B", &b)] {
        if group.is_empty() {
            continue;
        }
        let n = match count {
            CountReading::PerColumn => group.len(),
            CountReading::Total => small.len(),
        } as u32;
        let row = row(tables, n);
        let percent = if column == "A" { row.a_percent } else { row.b_percent };
        let sum = print::sum(group.iter().copied());
        va += sum * percent / 100.0;
        parts.push(format!("column {column} for {n}: {} × {percent} %", print::va(sum)));
    }
    if !large.is_empty() {
        let rest = column_c(tables, &large)?;
        va += rest.va;
        parts.push(rest.formula);
    }
    Some(Way { va, formula: parts.join(" + "), note: "Note 3" })
}

fn least(ways: Vec<Way>) -> Way {
    ways.into_iter()
        .reduce(|best, way| if way.va < best.va { way } else { best })
        .expect("the nameplates are always a way")
}

/// The demand of cooking appliances on a feeder or service, VA, with its working. The table is a permission: the
/// nameplates are always allowed, so the least of what the table and its notes allow is taken.
pub fn feeder(law: &Law<'_>, ratings_va: &[f64], count: CountReading) -> Result<(f64, Working), Refused> {
    let ruling = law.word(rule::COOKING_DEMAND)?;
    let (table, below): (Vec<f64>, Vec<f64>) = ratings_va.iter().partition(|va| TABLE_FROM_VA < **va);
    let sum = print::sum(table.iter().copied());
    let mut ways =
        vec![Way { va: sum, formula: format!("nameplates {}", print::va(sum)), note: "nameplate" }];
    ways.extend(column_c(law.tables(), &table));
    ways.extend(columns_a_b(law.tables(), &table, count));
    let way = least(ways);
    let rest = print::sum(below.iter().copied());
    let va = way.va + rest;
    Ok((va, told(&way, ratings_va, va, &ruling)))
}

/// The load of cooking appliances on one branch circuit (Note 4), VA.
pub fn branch_circuit(law: &Law<'_>, units: &[(Unit, f64)]) -> Result<(f64, Working), Refused> {
    let ruling = law.word(rule::COOKING_DEMAND)?;
    let ratings: Vec<f64> = units.iter().map(|unit| unit.1).collect();
    let sum = print::sum(ratings.iter().copied());
    let n_tops = units.iter().filter(|unit| unit.0 == Unit::Cooktop).count();
    let n_ovens = units.iter().filter(|unit| unit.0 == Unit::WallOven).count();
    let plate = || Way { va: sum, formula: format!("nameplate {}", print::va(sum)), note: "Note 4" };
    let way = match units {
        [(Unit::Range, va)] if TABLE_FROM_VA < *va => {
            let mut ways = vec![plate()];
            ways.extend(column_c(law.tables(), &ratings));
            ways.extend(columns_a_b(law.tables(), &ratings, CountReading::PerColumn));
            least(ways)
        }
        // One cooktop with one or two ovens in the same room: as one range of their sum.
        _ if n_tops == 1 && (1..=2).contains(&n_ovens) && n_tops + n_ovens == units.len() => {
            let mut ways = vec![plate()];
            ways.extend(column_c(law.tables(), &[sum]));
            let mut way = least(ways);
            way.note = "Note 4, as one range";
            way
        }
        _ => plate(),
    };
    let va = way.va;
    Ok((va, told(&way, &ratings, va, &ruling)))
}

fn told(way: &Way, ratings: &[f64], va: f64, ruling: &Ruling<String>) -> Working {
    let list: Vec<String> = ratings.iter().map(|va| print::va(*va)).collect();
    let cite = ruling.cite();
    working(
        "cooking appliances",
        "cooking",
        &way.formula,
        vec![
            input("S_n", "nameplates", list.join(", "), "nameplates, kW taken as kVA"),
            ruled("", "way through the table", way.note.to_owned(), ruling),
        ],
        print::va(va),
        "household appliances over 1 3/4 kW; up to 27 kW by the notes, above that the nameplate",
        Cite { place: format!("{}, {}", cite.place, way.note), ..cite },
    )
}
