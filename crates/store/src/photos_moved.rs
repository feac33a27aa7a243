//! Moving photos from one place to another: from folder to bucket, back, or between two of a kind.

use crate::photos::{self, key};
use crate::{Error, Store, hash};
use sqlx::AnyConnection;

/// What became of photos that were moved. Forms are counted, not pictures: most pictures have three.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PhotosMoved {
    /// Copied now.
    pub n_copied: usize,
    /// That were there whole already, as after an earlier try that broke off.
    pub n_there: usize,
    /// Whose bytes are gone or damaged where they were.
    pub lacking: Vec<String>,
}

/// Copies every form of every photo that the source knows of. What is at the target already is read and compared with its
/// hash, and only put where it is lacking or damaged: so whatever broke off goes on.
pub(crate) async fn copy(
    source: &Store,
    target: &Store,
    reading: &mut AnyConnection,
    mut tell: impl FnMut(usize, usize),
) -> Result<PhotosMoved, Error> {
    let rows =
        photos::all(reading).await.map_err(|error| source.inner.base.error("reading photos", error))?;
    let mut moved = PhotosMoved::default();
    for (at, (photo, place)) in rows.iter().enumerate() {
        if is_whole(target, &key(place.form, &place.sha256), &place.sha256).await? {
            moved.n_there += 1;
        } else {
            match source.bytes(photo, place).await {
                Ok(bytes) => {
                    target.put_bytes(place.form, &place.sha256, bytes).await?;
                    moved.n_copied += 1;
                }
                Err(Error::PhotoGone { .. } | Error::PhotoDamaged { .. }) => {
                    moved.lacking.push(key(place.form, &place.sha256).to_string());
                }
                Err(error) => return Err(error),
            }
        }
        tell(at + 1, rows.len());
    }
    Ok(moved)
}

async fn is_whole(store: &Store, key: &object_store::path::Path, sha256: &str) -> Result<bool, Error> {
    use object_store::ObjectStoreExt;
    let found = match store.inner.photos.get(key).await {
        Ok(found) => found.bytes().await,
        Err(error) => Err(error),
    };
    match found {
        Ok(bytes) => Ok(hash::sha256(&bytes) == sha256),
        Err(object_store::Error::NotFound { .. }) => Ok(false),
        Err(error) => Err(photos::photos_error(&store.inner.base.folder, error)),
    }
}
