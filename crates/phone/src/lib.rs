//! The bench inside a browser: the same pages and the same judgement as the program serves, from facts that a phone
//! keeps, without a network.
//!
//! One function is asked and answers, both in JSON: a page of an address, the judgement of a job, what a form that
//! waits will come to, a paper. It knows no clock, no store and no network: day, time, settings, kept facts and
//! waiting forms come with every question. What was folded and judged before is only a shortcut, never a source.

mod answer;
mod ask;
mod chain;
#[cfg(target_arch = "wasm32")]
mod exports;
mod fold;
mod judging;
mod paper;
mod shelf;

pub use answer::{Answer, answer, answer_json, answer_json_with};
pub use ask::{Ask, Desk, HeldJob, Queued, What};
pub use chain::chain;
pub use shelf::Shelf;
