//! What goes over the line.

use serde::{Deserialize, Serialize};

/// Which jobs are asked for: those after this name.
#[derive(Debug, Default, Serialize, Deserialize)]
pub(crate) struct After {
    #[serde(default)]
    pub(crate) after: String,
}

/// Jobs with their revisions, by name.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Jobs {
    pub(crate) jobs: Vec<(String, i64)>,
    /// Are there more after the last?
    pub(crate) more: bool,
}

/// Some jobs.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Asked {
    pub(crate) jobs: Vec<String>,
}

/// A sum for each job that was asked for, in that order; `None` where there is no such job.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Sums {
    pub(crate) sums: Vec<Option<String>>,
}

/// One job.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct OfJob {
    pub(crate) job: String,
}

/// The names of a job's facts and photos. A photo has its hash, media type and length.
#[derive(Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Names {
    pub(crate) facts: Vec<String>,
    pub(crate) photos: Vec<(String, String, u64)>,
}

impl From<store::JobNames> for Names {
    fn from(names: store::JobNames) -> Names {
        let photos = names.photos.into_iter().map(|(photo, (kind, bytes))| (photo, kind, bytes));
        Names { facts: names.facts, photos: photos.collect() }
    }
}

/// Facts that are wanted, by name. The answer holds a line each, as many as fit, in that order.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Wanted {
    pub(crate) job: String,
    pub(crate) facts: Vec<String>,
}

/// What became of facts.
#[derive(Debug, Default, Serialize, Deserialize)]
pub(crate) struct Taken {
    /// That were new.
    pub(crate) stored: usize,
    /// That were not taken: name, and why.
    pub(crate) refused: Vec<(String, String)>,
    /// Of which another one of the same name is there.
    pub(crate) differ: Vec<String>,
}

/// A photo, from a place in it on.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Piece {
    pub(crate) job: String,
    pub(crate) photo: String,
    /// Where the piece begins, bytes.
    #[serde(default)]
    pub(crate) at: u64,
    /// Length of the whole photo, bytes.
    #[serde(default)]
    pub(crate) bytes: u64,
}

/// How far a photo has arrived.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Offset {
    /// The job has it whole.
    pub(crate) whole: bool,
    /// Bytes that are here already.
    pub(crate) at: u64,
}
