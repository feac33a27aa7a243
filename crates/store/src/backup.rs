//! Backup: the database and every photo in one file, each member with its hash.

use crate::archive::{Pack, PhotoMember, What, blocking};
use crate::{Error, Form, Store, database, photos, transfer};
use sqlx::Connection;
use std::path::Path;

/// Name of the database in a backup.
pub(crate) const DATABASE: &str = "panelwright.sqlite";

/// A backup that was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Backup {
    /// Length of the file, bytes.
    pub bytes: u64,
    /// Photos in it, forms counted one by one.
    pub n_photos: usize,
    /// Forms of photos that could not be put into it, because their bytes are gone or damaged here.
    pub lacking: Vec<String>,
}

impl Store {
    /// Writes all that is stored at this moment into one new file, while others go on writing. The file has its
    /// name only when it is whole and on the disk.
    ///
    /// # Errors
    /// The file exists, or something cannot be read or written; no file is left then.
    pub async fn backup(&self, file: impl AsRef<Path>) -> Result<Backup, Error> {
        let file = file.as_ref().to_owned();
        let mut pack = blocking(move || Pack::begin(&file, What::Backup, None)).await?;
        let copy = pack.beside(DATABASE);
        match &self.inner.base.server {
            None => database::copy(&self.inner.base.folder, &copy).await?,
            Some(_) => transfer::copy_to_file(&self.inner.base, &copy).await?,
        }
        // What the copy knows of is what belongs to it; photos are never taken away.
        let mut connection = database::plain(&self.inner.base.folder, &copy).await?;
        let rows = photos::all(&mut connection).await.map_err(self.failed("reading photos"))?;
        connection.close().await.map_err(self.failed("reading photos"))?;
        pack = blocking(move || pack.add_file(DATABASE, &copy).map(|()| pack)).await?;
        let mut n_photos = 0;
        let mut lacking = Vec::new();
        for (photo, place) in rows {
            let name = member_name(place.form, &place.sha256);
            match self.bytes(&photo, &place).await {
                Ok(bytes) => {
                    let form = place.form.word().to_owned();
                    let member = PhotoMember { sha256: photo, form, media_type: place.media_type };
                    pack = blocking(move || pack.add_photo(&name, &bytes, member).map(|()| pack)).await?;
                    n_photos += 1;
                }
                Err(Error::PhotoGone { .. } | Error::PhotoDamaged { .. }) => {
                    lacking.push(name.clone());
                    pack.lacks(name);
                }
                Err(error) => return Err(error),
            }
        }
        let bytes = blocking(move || pack.finish()).await?;
        Ok(Backup { bytes, n_photos, lacking })
    }
}

/// Name of a form of a photo in a backup: as in the folder of photos.
pub(crate) fn member_name(form: Form, sha256: &str) -> String {
    format!("photos/{}", photos::key(form, sha256))
}
