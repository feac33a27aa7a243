//! Appending facts: each once, however often it is sent.

use crate::database::error_of;
use crate::folder::Folder;
use crate::{Error, hash, now_ms};
use record::Fact;
use record::limits::{FACTS_MAX, NAME_MAX};
use sqlx::AnyConnection;
use std::collections::BTreeMap;

/// Longest id of an entry, characters.
pub const ENTRY_MAX: usize = 64;

/// What an entry came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Appended {
    /// Facts that were not there before.
    pub new: usize,
    /// Revision of the job right after the entry was first stored.
    pub revision: i64,
    /// Was the entry stored before? Then the other fields are as they were answered then.
    pub already: bool,
}

/// A request to append.
#[derive(Debug)]
pub(crate) struct Append {
    pub(crate) job: String,
    entry: String,
    device: Option<String>,
    fingerprint: String,
    /// Id and text of each fact, in order.
    facts: Vec<(String, String)>,
}

impl Append {
    pub(crate) fn new(job: &str, entry: &str, device: Option<&str>, facts: &[Fact]) -> Result<Self, Error> {
        check_job(job)?;
        let fine = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
        if entry.is_empty() || ENTRY_MAX < entry.chars().count() || !entry.chars().all(fine) {
            return Err(Error::EntryName { name: entry.to_owned(), max: ENTRY_MAX });
        }
        if FACTS_MAX < facts.len() {
            return Err(Error::TooManyFacts { job: job.to_owned(), n: facts.len(), max: FACTS_MAX });
        }
        let fingerprint = fingerprint(facts);
        let facts = facts.iter().map(|fact| (fact.id().as_str().to_owned(), fact.to_json())).collect();
        Ok(Append {
            job: job.to_owned(),
            entry: entry.to_owned(),
            device: device.map(str::to_owned),
            fingerprint,
            facts,
        })
    }
}

/// Refuses a name that cannot be one of a job.
pub(crate) fn check_job(job: &str) -> Result<(), Error> {
    let length = job.chars().count();
    if job.is_empty() || NAME_MAX < length || job.trim() != job || job.chars().any(char::is_control) {
        return Err(Error::JobName { name: job.to_owned(), max: NAME_MAX });
    }
    Ok(())
}

/// What an entry says, whenever it is said: a form without a script that is sent twice is read twice, and gets
/// another time and so other ids each time, but it is the same entry.
fn fingerprint(facts: &[Fact]) -> String {
    let mut running = hash::Running::default();
    for fact in facts {
        let timeless = Fact::new(jiff::civil::DateTime::ZERO, fact.by.clone(), Vec::new(), fact.body.clone());
        running.add(timeless.to_json().as_bytes());
        for id in &fact.supersedes {
            running.add(id.0.as_str().as_bytes());
            running.add(b" ");
        }
        running.add(b"\n");
    }
    running.finish()
}

/// Appends within the transaction of the connection. Refuses before it writes anything.
pub(crate) async fn append(
    folder: &Folder,
    connection: &mut AnyConnection,
    request: &Append,
) -> Result<Appended, Error> {
    let failed = |error| error_of(folder, "writing facts", error);
    let Append { job, entry, device, fingerprint, facts } = request;

    let sql = "SELECT fingerprint, stored, revision FROM receipts WHERE job = $1 AND entry = $2";
    let receipt: Option<(String, i64, i64)> =
        sqlx::query_as(sql).bind(job).bind(entry).fetch_optional(&mut *connection).await.map_err(failed)?;
    if let Some((stored_fingerprint, stored, revision)) = receipt {
        if stored_fingerprint != *fingerprint {
            return Err(Error::EntryDiffers { job: job.clone(), entry: entry.clone() });
        }
        return Ok(Appended { new: usize::try_from(stored).unwrap_or(0), revision, already: true });
    }

    let fresh = fresh(folder, connection, job, facts).await?;
    let sql = "SELECT revision FROM jobs WHERE job = $1";
    let before: Option<i64> =
        sqlx::query_scalar(sql).bind(job).fetch_optional(&mut *connection).await.map_err(failed)?;
    let mut revision = before.unwrap_or(0);
    let n = usize::try_from(revision).unwrap_or(usize::MAX).saturating_add(fresh.len());
    if FACTS_MAX < n {
        return Err(Error::TooManyFacts { job: job.clone(), n, max: FACTS_MAX });
    }

    let now = now_ms();
    if before.is_none() {
        let sql = "INSERT INTO jobs (job, revision, created, changed) VALUES ($1, 0, $2, $2)";
        sqlx::query(sql).bind(job).bind(now).execute(&mut *connection).await.map_err(failed)?;
    }
    for (fact, json) in &fresh {
        revision += 1;
        let sql = "INSERT INTO facts (job, fact, revision, received, entry, device, json) \
                   VALUES ($1, $2, $3, $4, $5, $6, $7)";
        let query = sqlx::query(sql).bind(job).bind(*fact).bind(revision).bind(now).bind(entry);
        query.bind(device.clone()).bind(*json).execute(&mut *connection).await.map_err(failed)?;
    }
    if !fresh.is_empty() {
        let sql = "UPDATE jobs SET revision = $2, changed = $3 WHERE job = $1";
        sqlx::query(sql)
            .bind(job)
            .bind(revision)
            .bind(now)
            .execute(&mut *connection)
            .await
            .map_err(failed)?;
    }
    let sql = "INSERT INTO receipts (job, entry, fingerprint, stored, revision, received) \
               VALUES ($1, $2, $3, $4, $5, $6)";
    let stored = i64::try_from(fresh.len()).unwrap_or(i64::MAX);
    let query =
        sqlx::query(sql).bind(job).bind(entry).bind(fingerprint).bind(stored).bind(revision).bind(now);
    query.execute(&mut *connection).await.map_err(failed)?;
    Ok(Appended { new: fresh.len(), revision, already: false })
}

/// The facts that are not there yet, each once.
async fn fresh<'a>(
    folder: &Folder,
    connection: &mut AnyConnection,
    job: &str,
    facts: &'a [(String, String)],
) -> Result<Vec<(&'a str, &'a str)>, Error> {
    let mut fresh: Vec<(&str, &str)> = Vec::new();
    let mut seen: BTreeMap<&str, &str> = BTreeMap::new();
    for (fact, json) in facts {
        let sql = "SELECT json FROM facts WHERE job = $1 AND fact = $2";
        let stored: Option<String> = match seen.get(fact.as_str()) {
            Some(json) => Some((*json).to_owned()),
            None => sqlx::query_scalar(sql)
                .bind(job)
                .bind(fact)
                .fetch_optional(&mut *connection)
                .await
                .map_err(|error| error_of(folder, "reading facts", error))?,
        };
        match stored {
            Some(stored) if says_the_same(&stored, json) => {}
            Some(_) => return Err(Error::FactDiffers { job: job.to_owned(), fact: fact.clone() }),
            None => {
                seen.insert(fact, json);
                fresh.push((fact, json));
            }
        }
    }
    Ok(fresh)
}

/// An older program may have written the same fact with other spaces or in another order.
fn says_the_same(one: &str, other: &str) -> bool {
    one == other
        || matches!((Fact::from_json(one), Fact::from_json(other)), (Ok(one), Ok(other)) if one == other)
}
