//! Interval-meter data: reading of ESPI XML and CSV in pieces, cleaning, and the demand they support.

mod chart;
mod civil;
mod csv_file;
mod demand;
mod espi;
mod import;
mod pieces;
mod series;

pub use chart::DayPeak;
pub use csv_file::{CsvForm, CsvReader, CsvTrouble, ValueUnit};
pub use demand::{MeterDemand, NoDemand};
pub use espi::EspiReader;
pub use import::{Channel, Flow, Import, Known, Unusable, WhichChannel};
pub use pieces::BadXml;
pub use series::{Reading, Series};
