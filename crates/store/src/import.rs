//! Import of an exported job: verified first, merged by union, as often as one likes.

use crate::append::{Append, check_job};
use crate::archive::{Member, PhotoMember, Unpack, What, blocking};
use crate::export::{FACTS, JOB_FILE, PHOTOS, README};
use crate::{Error, Form, PHOTO_MAX_BYTES, Store, hash};
use record::Fact;
use record::limits::{FACTS_MAX, FILE_MAX_BYTES};
use std::collections::BTreeMap;
use std::path::Path;

/// Largest text in an exported job, bytes: every fact as long as a fact can sensibly be.
const TEXT_MAX: u64 = 4 * FILE_MAX_BYTES as u64;
/// Most that an exported job may unpack to, bytes.
const TOTAL_MAX: u64 = 8 << 30;
/// Characters of the hash in the name of the entry that an import is.
const ENTRY_HEX: usize = 32;

/// What an import came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Imported {
    /// The job.
    pub job: String,
    /// Facts that were not here before.
    pub n_new_facts: usize,
    /// Photos that were not here before, in this or a better form.
    pub n_new_photos: usize,
    /// Revision of the job now.
    pub revision: i64,
}

struct Read {
    unpack: Unpack,
    job: String,
    facts: Vec<Fact>,
    entry: String,
}

impl Store {
    /// Takes in a job that [`Store::export_job`] wrote. All hashes are verified before anything is stored. A job
    /// of the same name gets the facts and photos that it has not yet; taken in again it changes nothing.
    ///
    /// # Errors
    /// The file is not such a job, is damaged, holds what does not belong there, or a fact in it says something
    /// else than the one of the same name here. Nothing is stored then.
    pub async fn import_job(&self, file: impl AsRef<Path>) -> Result<Imported, Error> {
        let writer = self.writer()?;
        let file = file.as_ref().to_owned();
        let Read { mut unpack, job, facts, entry } = blocking(move || read(&file)).await?;
        let append = Append::new(&job, &entry, None, &facts)?;
        self.refuse_other(&job, &facts).await?;

        // The bytes first: they harm nothing where the facts are then refused.
        let mut rows = Vec::new();
        for member in unpack.manifest.members.clone() {
            let Some(photo) = member.photo.clone() else { continue };
            let Some(form) = Form::of_word(&photo.form) else { continue };
            let (back, bytes) = blocking(move || unpack.read(&member).map(|bytes| (unpack, bytes))).await?;
            unpack = back;
            let in_job = self.photo_row(&job, &photo.sha256).await?.is_some();
            let here = self.places(&job, &photo.sha256).await?.iter().any(|place| place.form == form);
            if (!in_job || !here) && !self.is_forgotten(&job).await? {
                rows.push((photo, form, bytes.len()));
                let (photo, form, _) = &rows[rows.len() - 1];
                if *form == Form::Original {
                    self.put_bytes(*form, &photo.sha256, bytes).await?;
                } else {
                    self.put_form(&photo.sha256, *form, &photo.media_type, bytes).await?;
                }
            }
        }
        let appended = writer.append(append).await?;
        for (photo, form, length) in &rows {
            let length = if *form == Form::Original { i64::try_from(*length).unwrap_or(i64::MAX) } else { 0 };
            self.put_photo_row(&job, &photo.sha256, &photo.media_type, length).await?;
        }
        let n_new_facts = if appended.already { 0 } else { appended.new };
        let revision = self.revision(&job).await?.unwrap_or(appended.revision);
        Ok(Imported { job, n_new_facts, n_new_photos: rows.len(), revision })
    }

    /// Refuses before anything is stored where the append would refuse.
    async fn refuse_other(&self, job: &str, facts: &[Fact]) -> Result<(), Error> {
        let here = self.facts(job).await?;
        let here: BTreeMap<_, _> = here.iter().map(|fact| (fact.id(), fact)).collect();
        for fact in facts {
            if here.get(fact.id()).is_some_and(|own| *own != fact) {
                let fact = fact.id().as_str().to_owned();
                return Err(Error::FactDiffers { job: job.to_owned(), fact });
            }
        }
        Ok(())
    }
}

fn read(file: &Path) -> Result<Read, Error> {
    let mut unpack = Unpack::open(file, What::Job, bound, TOTAL_MAX)?;
    let job = unpack.manifest.job.clone().unwrap_or_default();
    check_job(&job)?;
    for member in &unpack.manifest.members {
        if member.name.starts_with(PHOTOS) != member.photo.is_some() || !is_fine(member) {
            return Err(unpack.damaged(&member.name, "its description and its name do not go together"));
        }
    }
    unpack.verify()?;
    let member = unpack.member(FACTS)?;
    let bytes = unpack.read(&member)?;
    let text = std::str::from_utf8(&bytes).map_err(|error| unpack.damaged(FACTS, error))?;
    let mut facts = Vec::new();
    for (at, line) in text.lines().enumerate() {
        if FACTS_MAX <= facts.len() {
            return Err(Error::TooManyFacts { job, n: text.lines().count(), max: FACTS_MAX });
        }
        let fact = Fact::from_json(line);
        facts.push(fact.map_err(|error| unpack.damaged(FACTS, format!("line {}: {error}", at + 1)))?);
    }
    let entry = format!("import-{}", member.sha256.get(..ENTRY_HEX).unwrap_or_default());
    Ok(Read { unpack, job, facts, entry })
}

fn bound(name: &str) -> Option<u64> {
    match name {
        README | JOB_FILE | FACTS => Some(TEXT_MAX),
        name => photo_of(name).map(|_| PHOTO_MAX_BYTES as u64),
    }
}

/// `photos/<hash>.<a few letters>`, nothing else.
fn photo_of(name: &str) -> Option<&str> {
    let (sha256, extension) = name.strip_prefix(PHOTOS)?.split_once('.')?;
    let short = (1..=4).contains(&extension.len()) && extension.bytes().all(|byte| byte.is_ascii_lowercase());
    (hash::is_sha256(sha256) && short).then_some(sha256)
}

/// Does a photo say of itself what its name says, and an original what its bytes say?
fn is_fine(member: &Member) -> bool {
    let Some(PhotoMember { sha256, form, media_type }) = &member.photo else { return true };
    let form = Form::of_word(form);
    let plain = |c: char| c.is_ascii_alphanumeric() || "/.+-".contains(c);
    photo_of(&member.name) == Some(sha256.as_str())
        && matches!(form, Some(Form::Original | Form::Page))
        && (form != Some(Form::Original) || *sha256 == member.sha256)
        && media_type.len() <= 64
        && media_type.chars().all(plain)
}
