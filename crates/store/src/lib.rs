//! Where facts and photos are kept: an append-only store of facts in one SQLite file or on a PostgreSQL server, photos
//! known by their hash, the people and devices that may use it, and what goes in and out of it as one file.
//!
//! - [`Store::append`] acknowledges facts after they are on the disk, and stores each once, however often it is sent.
//! - [`Store::put_photo`] and [`Store::photo`] keep bytes by their SHA-256, and verify them when they are read.
//! - [`transfer`] moves all of it from a SQLite file to a PostgreSQL server, or back.
//! - [`Store::job_names`] and [`Store::take_in`] are what two benches need to exchange what each lacks.
//! - [`Store::backup`] and [`restore`], [`Store::export_job`] and [`Store::import_job`] move all of it, or one job.
//!
//! Guarantees and limits are in `docs/store.md`.

mod append;
mod archive;
mod audit;
mod backup;
mod base;
mod bucket;
mod compare;
mod database;
mod devices;
mod error;
mod export;
mod facts;
mod folder;
mod forget;
mod hash;
mod import;
mod latency;
mod links;
mod notice;
mod pages;
mod people;
mod photos;
mod photos_moved;
mod policies;
mod readme;
mod restore;
mod shop_texts;
mod store;
mod summaries;
mod transfer;
mod urgency;
mod writer;

pub use append::{Appended, ENTRY_MAX};
pub use audit::{Act, Actor, AuditLine, job_digest};
pub use backup::Backup;
pub use bucket::Bucket;
pub use compare::JobNames;
pub use devices::{Device, Invitation, Joined};
pub use error::{Error, Kind};
pub use export::{Exported, Give, JobFile};
pub use facts::{JobSummary, Stored};
pub use hash::{is_sha256, sha256};
pub use import::Imported;
pub use latency::Latency;
pub use links::Link;
pub use notice::Elsewhere;
pub use pages::{DueLine, Listed};
pub use people::Person;
pub use photos::{Form, PHOTO_MAX_BYTES, Photo, PhotoLine, Put};
pub use photos_moved::PhotosMoved;
pub use policies::PolicyText;
pub use restore::{Restored, restore, restore_as};
pub use shop_texts::{ShopText, ShopVersion};
pub use store::{Options, Store};
pub use summaries::{FacedText, Maker, Summary};
pub use transfer::{Place, Transferred, transfer};
pub use urgency::UrgencyMark;

/// Facts arrived in a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The job.
    pub job: String,
    /// Its revision now.
    pub revision: i64,
}

/// Milliseconds since 1970-01-01 UTC by the clock of this machine.
pub fn now_ms() -> i64 {
    jiff::Timestamp::now().as_millisecond()
}
