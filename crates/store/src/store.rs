//! The store: opened on a folder, shared by all tasks, closed.

use crate::base::Base;
use crate::folder::{Folder, Lock};
use crate::notice::{self, Ears, Elsewhere};
use crate::writer::{Statement, Writer};
use crate::{Bucket, Change, Error, audit, database, hash, photos};
use object_store::ObjectStore;
use sqlx::AnyPool;
use std::fmt;
use std::path::Path;
use std::sync::Arc;
use tokio::sync::{Mutex, broadcast};
use tokio::task::JoinHandle;

/// Changes that a slow listener may lag behind before it is told that it missed some.
const CHANGES: usize = 1024;
/// Photos of different hash are put side by side, those of one hash one after the other.
const PUT_LANES: usize = 16;

/// How a store is opened.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Where photos lie; a folder within the data folder unless another place is given.
    pub photos: Option<Arc<dyn ObjectStore>>,
    /// Or a bucket that has them.
    pub bucket: Option<Bucket>,
    /// Bound of the database in pages of 4096 bytes, for a quota.
    pub max_pages: Option<i64>,
    /// Address of a PostgreSQL server that has the rows, `postgres://…`; without one they lie in the data folder.
    /// Several programs may use one server at once.
    pub database: Option<String>,
}

impl Options {
    fn photos_in(&self, folder: &Folder) -> Result<Arc<dyn ObjectStore>, Error> {
        match (&self.photos, &self.bucket) {
            (Some(photos), _) => Ok(Arc::clone(photos)),
            (None, Some(bucket)) => bucket.open(),
            (None, None) => photos::local(folder),
        }
    }
}

/// A store of facts and photos. A clone is the same store.
#[derive(Clone)]
pub struct Store {
    pub(crate) inner: Arc<Inner>,
}

pub(crate) struct Inner {
    pub(crate) base: Base,
    pub(crate) pool: AnyPool,
    pub(crate) photos: Arc<dyn ObjectStore>,
    pub(crate) put_lanes: [Mutex<()>; PUT_LANES],
    /// None where the store only reads.
    writer: Option<Writer>,
    pub(crate) ears: Ears,
    /// Hears what other programs on the same database do.
    listener: Option<JoinHandle<()>>,
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
        let base = Base::new(Folder::make(folder.as_ref())?, options.database.as_deref())?;
        let folder = &base.folder;
        let alone = base.server.is_none();
        let lock = Arc::new(if alone { folder.lock()? } else { folder.share()? });
        folder.refuse_half_restored()?;
        if alone {
            folder.empty_scratch();
        }
        let mut connection = database::writer(&base, options.max_pages).await?;
        database::check(&base, &mut connection).await?;
        database::migrate(&base, &mut connection).await?;
        audit::seal(&base, &mut connection).await?;
        let pool = database::readers(&base).await?;
        let photos = options.photos_in(folder)?;
        let ears = Ears::new(CHANGES);
        let name = hash::random_hex::<8>()?;
        let listener = notice::listen(&base, name.clone(), pool.clone(), ears.clone()).await?;
        let writer =
            Writer::start(base.clone(), connection, options.max_pages, Arc::clone(&lock), ears.clone(), name);
        let put_lanes = std::array::from_fn(|_| Mutex::new(()));
        let (writer, lock) = (Some(writer), Some(lock));
        let inner = Inner { base, pool, photos, put_lanes, writer, ears, listener, lock };
        let store = Store { inner: Arc::new(inner) };
        // A program that was killed while it forgot has left photos.
        store.finish_all_forgetting().await?;
        Ok(store)
    }

    /// Opens a folder for reading only, beside a program that writes to it or without one: for a backup or an
    /// export.
    ///
    /// # Errors
    /// There is no database, or it is not of the version of this program.
    pub async fn open_reading(folder: impl AsRef<Path>, options: Options) -> Result<Self, Error> {
        let folder = match options.database {
            None => Folder::existing(folder.as_ref())?,
            Some(_) => Folder::make(folder.as_ref())?,
        };
        let base = Base::new(folder, options.database.as_deref())?;
        base.folder.refuse_half_restored()?;
        let pool = database::readers(&base).await?;
        database::require_present(&base, &pool).await?;
        let photos = options.photos_in(&base.folder)?;
        let ears = Ears::new(1);
        let put_lanes = std::array::from_fn(|_| Mutex::new(()));
        let (writer, listener, lock) = (None, None, None);
        Ok(Store { inner: Arc::new(Inner { base, pool, photos, put_lanes, writer, ears, listener, lock }) })
    }

    /// The data folder.
    pub fn folder(&self) -> &Path {
        self.inner.base.folder.root()
    }

    /// Tells of every change from now on, after it is on the disk. A listener that lags is told so, and reads the
    /// jobs afresh.
    pub fn subscribe(&self) -> broadcast::Receiver<Change> {
        self.inner.ears.changes.subscribe()
    }

    /// Tells what other programs on the same database did besides storing facts.
    pub fn subscribe_elsewhere(&self) -> broadcast::Receiver<Elsewhere> {
        self.inner.ears.elsewhere.subscribe()
    }

    /// Stores what waits, and lets the folder go. Calls after it fail, on every clone.
    pub async fn close(self) {
        if let Some(writer) = &self.inner.writer {
            writer.close().await;
        }
        if let Some(listener) = &self.inner.listener {
            listener.abort();
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
        self.writer()?.write(statements, None).await
    }

    /// As [`Store::write`], told to other programs on the same database.
    pub(crate) async fn write_told(
        &self,
        statements: Vec<Statement>,
        told: Elsewhere,
    ) -> Result<bool, Error> {
        self.writer()?.write(statements, Some(told)).await
    }

    /// What a failure of reading means.
    pub(crate) fn failed(&self, doing: &'static str) -> impl Fn(sqlx::Error) -> Error + '_ {
        move |error| match error {
            sqlx::Error::PoolClosed => Error::Closed,
            error => self.inner.base.error(doing, error),
        }
    }
}

impl fmt::Debug for Store {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Store").field("folder", &self.folder()).finish_non_exhaustive()
    }
}
