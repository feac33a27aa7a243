//! Writing an archive: beside its place, flushed, then given its name.

use super::{MANIFEST, Manifest, Member, PhotoMember, VERSION, What};
use crate::folder::sync_dir;
use crate::{Error, hash};
use std::fs::File;
use std::io::{BufWriter, ErrorKind, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const CHUNK: usize = 64 * 1024;

/// An archive that is being written. Dropped before it is finished it leaves nothing behind.
pub(crate) struct Pack {
    zip: ZipWriter<BufWriter<Out>>,
    failure: Arc<Mutex<Option<std::io::Error>>>,
    place: Workplace,
    manifest: Manifest,
}

/// The file. Its first failure is kept for [`Pack`] to find, and what comes after is dropped: the packer tries to
/// finish when it is dropped, and would complain on standard error where the disk is full.
struct Out {
    file: File,
    failure: Arc<Mutex<Option<std::io::Error>>>,
}

impl Write for Out {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        let mut failure = self.failure.lock().unwrap_or_else(PoisonError::into_inner);
        if failure.is_none() {
            match self.file.write(bytes) {
                Err(error) if error.kind() != ErrorKind::Interrupted => *failure = Some(error),
                result => return result,
            }
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        self.file.flush()
    }
}

impl Seek for Out {
    fn seek(&mut self, to: SeekFrom) -> std::io::Result<u64> {
        self.file.seek(to)
    }
}

/// A folder beside the file to be, for what is there only meanwhile.
struct Workplace {
    target: PathBuf,
    folder: PathBuf,
}

impl Drop for Workplace {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

impl Workplace {
    fn beside(target: &Path) -> Result<Self, Error> {
        if target.exists() {
            return Err(Error::FileExists { path: target.to_owned() });
        }
        let name = target.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let folder = parent(target).join(format!(".{name}.{}", hash::random_hex::<4>()?));
        std::fs::create_dir(&folder).map_err(|error| file_error(target, error))?;
        Ok(Workplace { target: target.to_owned(), folder })
    }

    fn archive(&self) -> PathBuf {
        self.folder.join("archive.zip")
    }
}

impl Pack {
    pub(crate) fn begin(target: &Path, what: What, job: Option<&str>) -> Result<Self, Error> {
        let place = Workplace::beside(target)?;
        let file = File::create(place.archive()).map_err(|error| file_error(target, error))?;
        let manifest = Manifest {
            panelwright: what,
            version: VERSION,
            program: env!("CARGO_PKG_VERSION").to_owned(),
            made: jiff::Timestamp::now().to_string(),
            job: job.map(str::to_owned),
            lacking: Vec::new(),
            members: Vec::new(),
        };
        let failure = Arc::default();
        let out = Out { file, failure: Arc::clone(&failure) };
        Ok(Pack { zip: ZipWriter::new(BufWriter::new(out)), failure, place, manifest })
    }

    /// A name for a file that is there until the archive is finished.
    pub(crate) fn beside(&self, name: &str) -> PathBuf {
        self.place.folder.join(name)
    }

    pub(crate) fn lacks(&mut self, name: String) {
        self.manifest.lacking.push(name);
    }

    pub(crate) fn add_text(&mut self, name: &str, text: &str) -> Result<(), Error> {
        self.add(name, text.as_bytes(), CompressionMethod::Deflated, None)
    }

    /// Photos are packed as they are: they are compressed already.
    pub(crate) fn add_photo(&mut self, name: &str, bytes: &[u8], photo: PhotoMember) -> Result<(), Error> {
        self.add(name, bytes, CompressionMethod::Stored, Some(photo))
    }

    pub(crate) fn add_file(&mut self, name: &str, path: &Path) -> Result<(), Error> {
        let file = File::open(path).map_err(|error| file_error(path, error))?;
        self.add(name, file, CompressionMethod::Deflated, None)
    }

    fn add(
        &mut self,
        name: &str,
        mut from: impl Read,
        method: CompressionMethod,
        photo: Option<PhotoMember>,
    ) -> Result<(), Error> {
        let options = SimpleFileOptions::default().compression_method(method).large_file(true);
        self.zip.start_file(name, options).map_err(|error| zip_error(&self.place.target, error))?;
        let mut running = hash::Running::default();
        let mut bytes = 0;
        let mut chunk = vec![0; CHUNK];
        loop {
            let n = match from.read(&mut chunk) {
                Ok(0) => break,
                Ok(n) => n,
                Err(error) if error.kind() == ErrorKind::Interrupted => continue,
                Err(error) => return Err(file_error(&self.place.target, error)),
            };
            running.add(&chunk[..n]);
            bytes += n as u64;
            self.zip.write_all(&chunk[..n]).map_err(|error| file_error(&self.place.target, error))?;
        }
        told(&self.failure).map_err(|error| file_error(&self.place.target, error))?;
        self.manifest.members.push(Member { name: name.to_owned(), bytes, sha256: running.finish(), photo });
        Ok(())
    }

    /// Adds the list, flushes, and gives the file its name. Returns its length in bytes.
    pub(crate) fn finish(mut self) -> Result<u64, Error> {
        let target = self.place.target.clone();
        let failed = |error| file_error(&target, error);
        let list = serde_json::to_vec_pretty(&self.manifest).map_err(|error| failed(error.into()))?;
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        self.zip.start_file(MANIFEST, options).map_err(|error| zip_error(&target, error))?;
        self.zip.write_all(&list).map_err(failed)?;
        let buffer = self.zip.finish().map_err(|error| zip_error(&target, error))?;
        let Out { file, .. } = buffer.into_inner().map_err(|error| failed(error.into_error()))?;
        told(&self.failure).map_err(failed)?;
        file.sync_all().map_err(failed)?;
        let length = file.metadata().map_err(failed)?.len();
        drop(file);
        if target.exists() {
            return Err(Error::FileExists { path: target });
        }
        std::fs::rename(self.place.archive(), &target).map_err(failed)?;
        sync_dir(parent(&target)).map_err(failed)?;
        Ok(length)
    }
}

fn told(failure: &Mutex<Option<std::io::Error>>) -> std::io::Result<()> {
    let failure = failure.lock().unwrap_or_else(PoisonError::into_inner);
    failure.as_ref().map_or(Ok(()), |error| Err(error.kind().into()))
}

fn parent(target: &Path) -> &Path {
    target.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// What an input or output error at a file means.
pub(crate) fn file_error(path: &Path, error: std::io::Error) -> Error {
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            Error::DiskFull { path: parent(path).to_owned() }
        }
        ErrorKind::ReadOnlyFilesystem => Error::ReadOnly { path: parent(path).to_owned() },
        _ => Error::File { path: path.to_owned(), source: Arc::new(error) },
    }
}

fn zip_error(path: &Path, error: zip::result::ZipError) -> Error {
    file_error(path, std::io::Error::from(error))
}
