//! All methods side by side, with the other readings of what is disputed.

use super::blocked::Blocked;
use super::dwelling::Dwelling;
use super::existing::existing;
use super::margin::{Room, room};
use super::measured::{MeasuredDemand, measured};
use super::optional::optional;
use super::readings::{Reading, Readings};
use super::sheet::Sheet;
use super::standard::standard;
use crate::book::Book;
use crate::edition::Edition;
use crate::law::Law;
use std::fmt;

/// A method of load calculation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Method {
    /// Standard method.
    Standard,
    /// Optional method for one dwelling.
    Optional,
    /// Existing dwelling.
    Existing,
    /// Measured demand.
    Measured,
    /// Two dwellings on one service.
    TwoFamily,
}

impl fmt::Display for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Method::Standard => "standard method",
            Method::Optional => "optional method",
            Method::Existing => "existing dwelling",
            Method::Measured => "measured demand",
            Method::TwoFamily => "two dwellings",
        })
    }
}

/// The result under another reading of one disputed point.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    /// The point.
    pub reading: Reading,
    /// Calculated load so read, A.
    pub load_a: f64,
    /// Neutral so read, A.
    pub neutral_a: Option<f64>,
}

/// One method of a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Method.
    pub method: Method,
    /// Its sheet, or why there is none.
    pub sheet: Result<Sheet, Blocked>,
    /// Other readings that change the result.
    pub alternatives: Vec<Alternative>,
    /// Room under the service that was named, and what would exceed it.
    pub room: Option<Room>,
}

/// All methods side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Code, place and day in one line.
    pub law: String,
    /// Rating of the service that is compared with, A.
    pub service_a: Option<f64>,
    /// One row a method.
    pub rows: Vec<Row>,
}

/// One dwelling by one method. The measured method needs a demand; two dwellings have a function of their own.
pub fn calculate(
    law: &Law<'_>,
    method: Method,
    dwelling: &Dwelling,
    demand: Option<&MeasuredDemand>,
    readings: &Readings,
) -> Option<Result<Sheet, Blocked>> {
    match method {
        Method::Standard => Some(standard(law, dwelling, readings)),
        Method::Optional => Some(optional(law, dwelling, readings)),
        Method::Existing => Some(existing(law, dwelling, readings)),
        Method::Measured => demand.map(|demand| measured(law, dwelling, demand, readings)),
        Method::TwoFamily => None,
    }
}

/// A dwelling by every method that its data allow.
pub fn compare(
    law: &Law<'_>,
    dwelling: &Dwelling,
    demand: Option<&MeasuredDemand>,
    service_a: Option<f64>,
) -> Comparison {
    let careful = Readings::default();
    let methods = [Method::Standard, Method::Optional, Method::Existing, Method::Measured];
    let rows = methods
        .into_iter()
        .filter_map(|method| {
            let sheet = calculate(law, method, dwelling, demand, &careful)?;
            let alternatives = match &sheet {
                Ok(sheet) => alternatives(law, dwelling, demand, sheet),
                Err(_) => vec![],
            };
            let room = match (&sheet, service_a) {
                (Ok(sheet), Some(service_a)) => Some(room(law, dwelling, demand, sheet, service_a)),
                _ => None,
            };
            Some(Row { method, sheet, alternatives, room })
        })
        .collect();
    Comparison { law: law.chosen().to_owned(), service_a, rows }
}

/// The same job under every edition, so that the effect of an adoption shows.
pub fn compare_editions(
    book: &Book,
    dwelling: &Dwelling,
    demand: Option<&MeasuredDemand>,
    service_a: Option<f64>,
) -> Vec<(Edition, Comparison)> {
    Edition::ALL
        .into_iter()
        .map(|edition| (edition, compare(&book.edition(edition), dwelling, demand, service_a)))
        .collect()
}

fn alternatives(
    law: &Law<'_>,
    dwelling: &Dwelling,
    demand: Option<&MeasuredDemand>,
    sheet: &Sheet,
) -> Vec<Alternative> {
    Reading::ALL
        .into_iter()
        .filter_map(|reading| {
            let readings = Readings::default().with_other(reading);
            let other = calculate(law, sheet.method, dwelling, demand, &readings)?.ok()?;
            let neutral = |sheet: &Sheet| sheet.neutral.as_ref().map(|neutral| neutral.load_a);
            let differs = other.load_a != sheet.load_a || neutral(&other) != neutral(sheet);
            differs.then(|| Alternative { reading, load_a: other.load_a, neutral_a: neutral(&other) })
        })
        .collect()
}
