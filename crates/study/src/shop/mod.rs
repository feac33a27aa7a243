//! What the shop learns from all its jobs: predicted against found, healthy readings, and the questions an owner asks.
//!
//! Of each job only [`JobNotes`] are kept; everything else is computed from them, or from facts as they were.

mod answers;
mod csv;
mod experience;
mod facing;
mod healthy;
mod kept;
mod notes;
mod order;
mod parquet;
mod scored;
mod share;
mod tally;

pub use inference::PriorsError as ExperienceError;
pub use inference::learning::{Experience, OddsCount, OtherCount, SignCount, WORTH};

pub use answers::{Answer, Line, answers};
pub use csv::answers_csv;
pub use experience::{OpenedJob, learn};
pub use facing::{BusCount, Calibration, Faced, Trend, before_openings, face, openings_of};
pub use healthy::{Band, Healthy};
pub use kept::{FACED_VERSION, NOTES_VERSION, faced_of_text, faced_text, line_of_text, line_text};
pub use notes::{Asked, Cost, Inspection, JobNotes, OpenedJoint, StopGap};
pub use order::{urgency_band, urgency_of_band};
pub use parquet::answers_parquet;
pub use scored::{NEWEST, Scored};
pub use share::Share;
pub use tally::Tally;
