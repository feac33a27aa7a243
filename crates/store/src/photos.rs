//! Photos: bytes known by their SHA-256, the original as it was taken and the forms made from it.

use crate::append::check_job;
use crate::folder::Folder;
use crate::writer::{Statement, Value};
use crate::{Error, Store, hash, now_ms};
use object_store::local::LocalFileSystem;
use object_store::path::Path;
use object_store::{ObjectStore, ObjectStoreExt, PutMode, PutPayload};
use sqlx::AnyConnection;
use std::collections::BTreeSet;
use std::sync::Arc;

/// Largest photo, bytes.
pub const PHOTO_MAX_BYTES: usize = 64 * 1024 * 1024;

/// A form of a photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// As it was taken.
    Original,
    /// Upright, without location, as wide as a page: what is handed to others.
    Page,
    /// Small, for lists.
    Thumb,
}

impl Form {
    /// All forms.
    pub const ALL: [Form; 3] = [Form::Original, Form::Page, Form::Thumb];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Form::Original => "original",
            Form::Page => "page",
            Form::Thumb => "thumb",
        }
    }

    /// The form with this word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|form| form.word() == word)
    }
}

/// What became of a photo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Put {
    /// SHA-256 of the original, its name from now on.
    pub sha256: String,
    /// Was it in the job before?
    pub already: bool,
}

/// A form of a photo, verified.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// As it was given when it was put.
    pub media_type: String,
    /// SHA-256 of these bytes.
    pub sha256: String,
    /// The bytes.
    pub bytes: Vec<u8>,
}

/// A photo in the list of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoLine {
    /// SHA-256 of the original.
    pub sha256: String,
    /// Media type of the original, or of the page where the original is not here.
    pub media_type: String,
    /// Length of the original, bytes; 0 where it is not here.
    pub bytes: u64,
    /// When it arrived, milliseconds since 1970-01-01 UTC.
    pub received: i64,
    /// Forms that are here.
    pub forms: Vec<Form>,
}

/// Where the bytes of a form lie.
pub(crate) struct Place {
    pub(crate) sha256: String,
    pub(crate) media_type: String,
    pub(crate) form: Form,
}

impl Store {
    /// Keeps a photo of a job. The bytes are on the disk before the job knows of them; sent again they change
    /// nothing. Begins the job where there is none yet.
    ///
    /// # Errors
    /// No bytes, too many, a name that cannot be, or a failure of the disk.
    pub async fn put_photo(&self, job: &str, media_type: &str, bytes: Vec<u8>) -> Result<Put, Error> {
        check_job(job)?;
        self.refuse_forgotten(job).await?;
        let sha256 = hash::sha256(&bytes);
        let length = number(bytes.len());
        self.put_bytes(Form::Original, &sha256, bytes).await?;
        let already = self.photo_row(job, &sha256).await?.is_some_and(|(_, bytes)| 0 < bytes);
        if !already {
            self.put_photo_row(job, &sha256, media_type, length).await?;
        }
        Ok(Put { sha256, already })
    }

    /// Keeps a form made from a photo; one that was there is replaced. Forms belong to the photo in every job.
    ///
    /// # Errors
    /// No bytes, too many, or a failure of the disk.
    pub async fn put_form(
        &self,
        photo: &str,
        form: Form,
        media_type: &str,
        bytes: Vec<u8>,
    ) -> Result<(), Error> {
        if form == Form::Original || !hash::is_sha256(photo) {
            return Err(Error::NoForm { photo: photo.to_owned(), form: form.word() });
        }
        let sha256 = hash::sha256(&bytes);
        let length = number(bytes.len());
        self.put_bytes(form, &sha256, bytes).await?;
        let sql = "INSERT INTO renditions (photo, form, sha256, media_type, bytes) VALUES ($1, $2, $3, $4, $5) \
                   ON CONFLICT (photo, form) DO UPDATE SET sha256 = $3, media_type = $4, bytes = $5";
        let values =
            vec![text(photo), text(form.word()), text(&sha256), text(media_type), Value::Number(length)];
        self.write(vec![Statement { sql, values, must: None }]).await?;
        Ok(())
    }

    /// A form of a photo of a job, its hash verified.
    ///
    /// # Errors
    /// The job has no such photo, the form is not here, or its bytes are gone or damaged.
    pub async fn photo(&self, job: &str, photo: &str, form: Form) -> Result<Photo, Error> {
        if self.photo_row(job, photo).await?.is_none() {
            return Err(Error::NoPhoto { job: job.to_owned(), photo: photo.to_owned() });
        }
        let Some(place) = self.places(job, photo).await?.into_iter().find(|place| place.form == form) else {
            return Err(Error::NoForm { photo: photo.to_owned(), form: form.word() });
        };
        let bytes = self.bytes(photo, &place).await?;
        Ok(Photo { media_type: place.media_type, sha256: place.sha256, bytes })
    }

    /// The photos of a job, in the order of arrival.
    ///
    /// # Errors
    /// The database fails.
    pub async fn photos(&self, job: &str) -> Result<Vec<PhotoLine>, Error> {
        let sql =
            "SELECT sha256, media_type, bytes, received FROM photos WHERE job = $1 ORDER BY received, sha256";
        let rows: Vec<(String, String, i64, i64)> = sqlx::query_as(sql)
            .bind(job)
            .fetch_all(&self.inner.pool)
            .await
            .map_err(self.failed("reading photos"))?;
        let mut lines = Vec::new();
        for (sha256, media_type, bytes, received) in rows {
            let forms = self.places(job, &sha256).await?.iter().map(|place| place.form).collect();
            let bytes = u64::try_from(bytes).unwrap_or(0);
            lines.push(PhotoLine { sha256, media_type, bytes, received, forms });
        }
        Ok(lines)
    }

    /// Media type and length of the original in a job.
    pub(crate) async fn photo_row(&self, job: &str, photo: &str) -> Result<Option<(String, i64)>, Error> {
        let sql = "SELECT media_type, bytes FROM photos WHERE job = $1 AND sha256 = $2";
        let query = sqlx::query_as(sql).bind(job).bind(photo).fetch_optional(&self.inner.pool);
        query.await.map_err(self.failed("reading photos"))
    }

    /// Tells the job of a photo whose bytes are on the disk. `length` is 0 where the original is not here.
    pub(crate) async fn put_photo_row(
        &self,
        job: &str,
        photo: &str,
        media_type: &str,
        length: i64,
    ) -> Result<(), Error> {
        let now = Value::Number(now_ms());
        let begin = Statement {
            sql: "INSERT INTO jobs (job, revision, created, changed) VALUES ($1, 0, $2, $2) \
                  ON CONFLICT (job) DO NOTHING",
            values: vec![text(job), now.clone()],
            must: None,
        };
        let photo = Statement {
            sql: "INSERT INTO photos (job, sha256, media_type, bytes, received) VALUES ($1, $2, $3, $4, $5) \
                  ON CONFLICT (job, sha256) DO UPDATE SET media_type = $3, bytes = $4 WHERE photos.bytes = 0",
            values: vec![text(job), text(photo), text(media_type), Value::Number(length), now],
            must: None,
        };
        self.write(vec![begin, photo]).await?;
        Ok(())
    }

    /// The forms of a photo that are here.
    pub(crate) async fn places(&self, job: &str, photo: &str) -> Result<Vec<Place>, Error> {
        let mut places = Vec::new();
        if let Some((media_type, bytes)) = self.photo_row(job, photo).await?
            && 0 < bytes
        {
            places.push(Place { sha256: photo.to_owned(), media_type, form: Form::Original });
        }
        let sql = "SELECT form, sha256, media_type FROM renditions WHERE photo = $1 ORDER BY form";
        let rows: Vec<(String, String, String)> = sqlx::query_as(sql)
            .bind(photo)
            .fetch_all(&self.inner.pool)
            .await
            .map_err(self.failed("reading photos"))?;
        for (form, sha256, media_type) in rows {
            if let Some(form) = Form::of_word(&form) {
                places.push(Place { sha256, media_type, form });
            }
        }
        Ok(places)
    }

    /// The bytes at a place, verified.
    pub(crate) async fn bytes(&self, photo: &str, place: &Place) -> Result<Vec<u8>, Error> {
        let (photo, form) = (photo.to_owned(), place.form.word());
        let found = match self.inner.photos.get(&key(place.form, &place.sha256)).await {
            Ok(found) => found.bytes().await,
            Err(error) => Err(error),
        };
        let bytes = match found {
            Ok(bytes) => bytes.to_vec(),
            Err(object_store::Error::NotFound { .. }) => return Err(Error::PhotoGone { photo, form }),
            Err(error) => return Err(self.photos_failed(error)),
        };
        let found = hash::sha256(&bytes);
        if found == place.sha256 { Ok(bytes) } else { Err(Error::PhotoDamaged { photo, form, found }) }
    }

    /// Makes the bytes durable under their hash. Returns whether they were not there before.
    pub(crate) async fn put_bytes(&self, form: Form, sha256: &str, bytes: Vec<u8>) -> Result<bool, Error> {
        self.writer()?;
        put_bytes(&self.inner.photos, &self.inner.put_lanes, form, sha256, bytes)
            .await
            .map_err(|error| self.photos_failed(error))?
    }

    fn photos_failed(&self, error: object_store::Error) -> Error {
        photos_error(&self.inner.base.folder, error)
    }
}

/// Every form of every photo of every job, each once, with the photo it is of.
pub(crate) async fn all(connection: &mut AnyConnection) -> Result<Vec<(String, Place)>, sqlx::Error> {
    let sql = "SELECT sha256, 'original', sha256, MIN(media_type) FROM photos WHERE bytes > 0 GROUP BY sha256 \
               UNION ALL SELECT photo, form, sha256, media_type FROM renditions ORDER BY 1, 2";
    let rows: Vec<(String, String, String, String)> = sqlx::query_as(sql).fetch_all(connection).await?;
    let mut seen = BTreeSet::new();
    let place = |(photo, form, sha256, media_type): (String, String, String, String)| {
        let form = Form::of_word(&form)?;
        seen.insert((form, sha256.clone())).then_some((photo, Place { sha256, media_type, form }))
    };
    Ok(rows.into_iter().filter_map(place).collect())
}

/// The lanes keep two puts of the same bytes apart: the second must not answer before the first is durable.
pub(crate) async fn put_bytes(
    photos: &Arc<dyn ObjectStore>,
    lanes: &[tokio::sync::Mutex<()>],
    form: Form,
    sha256: &str,
    bytes: Vec<u8>,
) -> Result<Result<bool, Error>, object_store::Error> {
    if bytes.is_empty() {
        return Ok(Err(Error::PhotoEmpty));
    }
    if PHOTO_MAX_BYTES < bytes.len() {
        return Ok(Err(Error::PhotoTooLarge { bytes: bytes.len(), max: PHOTO_MAX_BYTES }));
    }
    let lane = sha256.bytes().next().map_or(0, usize::from) % lanes.len();
    let _turn = lanes[lane].lock().await;
    let key = key(form, sha256);
    let payload = PutPayload::from(bytes);
    match photos.put_opts(&key, payload.clone(), PutMode::Create.into()).await {
        Ok(_) => Ok(Ok(true)),
        Err(object_store::Error::AlreadyExists { .. }) => {
            // What lies there may have been damaged since; then these bytes mend it.
            let there = photos.get(&key).await?.bytes().await?;
            if hash::sha256(&there) != sha256 {
                photos.put_opts(&key, payload, PutMode::Overwrite.into()).await?;
            }
            Ok(Ok(false))
        }
        Err(error) => Err(error),
    }
}

/// Photos in the data folder: written beside, flushed, then linked to their name.
pub(crate) fn local(folder: &Folder) -> Result<Arc<dyn ObjectStore>, Error> {
    let path = folder.photos();
    std::fs::create_dir_all(&path).map_err(|error| folder.error(error))?;
    let photos = LocalFileSystem::new_with_prefix(&path).map_err(|error| photos_error(folder, error))?;
    Ok(Arc::new(photos.with_fsync(true)))
}

/// `original/3f/3f5a…`, `page/…`, `thumb/…`: by the form and by the hash of these very bytes.
pub(crate) fn key(form: Form, sha256: &str) -> Path {
    Path::from(format!("{}/{}/{sha256}", form.word(), sha256.get(..2).unwrap_or_default()))
}

/// What an error of the place of photos means: a full or read-only disk is told as such.
pub(crate) fn photos_error(folder: &Folder, error: object_store::Error) -> Error {
    let mut source: Option<&(dyn std::error::Error + 'static)> = Some(&error);
    while let Some(cause) = source {
        if let Some(io) = cause.downcast_ref::<std::io::Error>() {
            match folder.error(io.kind().into()) {
                Error::Folder { .. } => {}
                told => return told,
            }
        }
        source = cause.source();
    }
    Error::Photos { source: Arc::new(error) }
}

fn number(length: usize) -> i64 {
    i64::try_from(length).unwrap_or(i64::MAX)
}

fn text(text: &str) -> Value {
    Value::Text(text.to_owned())
}
