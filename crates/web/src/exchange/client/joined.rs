//! What the laptop keeps of a shop: the secret by which it comes in, and at which revision each job was agreed upon.

use super::line::{Errand, ExchangeError};
use crate::exchange::parts::FOLDER;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};

/// The secret of this machine at a shop.
#[derive(Serialize, Deserialize)]
pub(super) struct Joined {
    pub(super) shop: String,
    pub(super) token: String,
}

impl Joined {
    /// `None` where this machine has not joined there.
    pub(super) fn read(data: &Path, errand: &Errand) -> Option<Joined> {
        let text = fs::read_to_string(place(data, errand, "joined")).ok()?;
        serde_json::from_str(&text).ok()
    }

    pub(super) fn write(&self, data: &Path, errand: &Errand) -> Result<(), ExchangeError> {
        let text = serde_json::to_string(self).unwrap_or_default();
        write(&place(data, errand, "joined"), &text)
    }
}

/// At which revision each job was the same on both sides.
pub(super) struct Agreed {
    path: PathBuf,
    jobs: BTreeMap<String, i64>,
}

impl Agreed {
    /// What cannot be read is asked again.
    pub(super) fn read(data: &Path, errand: &Errand) -> Agreed {
        let path = place(data, errand, "agreed");
        let text = fs::read_to_string(&path).unwrap_or_default();
        Agreed { path, jobs: serde_json::from_str(&text).unwrap_or_default() }
    }

    pub(super) fn revision(&self, job: &str) -> Option<i64> {
        self.jobs.get(job).copied()
    }

    pub(super) fn note(&mut self, job: &str, revision: i64) {
        self.jobs.insert(job.to_owned(), revision);
    }

    pub(super) fn write(&self) -> Result<(), ExchangeError> {
        write(&self.path, &serde_json::to_string(&self.jobs).unwrap_or_default())
    }
}

/// A file of its own for each shop.
fn place(data: &Path, errand: &Errand, what: &str) -> PathBuf {
    let shop: String = store::sha256(errand.shop.as_bytes()).chars().take(16).collect();
    data.join(FOLDER).join(format!("{shop}.{what}.json"))
}

/// Writes a file that only the owner may read: beside its place first, so that it is never there in part.
fn write(path: &Path, text: &str) -> Result<(), ExchangeError> {
    let failed = |source| ExchangeError::File { path: path.to_owned(), source };
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).map_err(failed)?;
    }
    let beside = path.with_extension("new");
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(&beside).map_err(failed)?;
    file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(failed)?;
    fs::rename(&beside, path).map_err(failed)
}
