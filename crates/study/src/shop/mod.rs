//! What the shop learns from all its jobs: predicted against found, healthy readings, and the questions an owner asks.
//!
//! Of each job only [`JobNotes`] are kept; everything else is computed from them, or from facts as they were.

mod answers;
mod csv;
mod experience;
mod facing;
mod healthy;
mod notes;
mod share;

pub use inference::PriorsError as ExperienceError;
pub use inference::learning::{Experience, OddsCount, OtherCount, SignCount, WORTH};

pub use answers::{Answer, Line, answers};
pub use csv::answers_csv;
pub use experience::{OpenedJob, learn};
pub use facing::{BusCount, Calibration, Faced, Trend, before_openings, calibration, face, openings_of};
pub use healthy::{Band, Healthy, bands, rank};
pub use notes::{JobNotes, OpenedJoint, StopGap};
pub use share::Share;
