//! Restoring a backup: into an empty folder, all of it or nothing.

use crate::archive::{Member, Unpack, What, blocking};
use crate::backup::{DATABASE, member_name};
use crate::folder::{Folder, sync_dir};
use crate::{Error, Form, Options, PHOTO_MAX_BYTES, database, hash, photos};
use object_store::path::Path as Key;
use object_store::{ObjectStore, ObjectStoreExt};
use sqlx::Connection;
use std::collections::BTreeSet;
use std::fs::File;
use std::path::Path;
use std::sync::Arc;
use tokio::sync::Mutex;

/// Largest database in a backup, bytes.
const DATABASE_MAX: u64 = 64 << 30;
/// Most that a backup may unpack to, bytes.
const TOTAL_MAX: u64 = 1 << 40;

/// What was restored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// When the backup was made, UTC.
    pub made: String,
    /// Version of the program that made it.
    pub program: String,
    /// Forms of photos restored.
    pub n_photos: usize,
    /// Forms of photos that the backup could not hold when it was made.
    pub lacking: Vec<String>,
}

/// Restores a backup into a folder that is empty or does not exist. Every hash is verified before anything is
/// written, and again while it is. Until all is on the disk the folder cannot be opened as a store.
///
/// # Errors
/// The folder is not empty, or the backup is damaged, which names the member. Nothing is left behind then.
pub async fn restore(file: impl AsRef<Path>, folder: impl AsRef<Path>) -> Result<Restored, Error> {
    restore_as(file, folder, Options::default()).await
}

/// As [`restore`], with photos kept elsewhere.
///
/// # Errors
/// As [`restore`].
pub async fn restore_as(
    file: impl AsRef<Path>,
    folder: impl AsRef<Path>,
    options: Options,
) -> Result<Restored, Error> {
    let file = file.as_ref().to_owned();
    let unpack = blocking(move || {
        let mut unpack = Unpack::open(&file, What::Backup, bound, TOTAL_MAX)?;
        for member in &unpack.manifest.members {
            if member.name != DATABASE && form_of(member).is_none() {
                return Err(unpack.damaged(&member.name, "its name is not its hash"));
            }
        }
        unpack.verify()?;
        Ok(unpack)
    })
    .await?;

    let was_there = folder.as_ref().exists();
    let folder = Folder::make(folder.as_ref())?;
    let lock = folder.lock()?;
    if !folder.is_empty()? {
        return Err(Error::NotEmpty { path: folder.root().to_owned() });
    }
    let mut put = Put { photos: options.photos, own: false, keys: Vec::new() };
    let result = fill(&folder, unpack, &mut put).await;
    if result.is_err() {
        put.take_back(&folder).await;
        let _ = std::fs::remove_dir_all(folder.restoring());
        lock.release();
        if !was_there {
            let _ = std::fs::remove_dir_all(folder.root());
        }
    }
    result
}

/// Photos put so far.
struct Put {
    photos: Option<Arc<dyn ObjectStore>>,
    /// Is it the folder of photos within the data folder?
    own: bool,
    keys: Vec<Key>,
}

impl Put {
    async fn take_back(&self, folder: &Folder) {
        if self.own {
            let _ = std::fs::remove_dir_all(folder.photos());
        } else if let Some(photos) = &self.photos {
            for key in &self.keys {
                let _ = photos.delete(key).await;
            }
        }
        let _ = std::fs::remove_file(folder.database());
    }
}

async fn fill(folder: &Folder, mut unpack: Unpack, put: &mut Put) -> Result<Restored, Error> {
    let failed = |error| folder.error(error);
    // From here until it is gone again the folder counts as half restored.
    let stage = folder.restoring();
    std::fs::create_dir(&stage).and_then(|()| sync_dir(folder.root())).map_err(failed)?;

    let database = stage.join(DATABASE);
    let member = unpack.member(DATABASE)?;
    let to = database.clone();
    let refuse = folder.clone();
    unpack = blocking(move || {
        let failed = |error| refuse.error(error);
        let mut out = File::create(&to).map_err(failed)?;
        unpack.copy(&member, &mut out, &failed)?;
        out.sync_all().map_err(failed)?;
        Ok(unpack)
    })
    .await?;
    check(folder, &database, &unpack).await?;

    let photos = match &put.photos {
        Some(photos) => Arc::clone(photos),
        None => {
            put.own = true;
            photos::local(folder)?
        }
    };
    let lanes = [Mutex::new(())];
    let mut n_photos = 0;
    for member in unpack.manifest.members.clone() {
        let Some(form) = form_of(&member) else { continue };
        let sha256 = member.sha256.clone();
        let (back, bytes) = blocking(move || unpack.read(&member).map(|bytes| (unpack, bytes))).await?;
        unpack = back;
        let new = photos::put_bytes(&photos, &lanes, form, &sha256, bytes)
            .await
            .map_err(|error| photos::photos_error(folder, error))??;
        if new {
            put.keys.push(photos::key(form, &sha256));
        }
        n_photos += 1;
    }
    std::fs::rename(&database, folder.database()).map_err(failed)?;
    sync_dir(folder.root()).map_err(failed)?;
    std::fs::remove_dir_all(&stage).map_err(failed)?;
    sync_dir(folder.root()).map_err(failed)?;
    let manifest = unpack.manifest;
    Ok(Restored { made: manifest.made, program: manifest.program, n_photos, lacking: manifest.lacking })
}

/// Is the database whole and not of a newer program, and is every photo here that it knows of?
async fn check(folder: &Folder, database: &Path, unpack: &Unpack) -> Result<(), Error> {
    let failed = |error| database::error_of(folder, "checking", error);
    let mut connection = database::plain(folder, database).await?;
    database::check_file(folder, &mut connection).await?;
    database::refuse_newer(folder, &mut connection).await?;
    let rows = photos::all(&mut connection).await.map_err(failed)?;
    connection.close().await.map_err(failed)?;
    let members: BTreeSet<&str> = unpack.manifest.members.iter().map(|member| member.name.as_str()).collect();
    for (_, place) in rows {
        let name = member_name(place.form, &place.sha256);
        if !members.contains(name.as_str()) && !unpack.manifest.lacking.contains(&name) {
            return Err(unpack.missing(&name));
        }
    }
    Ok(())
}

fn bound(name: &str) -> Option<u64> {
    match name {
        DATABASE => Some(DATABASE_MAX),
        name => parse(name).map(|_| PHOTO_MAX_BYTES as u64),
    }
}

/// The form of a member that is a photo, if its name is what its hash gives.
fn form_of(member: &Member) -> Option<Form> {
    let (form, sha256) = parse(&member.name)?;
    (sha256 == member.sha256).then_some(form)
}

fn parse(name: &str) -> Option<(Form, &str)> {
    let (form, rest) = name.strip_prefix("photos/")?.split_once('/')?;
    let (_, sha256) = rest.split_once('/')?;
    let form = Form::of_word(form)?;
    (hash::is_sha256(sha256) && member_name(form, sha256) == name).then_some((form, sha256))
}
