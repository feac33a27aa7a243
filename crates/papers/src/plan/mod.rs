//! The papers of the days between finding and replacing: the owner's sheet in two languages, the tag on the panel, the
//! crew's sheet with the isolation drawn step by step.

mod call;
mod code;
mod crew;
mod owner;
mod steps;
mod tag;
mod words;

pub use call::{CallNote, call_note};
pub use crew::{CrewSheet, crew_sheet};
pub use owner::{Language, owner_sheet};
pub use steps::{StepState, step_svg};
pub use tag::stop_gap_tag;
pub use words::PlanWords;
