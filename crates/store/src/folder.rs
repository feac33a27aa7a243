//! The data folder: what lies where in it, and that only one program writes to it.

use crate::Error;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{ErrorKind, Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

/// Names within the folder.
const DATABASE: &str = "panelwright.sqlite";
const PHOTOS: &str = "photos";
const LOCK: &str = "lock";
const RESTORING: &str = "restoring";
const SCRATCH: &str = "scratch";

/// A data folder.
#[derive(Debug, Clone)]
pub(crate) struct Folder {
    root: PathBuf,
}

impl Folder {
    /// The folder, made where it does not exist.
    pub(crate) fn make(root: &Path) -> Result<Self, Error> {
        let folder = Folder { root: root.to_owned() };
        if root.exists() && !root.is_dir() {
            return Err(Error::NotAFolder { path: root.to_owned() });
        }
        std::fs::create_dir_all(root).map_err(|error| folder.error(error))?;
        if let Some(parent) = root.parent().filter(|parent| !parent.as_os_str().is_empty()) {
            sync_dir(parent).map_err(|error| folder.error(error))?;
        }
        Ok(folder)
    }

    /// The folder, which must hold a database.
    pub(crate) fn existing(root: &Path) -> Result<Self, Error> {
        let folder = Folder { root: root.to_owned() };
        if root.exists() && !root.is_dir() {
            return Err(Error::NotAFolder { path: root.to_owned() });
        }
        if folder.database().is_file() {
            Ok(folder)
        } else {
            Err(Error::NoDatabase { path: root.to_owned() })
        }
    }

    pub(crate) fn root(&self) -> &Path {
        &self.root
    }

    pub(crate) fn database(&self) -> PathBuf {
        self.root.join(DATABASE)
    }

    /// Where photos lie unless another store is given.
    pub(crate) fn photos(&self) -> PathBuf {
        self.root.join(PHOTOS)
    }

    /// There while a backup is being restored into the folder.
    pub(crate) fn restoring(&self) -> PathBuf {
        self.root.join(RESTORING)
    }

    /// For files that are there only for a moment. Emptied when the store opens.
    pub(crate) fn scratch(&self) -> Result<PathBuf, Error> {
        let path = self.root.join(SCRATCH);
        std::fs::create_dir_all(&path).map_err(|error| self.error(error))?;
        Ok(path)
    }

    pub(crate) fn empty_scratch(&self) {
        // Left-overs of a killed program; that one cannot be removed harms nothing.
        let _ = std::fs::remove_dir_all(self.root.join(SCRATCH));
    }

    pub(crate) fn refuse_half_restored(&self) -> Result<(), Error> {
        if self.restoring().exists() { Err(Error::HalfRestored { path: self.root.clone() }) } else { Ok(()) }
    }

    /// Is there nothing in it but the lock?
    pub(crate) fn is_empty(&self) -> Result<bool, Error> {
        for entry in std::fs::read_dir(&self.root).map_err(|error| self.error(error))? {
            if entry.map_err(|error| self.error(error))?.file_name() != LOCK {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// What an input or output error means here.
    pub(crate) fn error(&self, error: std::io::Error) -> Error {
        let path = self.root.clone();
        match error.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Error::DiskFull { path },
            ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => Error::ReadOnly { path },
            ErrorKind::NotADirectory => Error::NotAFolder { path },
            _ => Error::Folder { path, source: Arc::new(error) },
        }
    }

    /// Takes the lock beside others that share it: rows lie on a server, which keeps writers apart itself. A program
    /// that writes rows into this folder is kept out.
    pub(crate) fn share(&self) -> Result<Lock, Error> {
        let path = self.root.join(LOCK);
        let mut options = OpenOptions::new();
        let options = options.read(true).write(true).create(true).truncate(false);
        let mut file = options.open(&path).map_err(|error| self.error(error))?;
        match file.try_lock_shared() {
            Ok(()) => Ok(Lock(Mutex::new(Some(file)))),
            Err(TryLockError::WouldBlock) => Err(self.locked(&mut file)),
            Err(TryLockError::Error(error)) => Err(self.error(error)),
        }
    }

    fn locked(&self, file: &mut File) -> Error {
        let mut text = String::new();
        let process = file.read_to_string(&mut text).ok().and_then(|_| text.trim().parse().ok());
        Error::Locked { path: self.root.clone(), process }
    }

    /// Takes the lock, or says who has it.
    pub(crate) fn lock(&self) -> Result<Lock, Error> {
        let path = self.root.join(LOCK);
        let mut options = OpenOptions::new();
        let options = options.read(true).write(true).create(true).truncate(false);
        let mut file = options.open(&path).map_err(|error| self.error(error))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(self.locked(&mut file)),
            Err(TryLockError::Error(error)) => return Err(self.error(error)),
        }
        // The number only serves the message of the other program: it must not keep the store from opening on a
        // full disk, where what is stored can still be read.
        let written = file.set_len(0).and_then(|()| file.rewind());
        let _ = written.and_then(|()| writeln!(file, "{}", std::process::id()));
        Ok(Lock(Mutex::new(Some(file))))
    }
}

/// The right to write to a folder; given back when it is dropped, and by the system when the program dies.
#[derive(Debug)]
pub(crate) struct Lock(Mutex<Option<File>>);

impl Lock {
    /// Gives it back.
    pub(crate) fn release(&self) {
        let mut file = self.0.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        *file = None;
    }
}

/// Makes the names in a folder durable. Windows has no way to do that, and needs none.
pub(crate) fn sync_dir(path: &Path) -> std::io::Result<()> {
    if cfg!(unix) { File::open(path)?.sync_all() } else { Ok(()) }
}
