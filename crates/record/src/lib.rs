//! The durable form of a job: facts that are never changed, their fold into the model, and the job file that
//! people and other programs write, with errors that say where, what, and what would be right.
//!
//! - [`read_job`] reads a job file, TOML or JSON, and lists every problem at once.
//! - [`fold`] turns facts that fit together into a [`model::job::Job`].
//! - [`settle`] does so with facts that may not: of those that contradict each other the later is used.
//! - [`forget`] says what stays of a job whose customer asked to be forgotten.
//! - [`schema`] is the JSON Schema of the job file.
//! - [`for_others`] leaves out of facts what is nobody's outside the shop.
//! - [`write_job`] writes a job as a job file.
//!
//! Nothing here does I/O or reads a clock: text and day are arguments.

mod check;
mod codes;
mod decode;
pub mod fact;
mod fold;
pub mod forget;
mod grammar;
pub mod guide;
pub mod limits;
mod lines;
mod others;
mod problem;
mod reading;
mod render;
mod schema;
mod settle;
mod source;
pub mod text;
mod tree;
mod write;

pub use check::nearest_rating;
pub use codes::CODES;
pub use fact::{Body, Fact};
pub use fold::{fold, problems};
pub use others::for_others;
pub use problem::{Problem, Severity};
pub use reading::{Reading, read_job};
pub use render::{render, render_coloured};
pub use schema::{fact_schema, schema};
pub use settle::{SetAside, Settled, news, settle};
pub use write::{arrangement_entry, write_facts, write_job};
