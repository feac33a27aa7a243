//! The nouns of Panelwright: the panel and what feeds it, what was seen and measured, and the records that
//! every computation returns.
//!
//! Nothing here computes more than look-ups, reads a clock, or can be serialised; the durable form is in
//! `record`. Quantities carry a type or a unit in their name. See `ARCHITECTURE.md` for how the crates hang
//! together.

pub mod adoption;
pub mod advice;
mod anew;
pub mod assessment;
pub mod breaker;
pub mod cite;
pub mod conductor;
pub mod dwelling;
mod ends;
pub mod evidence;
pub mod id;
pub mod install;
pub mod installation;
pub mod isolation;
pub mod job;
pub mod joint;
pub mod load;
pub mod money;
pub mod moving;
pub mod off;
pub mod offer;
pub mod panel;
pub mod place;
pub mod plan;
pub mod premises;
pub mod proving;
pub mod quantity;
pub mod replacement;
pub mod service;
pub mod site;
pub mod system;
pub mod trend;
pub mod working;

pub use cite::{Cite, Note, Standing};
pub use id::{FactId, Half, PanelId, SectionId, Slot, Space};
pub use jiff::civil::{Date, DateTime};
pub use joint::{Joint, JointId, JointKind};
pub use money::Cents;
pub use quantity::{Current, Length, Power, Resistance, Temperature, Torque, Voltage};
pub use system::{Leg, System};
