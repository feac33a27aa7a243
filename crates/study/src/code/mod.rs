//! The code book as both faces ask for it: loads, sizes, what the edition asks, editions side by side, meter data.
//!
//! Nothing is computed under an edition that nobody named: a job has an adoption on record, or the caller names one.

mod asks;
mod editions;
pub mod json;
mod loads;
mod meter;
mod permit;
mod premises;
mod sizes;
mod unplated;

pub use asks::{asks, situation};
pub use codebook::ask::{Answer, Finding, Subject};
pub use codebook::load::{Alternative, Blocked, Comparison, Method, Question, Room, Row, Sheet};
pub use codebook::meter::{CsvForm, DayPeak, ValueUnit};
pub use codebook::size::BoxContents;
pub use codebook::{BadData, Book, Column, Edition, Law, NotAnEdition, Profile};
pub use editions::{AskedUnder, EditionRow, Editions, editions};
pub use loads::{Loads, UnitLoads, loads};
pub use meter::{Demand, MeterChannel, MeterData, MeterReader, Readings, Unread};
pub(crate) use permit::permit_paper_trees;
pub use permit::{meter_chart, one_line_drawing, permit_names, permit_paper, permit_papers};
pub use premises::{Chosen, NoCode, service_a, system};
pub use sizes::{SizeLine, Sizes, Wish, box_contents, sizes};

/// What goes on every sheet of the code book.
pub const CAUTIONS: [&str; 4] = [
    "A help for a qualified person, and no substitute for the code: nobody read the code book itself for this. What is \
     marked from memory needs reading in a licensed copy.",
    "The adopted edition with its local amendments, the utility's rules, the maker's instructions and the inspector come \
     first.",
    "Work inside a panel is for qualified persons. Service conductors stay live with every handle off until the utility \
     has cut them and that is proven; an old split-bus panel has no single main.",
    "This is what was recorded that day. It is no guarantee for the rest.",
];
