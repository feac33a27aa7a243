//! The store: opened on a folder, shared by all tasks, closed.

use crate::folder::{Folder, Lock};
use crate::writer::{Statement, Writer};
use crate::{Change, Error, database, photos};
use object_store::ObjectStore;
use sqlx::AnyPool;
use std::fmt;
use std::path::Path;
use std::sync::Arc;
use tokio::sync::{Mutex, broadcast};

/// Changes that a slow listener may lag behind before it is told that it missed some.
const CHANGES: usize = 1024;
/// Photos of different hash are put side by side, those of one hash one after the other.
const PUT_LANES: usize = 16;

/// How a store is opened.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Where photos lie; a folder within the data folder unless another place is given.
    pub photos: Option<Arc<dyn ObjectStore>>,
    /// Bound of the database in pages of 4096 bytes, for a quota.
    pub max_pages: Option<i64>,
}

/// A store of facts and photos. A clone is the same store.
#[derive(Clone)]
pub struct Store {
    pub(crate) inner: Arc<Inner>,
}

pub(crate) struct Inner {
    pub(crate) folder: Folder,
    pub(crate) pool: AnyPool,
    pub(crate) photos: Arc<dyn ObjectStore>,
    pub(crate) put_lanes: [Mutex<()>; PUT_LANES],
    /// None where the store only reads.
    writer: Option<Writer>,
    changes: broadcast::Sender<Change>,
    lock: Option<Arc<Lock>>,
}

impl Store {
    /// Opens the folder for writing, and makes it where it does not exist. Must be called within a Tokio runtime.
    ///
    /// # Errors
    /// The folder cannot be used, is in use, or its database is damaged or of a newer program.
    pub async fn open(folder: impl AsRef<Path>) -> Result<Self, Error> {
        Self::open_as(folder, Options::default()).await
    }

    /// As [`Store::open`], with photos kept elsewhere.
    ///
    /// # Errors
    /// As [`Store::open`].
    pub async fn open_with(folder: impl AsRef<Path>, photos: Arc<dyn ObjectStore>) -> Result<Self, Error> {
        Self::open_as(folder, Options { photos: Some(photos), ..Options::default() }).await
    }

    /// As [`Store::open`], with options.
    ///
    /// # Errors
    /// As [`Store::open`].
    pub async fn open_as(folder: impl AsRef<Path>, options: Options) -> Result<Self, Error> {
        let folder = Folder::make(folder.as_ref())?;
        let lock = Arc::new(folder.lock()?);
        folder.refuse_half_restored()?;
        folder.empty_scratch();
        let mut connection = database::writer(&folder, options.max_pages).await?;
        database::check(&folder, &mut connection).await?;
        database::migrate(&folder, &mut connection).await?;
        let pool = database::readers(&folder).await?;
        let photos = match options.photos {
            Some(photos) => photos,
            None => photos::local(&folder)?,
        };
        let (changes, _) = broadcast::channel(CHANGES);
        let writer =
            Writer::start(folder.clone(), connection, options.max_pages, Arc::clone(&lock), changes.clone());
        Ok(Self::of(folder, pool, photos, Some(writer), changes, Some(lock)))
    }

    /// Opens a folder for reading only, beside a program that writes to it or without one: for a backup or an
    /// export.
    ///
    /// # Errors
    /// There is no database, or it is not of the version of this program.
    pub async fn open_reading(folder: impl AsRef<Path>, options: Options) -> Result<Self, Error> {
        let folder = Folder::existing(folder.as_ref())?;
        folder.refuse_half_restored()?;
        let pool = database::readers(&folder).await?;
        database::require_present(&folder, &pool).await?;
        let photos = match options.photos {
            Some(photos) => photos,
            None => photos::local(&folder)?,
        };
        let (changes, _) = broadcast::channel(1);
        Ok(Self::of(folder, pool, photos, None, changes, None))
    }

    fn of(
        folder: Folder,
        pool: AnyPool,
        photos: Arc<dyn ObjectStore>,
        writer: Option<Writer>,
        changes: broadcast::Sender<Change>,
        lock: Option<Arc<Lock>>,
    ) -> Self {
        let put_lanes = std::array::from_fn(|_| Mutex::new(()));
        Store { inner: Arc::new(Inner { folder, pool, photos, put_lanes, writer, changes, lock }) }
    }

    /// The data folder.
    pub fn folder(&self) -> &Path {
        self.inner.folder.root()
    }

    /// Tells of every change from now on, after it is on the disk. A listener that lags is told so, and reads the
    /// jobs afresh.
    pub fn subscribe(&self) -> broadcast::Receiver<Change> {
        self.inner.changes.subscribe()
    }

    /// Stores what waits, and lets the folder go. Calls after it fail, on every clone.
    pub async fn close(self) {
        if let Some(writer) = &self.inner.writer {
            writer.close().await;
        }
        self.inner.pool.close().await;
        if let Some(lock) = &self.inner.lock {
            lock.release();
        }
    }

    pub(crate) fn writer(&self) -> Result<&Writer, Error> {
        self.inner.writer.as_ref().ok_or(Error::ReadingOnly)
    }

    pub(crate) async fn write(&self, statements: Vec<Statement>) -> Result<bool, Error> {
        self.writer()?.write(statements).await
    }

    /// What a failure of reading means.
    pub(crate) fn failed(&self, doing: &'static str) -> impl Fn(sqlx::Error) -> Error + '_ {
        move |error| match error {
            sqlx::Error::PoolClosed => Error::Closed,
            error => database::error_of(&self.inner.folder, doing, error),
        }
    }
}

impl fmt::Debug for Store {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Store").field("folder", &self.folder()).finish_non_exhaustive()
    }
}
