//! Proving ground: simulated panels with known truth, and scores of the judgement on them.

mod again;
mod details;
mod judge;
mod runner;
mod score;
mod sim;
mod table;
mod taught;

pub use details::emit;
pub use judge::judged_file;
pub use runner::{Plan, Run};
