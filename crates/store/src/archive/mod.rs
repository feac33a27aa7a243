//! One file that holds many, each with its hash: what backups and exported jobs are made of.

mod pack;
mod unpack;

pub(crate) use pack::Pack;
pub(crate) use unpack::Unpack;

use crate::Error;
use serde::{Deserialize, Serialize};

/// Version of the layout that is written.
const VERSION: u32 = 1;
/// Name of the list of members.
const MANIFEST: &str = "manifest.json";

/// What an archive is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum What {
    /// A whole data folder.
    Backup,
    /// One job.
    Job,
}

impl What {
    pub(crate) const fn words(self) -> &'static str {
        match self {
            What::Backup => "a backup of this program",
            What::Job => "an exported job of this program",
        }
    }
}

/// The list of members with their hashes.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Manifest {
    /// What the archive is.
    pub(crate) panelwright: What,
    /// Version of the layout.
    pub(crate) version: u32,
    /// Version of the program that wrote it.
    pub(crate) program: String,
    /// When it was written, UTC.
    pub(crate) made: String,
    /// Name of the job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) job: Option<String>,
    /// Photos that should be here and were gone or damaged when it was written.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) lacking: Vec<String>,
    /// Every member but this list.
    pub(crate) members: Vec<Member>,
}

/// A member.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Member {
    pub(crate) name: String,
    pub(crate) bytes: u64,
    pub(crate) sha256: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) photo: Option<PhotoMember>,
}

/// What a member is that is a form of a photo.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct PhotoMember {
    /// SHA-256 of the original.
    pub(crate) sha256: String,
    pub(crate) form: String,
    pub(crate) media_type: String,
}

/// Runs work that blocks, beside the tasks that must not.
pub(crate) async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Error> + Send + 'static,
) -> Result<T, Error> {
    // It fails only where the runtime is going down.
    tokio::task::spawn_blocking(work).await.map_err(|_| Error::Closed)?
}
