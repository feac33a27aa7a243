//! Reading an archive, of which nothing is believed: every member is bounded, named in the list, and hashed.

use super::pack::file_error;
use super::{MANIFEST, Manifest, Member, VERSION, What};
use crate::{Error, hash};
use std::collections::BTreeSet;
use std::fs::File;
use std::io::{BufReader, Read, Write};
use std::path::{Path, PathBuf};
use zip::ZipArchive;

/// Longest list of members, bytes.
const MANIFEST_MAX: u64 = 64 * 1024 * 1024;
const CHUNK: usize = 64 * 1024;

/// An archive whose list was read and agrees with what is in it; the members themselves are verified as they are
/// read.
pub(crate) struct Unpack {
    zip: ZipArchive<BufReader<File>>,
    path: PathBuf,
    pub(crate) manifest: Manifest,
}

impl Unpack {
    /// Opens an archive. `bound` gives the most bytes a member of this name may have, `None` where it does not
    /// belong; no member is written to the disk by its name in the archive.
    pub(crate) fn open(
        path: &Path,
        what: What,
        bound: impl Fn(&str) -> Option<u64>,
        total_max: u64,
    ) -> Result<Self, Error> {
        let not_one = |why: String| Error::NotAnArchive { path: path.to_owned(), what: what.words(), why };
        let file = File::open(path).map_err(|error| file_error(path, error))?;
        let mut zip = ZipArchive::new(BufReader::new(file)).map_err(|error| not_one(error.to_string()))?;
        let mut list = Vec::new();
        match zip.by_name(MANIFEST) {
            Ok(mut member) => member.by_ref().take(MANIFEST_MAX).read_to_end(&mut list),
            Err(zip::result::ZipError::FileNotFound) => return Err(not_one(format!("it has no {MANIFEST}"))),
            Err(error) => return Err(damaged(path, MANIFEST, error)),
        }
        .map_err(|error| damaged(path, MANIFEST, error))?;
        let manifest = read_manifest(path, what, &list)?;

        let mut names = BTreeSet::new();
        let mut total: u64 = 0;
        for member in &manifest.members {
            let name = member.name.clone();
            let (path, bytes) = (path.to_owned(), member.bytes);
            let Some(max) = bound(&name) else { return Err(Error::MemberForeign { path, member: name }) };
            if max < bytes {
                return Err(Error::MemberTooLarge { path, member: name, bytes, max });
            }
            total = total.saturating_add(bytes);
            if total_max < total {
                return Err(Error::MemberTooLarge { path, member: name, bytes: total, max: total_max });
            }
            if zip.index_for_name(&name).is_none() {
                return Err(Error::MemberMissing { path, member: name });
            }
            if !names.insert(member.name.as_str()) {
                return Err(Error::MemberForeign { path, member: name });
            }
        }
        let foreign = zip.file_names().find(|name| *name != MANIFEST && !names.contains(name));
        if let Some(name) = foreign {
            return Err(Error::MemberForeign { path: path.to_owned(), member: name.to_owned() });
        }
        Ok(Unpack { zip, path: path.to_owned(), manifest })
    }

    /// Verifies every member and keeps nothing.
    pub(crate) fn verify(&mut self) -> Result<(), Error> {
        let path = self.path.clone();
        for member in self.manifest.members.clone() {
            self.copy(&member, &mut std::io::sink(), &|error| file_error(&path, error))?;
        }
        Ok(())
    }

    /// The bytes of a member, verified.
    pub(crate) fn read(&mut self, member: &Member) -> Result<Vec<u8>, Error> {
        let mut bytes = Vec::new();
        let path = self.path.clone();
        self.copy(member, &mut bytes, &|error| file_error(&path, error))?;
        Ok(bytes)
    }

    /// Copies a member; an error means that what was copied is worth nothing. `failed` says what a failure of
    /// writing means.
    pub(crate) fn copy(
        &mut self,
        member: &Member,
        to: &mut impl Write,
        failed: &impl Fn(std::io::Error) -> Error,
    ) -> Result<(), Error> {
        let path = self.path.clone();
        let mut from = self.zip.by_name(&member.name).map_err(|error| damaged(&path, &member.name, error))?;
        let mut running = hash::Running::default();
        let mut bytes: u64 = 0;
        let mut chunk = vec![0; CHUNK];
        loop {
            let n = from.read(&mut chunk).map_err(|error| damaged(&path, &member.name, error))?;
            if n == 0 {
                break;
            }
            bytes += n as u64;
            if member.bytes < bytes {
                break;
            }
            running.add(&chunk[..n]);
            to.write_all(&chunk[..n]).map_err(failed)?;
        }
        if bytes != member.bytes {
            return Err(damaged(
                &path,
                &member.name,
                format!("it has not the {} bytes of the list", member.bytes),
            ));
        }
        if running.finish() != member.sha256 {
            return Err(damaged(&path, &member.name, "its hash is not the one of the list"));
        }
        Ok(())
    }

    /// The member of this name.
    pub(crate) fn member(&self, name: &str) -> Result<Member, Error> {
        let found = self.manifest.members.iter().find(|member| member.name == name);
        found.cloned().ok_or_else(|| self.missing(name))
    }

    /// A member should be here and is not.
    pub(crate) fn missing(&self, member: &str) -> Error {
        Error::MemberMissing { path: self.path.clone(), member: member.to_owned() }
    }

    /// A member says what cannot be.
    pub(crate) fn damaged(&self, member: &str, why: impl std::fmt::Display) -> Error {
        damaged(&self.path, member, why)
    }
}

fn read_manifest(path: &Path, what: What, list: &[u8]) -> Result<Manifest, Error> {
    #[derive(serde::Deserialize)]
    struct Head {
        panelwright: What,
        version: u32,
    }
    let path = path.to_owned();
    let unread = |error: serde_json::Error| damaged(&path, MANIFEST, error);
    let head: Head = serde_json::from_slice(list).map_err(unread)?;
    if head.panelwright != what {
        let why = format!("it is {}", head.panelwright.words());
        return Err(Error::NotAnArchive { path, what: what.words(), why });
    }
    if VERSION < head.version {
        return Err(Error::NewerArchive { path, found: head.version, known: VERSION });
    }
    serde_json::from_slice(list).map_err(unread)
}

fn damaged(path: &Path, member: &str, why: impl std::fmt::Display) -> Error {
    Error::MemberDamaged { path: path.to_owned(), member: member.to_owned(), why: why.to_string() }
}
