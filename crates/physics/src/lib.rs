//! Contacts, conductors, breakers, electrical and thermal networks.

pub mod bar;
pub mod between;
pub mod breaker;
pub mod cited;
pub mod conductor;
pub mod constants;
pub mod contact;
pub mod electrical;
pub mod emissivity;
pub mod enclosure;
pub mod fault_current;
pub mod fin;
pub mod flicker;
pub mod limits;
pub mod load_correction;
pub mod material;
pub mod millivolt;
pub mod range;
pub mod runaway;
pub mod severity;
pub mod split_phase;
pub mod steady;
pub mod supply_voltage;
pub mod surface;
mod table;
pub mod thermal;
pub mod touch;
pub mod wind;

pub use between::Between;
pub use cited::Cited;
pub use range::OutOfRange;
