//! The load by every method, for each dwelling of a job.

use super::premises::{dwelling, service_a};
use codebook::Law;
use codebook::load::{
    Blocked, Comparison, Dwelling, Method, Readings, Row, Sheet, calculate, compare, room, two_family,
};
use model::job::Job;

/// The loads of one dwelling.
#[derive(Debug, Clone, PartialEq)]
pub struct UnitLoads {
    /// Its name; empty where there is one only.
    pub unit: String,
    /// All methods side by side.
    pub comparison: Comparison,
}

/// The loads of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Loads {
    /// Code, place and day in one line.
    pub law: String,
    /// Rating that is compared with, A; `None` where none is on record.
    pub service_a: Option<f64>,
    /// Each dwelling.
    pub units: Vec<UnitLoads>,
    /// Two dwellings on one service, and their measured demand together.
    pub together: Vec<Row>,
}

impl Loads {
    /// Every method of every dwelling, and of two together, with the name of the dwelling.
    pub fn rows(&self) -> impl Iterator<Item = (&str, &Row)> {
        let units = self
            .units
            .iter()
            .flat_map(|unit| unit.comparison.rows.iter().map(|row| (unit.unit.as_str(), row)));
        units.chain(self.together.iter().map(|row| ("both", row)))
    }

    /// The methods that gave a load for the whole service: of one dwelling its own, of two those of both together.
    pub fn of_service(&self) -> impl Iterator<Item = &Row> {
        let own: &[Row] = match self.units.as_slice() {
            [one] if self.together.is_empty() => &one.comparison.rows,
            _ => &self.together,
        };
        own.iter()
    }
}

/// The load of a job by every method that its record allows.
pub fn loads(law: &Law<'_>, job: &Job) -> Loads {
    let service_a = service_a(job);
    let demand = job.premises.demand.as_ref().map(|record| &record.demand);
    let units = job.premises.units();
    let several = 1 < units.len();
    let all: Vec<(String, Dwelling)> =
        units.iter().map(|unit| ((*unit).to_owned(), dwelling(job, unit))).collect();
    // A demand and a rating are those of the whole service.
    let own = |put: &Dwelling| {
        if several { compare(law, put, None, None) } else { compare(law, put, demand, service_a) }
    };
    let together = match all.as_slice() {
        [(_, one), (_, two)] => {
            let sheet = two_family(law, [one, two], &Readings::default());
            let mut rows =
                vec![Row { method: Method::TwoFamily, sheet, alternatives: Vec::new(), room: None }];
            let mut joined = one.clone();
            joined.items.extend(two.items.iter().cloned());
            let sheet = calculate(law, Method::Measured, &joined, demand, &Readings::default());
            rows.extend(sheet.map(|sheet| measured_row(law, &joined, demand, service_a, sheet)));
            rows
        }
        _ => Vec::new(),
    };
    let units =
        all.iter().map(|(unit, put)| UnitLoads { unit: unit.clone(), comparison: own(put) }).collect();
    Loads { law: law.chosen().to_owned(), service_a, units, together }
}

fn measured_row(
    law: &Law<'_>,
    joined: &Dwelling,
    demand: Option<&codebook::load::MeasuredDemand>,
    service_a: Option<f64>,
    sheet: Result<Sheet, Blocked>,
) -> Row {
    let room = match (&sheet, service_a) {
        (Ok(sheet), Some(service_a)) => Some(room(law, joined, demand, sheet, service_a)),
        _ => None,
    };
    Row { method: Method::Measured, sheet, alternatives: Vec::new(), room }
}
