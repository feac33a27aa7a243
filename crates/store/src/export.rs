//! Export of one job as one file that is read without the program.

use crate::archive::{Pack, PhotoMember, What, blocking};
use crate::readme::Readme;
use crate::{Error, Form, PhotoLine, Store, hash};
use record::fact::PhotoTaken;
use record::{Body, Fact, Settled};
use std::collections::BTreeSet;
use std::fs::File;
use std::path::{Path, PathBuf};

/// Names in an exported job.
pub(crate) const README: &str = "README.txt";
pub(crate) const JOB_FILE: &str = "job.toml";
pub(crate) const FACTS: &str = "facts.jsonl";
pub(crate) const PHOTOS: &str = "photos/";

/// Which form of the photos an exported job gets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Give {
    /// The originals, location and all: for one's own other machine.
    Originals,
    /// The page form, without location: for others. A photo that has no page form is left out and named.
    Pages,
}

/// How the job file of an exported job came to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JobFile {
    /// It holds every fact.
    All,
    /// Facts contradict each other; it holds those that are used.
    Used,
    /// The record still lacks something that a job file must have; it holds what is there.
    Unfinished,
    /// The facts make no job yet; there is none.
    None,
}

/// A job that was exported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exported {
    /// Length of the file, bytes.
    pub bytes: u64,
    /// Facts in it.
    pub n_facts: usize,
    /// Photos in it.
    pub n_photos: usize,
    /// Photos that are not in it, with the reason.
    pub left_out: Vec<(String, String)>,
    /// How its job file came to be.
    pub job_file: JobFile,
}

impl Store {
    /// Writes one job into one new file, readable without the program: every fact, the photos, the job file, and
    /// what is what in plain words.
    ///
    /// # Errors
    /// There is no such job, the file exists, or something cannot be read or written; no file is left then.
    pub async fn export_job(&self, job: &str, give: Give, file: impl AsRef<Path>) -> Result<Exported, Error> {
        let file = file.as_ref().to_owned();
        if self.revision(job).await?.is_none() {
            return Err(Error::NoJob { job: job.to_owned() });
        }
        let facts = self.facts(job).await?;
        let settled = record::settle(&facts, None);
        let aside: Vec<(String, String)> =
            settled.set_aside.iter().map(|aside| (aside.fact.to_string(), aside.why.clone())).collect();
        let (job_toml, job_file) = job_file(&facts, settled);
        let name = job.to_owned();
        let mut pack = blocking(move || Pack::begin(&file, What::Job, Some(&name))).await?;

        let mut lines = Vec::new();
        let mut left_out = Vec::new();
        for line in self.photos(job).await? {
            let name = line.sha256.clone();
            match self.photo_of(job, &line, give).await {
                Ok((member, bytes, photo)) => {
                    lines.push(readme_line(&member, &name, &facts));
                    pack = blocking(move || pack.add_photo(&member, &bytes, photo).map(|()| pack)).await?;
                }
                Err(
                    error @ (Error::NoForm { .. } | Error::PhotoGone { .. } | Error::PhotoDamaged { .. }),
                ) => left_out.push((name, error.to_string())),
                Err(error) => return Err(error),
            }
        }
        left_out.extend(never_arrived(&facts, &lines, &left_out));

        let (n_facts, n_photos) = (facts.len(), lines.len());
        let readme =
            Readme { job, give, job_file, n_facts, photos: &lines, left_out: &left_out, aside: &aside }
                .write();
        let lacking: Vec<String> = left_out.iter().map(|(photo, _)| photo.clone()).collect();
        let bytes = blocking(move || {
            lacking.into_iter().for_each(|photo| pack.lacks(photo));
            pack.add_text(README, &readme)?;
            if let Some(text) = job_toml {
                pack.add_text(JOB_FILE, &text)?;
            }
            let facts: String = facts.iter().map(|fact| fact.to_json() + "\n").collect();
            pack.add_text(FACTS, &facts)?;
            pack.finish()
        })
        .await?;
        Ok(Exported { bytes, n_facts, n_photos, left_out, job_file })
    }

    /// As [`Store::export_job`], into a file without a name that is gone when it is closed: for sending.
    ///
    /// # Errors
    /// As [`Store::export_job`].
    pub async fn export_job_to_send(&self, job: &str, give: Give) -> Result<(File, Exported), Error> {
        let path: PathBuf =
            self.inner.base.folder.scratch()?.join(format!("{}.zip", hash::random_hex::<8>()?));
        let exported = self.export_job(job, give, &path).await?;
        let opened = File::open(&path);
        // Where an open file cannot lose its name, it goes when the store is opened the next time.
        let _ = std::fs::remove_file(&path);
        Ok((opened.map_err(|error| self.inner.base.folder.error(error))?, exported))
    }

    /// Name in the archive, bytes and description of a photo.
    async fn photo_of(
        &self,
        job: &str,
        line: &PhotoLine,
        give: Give,
    ) -> Result<(String, Vec<u8>, PhotoMember), Error> {
        let form = match give {
            Give::Pages => Form::Page,
            Give::Originals if line.forms.contains(&Form::Original) => Form::Original,
            Give::Originals => Form::Page,
        };
        let photo = self.photo(job, &line.sha256, form).await?;
        let name = format!("{PHOTOS}{}.{}", line.sha256, extension(&photo.media_type));
        let (sha256, media_type) = (line.sha256.clone(), photo.media_type);
        Ok((name, photo.bytes, PhotoMember { sha256, form: form.word().to_owned(), media_type }))
    }
}

/// The job file with all facts if they stand together, or with those that are used.
fn job_file(facts: &[Fact], settled: Settled) -> (Option<String>, JobFile) {
    if let Ok(text) = record::write_facts(facts) {
        return (Some(text), JobFile::All);
    }
    let aside: BTreeSet<_> = settled.set_aside.iter().map(|aside| &aside.fact).collect();
    let how = if aside.is_empty() { JobFile::Unfinished } else { JobFile::Used };
    let used: Vec<Fact> = facts.iter().filter(|fact| !aside.contains(fact.id())).cloned().collect();
    match (record::write_facts(&used), settled.job) {
        (Ok(text), _) => (Some(text), how),
        (Err(_), Some(job)) => (Some(record::write_job(&job)), how),
        (Err(_), None) => (None, JobFile::None),
    }
}

fn taken(fact: &Fact) -> Option<&PhotoTaken> {
    match &fact.body {
        Body::Photo(taken) => Some(taken),
        _ => None,
    }
}

/// Photos that a fact tells of and that have not reached this machine.
fn never_arrived(facts: &[Fact], lines: &[String], left_out: &[(String, String)]) -> Vec<(String, String)> {
    let told: BTreeSet<&str> = facts.iter().filter_map(taken).map(|taken| taken.sha256.as_str()).collect();
    let here = |photo: &str| {
        lines.iter().any(|line| line.contains(photo)) || left_out.iter().any(|(left, _)| left == photo)
    };
    let why = || "a fact tells of it; its bytes never reached this machine".to_owned();
    told.into_iter().filter(|photo| !here(photo)).map(|photo| (photo.to_owned(), why())).collect()
}

fn readme_line(member: &str, photo: &str, facts: &[Fact]) -> String {
    let mut line = format!("  {member}\n");
    for (fact, taken) in facts.iter().filter_map(|fact| taken(fact).map(|taken| (fact, taken))) {
        if taken.sha256 == photo {
            let place = taken.slot.as_ref().map(|slot| format!(", space {}", slot.0)).unwrap_or_default();
            let words = if taken.words.is_empty() { "(no words)" } else { &taken.words };
            line.push_str(&format!("      {}{place}: {words}\n", fact.at));
        }
    }
    line
}

fn extension(media_type: &str) -> &'static str {
    match media_type {
        "image/jpeg" => "jpg",
        "image/png" => "png",
        "image/webp" => "webp",
        "image/heic" | "image/heif" => "heic",
        _ => "bin",
    }
}
