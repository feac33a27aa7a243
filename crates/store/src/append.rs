//! Appending facts: each once, however often it is sent.

use crate::base::Base;
use crate::{Error, forget, hash, now_ms};
use record::limits::{FACTS_MAX, NAME_MAX};
use record::{Body, Fact};
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
    /// Does one of them make the job forgotten?
    pub(crate) forgets: bool,
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
        let forgets = facts.iter().any(|fact| matches!(fact.body, Body::Forgotten(_)));
        let facts = facts.iter().map(|fact| (fact.id().as_str().to_owned(), fact.to_json())).collect();
        Ok(Append {
            job: job.to_owned(),
            entry: entry.to_owned(),
            device: device.map(str::to_owned),
            fingerprint,
            facts,
            forgets,
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

/// Revision of the job and when it was forgotten; fingerprint, count and revision of the receipt.
type Known = (Option<i64>, Option<i64>, Option<String>, Option<i64>, Option<i64>);

fn number(count: usize) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

/// Appends within the transaction of the connection. Refuses before it writes anything.
pub(crate) async fn append(
    base: &Base,
    connection: &mut AnyConnection,
    request: &Append,
) -> Result<Appended, Error> {
    let failed = |error| base.error("writing facts", error);
    let Append { job, entry, device, fingerprint, facts, forgets } = request;

    // One question for both: this is what every entry waits for.
    let sql = "SELECT jobs.revision, jobs.forgotten, receipts.fingerprint, receipts.stored, receipts.revision \
               FROM (SELECT 1 AS one) AS entry LEFT JOIN jobs ON jobs.job = $1 \
               LEFT JOIN receipts ON receipts.job = $1 AND receipts.entry = $2";
    let (before, forgotten, stored_fingerprint, stored, stored_revision): Known =
        sqlx::query_as(sql).bind(job).bind(entry).fetch_one(&mut *connection).await.map_err(failed)?;
    if let (Some(stored_fingerprint), Some(stored), Some(revision)) =
        (stored_fingerprint, stored, stored_revision)
    {
        if stored_fingerprint != *fingerprint {
            return Err(Error::EntryDiffers { job: job.clone(), entry: entry.clone() });
        }
        return Ok(Appended { new: usize::try_from(stored).unwrap_or(0), revision, already: true });
    }

    // Of a forgotten job nothing comes back, whoever still has it.
    let redacted: Vec<(String, String)>;
    let facts = match forgotten.is_some() || *forgets {
        true => {
            redacted = facts
                .iter()
                .map(|(fact, json)| forget::redacted(job, fact, json))
                .collect::<Result<_, _>>()?;
            &redacted
        }
        false => facts,
    };
    if *forgets && forgotten.is_none() && before.is_some() {
        forget::rewrite(base, connection, job).await?;
    }
    let fresh = fresh(base, connection, job, facts).await?;
    let before = before.unwrap_or(0);
    let n = usize::try_from(before).unwrap_or(usize::MAX).saturating_add(fresh.len());
    if FACTS_MAX < n {
        return Err(Error::TooManyFacts { job: job.clone(), n, max: FACTS_MAX });
    }

    let now = now_ms();
    let mut revision = before;
    let after = before + number(fresh.len());
    if before == 0 || before < after {
        let sql = "INSERT INTO jobs (job, revision, created, changed) VALUES ($1, $2, $3, $3) \
                   ON CONFLICT (job) DO UPDATE SET revision = $2, changed = $3";
        let query = sqlx::query(sql).bind(job).bind(after).bind(now);
        query.execute(&mut *connection).await.map_err(failed)?;
    }
    if *forgets && forgotten.is_none() {
        let query = sqlx::query("UPDATE jobs SET forgotten = $2 WHERE job = $1").bind(job).bind(now);
        query.execute(&mut *connection).await.map_err(failed)?;
    }
    for (fact, json) in &fresh {
        revision += 1;
        let sql = "INSERT INTO facts (job, fact, revision, received, entry, device, json) \
                   VALUES ($1, $2, $3, $4, $5, $6, $7)";
        let query = sqlx::query(sql).bind(job).bind(*fact).bind(revision).bind(now).bind(entry);
        query.bind(device.clone()).bind(*json).execute(&mut *connection).await.map_err(failed)?;
    }
    let sql = "INSERT INTO receipts (job, entry, fingerprint, stored, revision, received) \
               VALUES ($1, $2, $3, $4, $5, $6)";
    let stored = number(fresh.len());
    let query =
        sqlx::query(sql).bind(job).bind(entry).bind(fingerprint).bind(stored).bind(revision).bind(now);
    query.execute(&mut *connection).await.map_err(failed)?;
    Ok(Appended { new: fresh.len(), revision, already: false })
}

/// The facts that are not there yet, each once.
async fn fresh<'a>(
    base: &Base,
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
                .map_err(|error| base.error("reading facts", error))?,
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
pub(crate) fn says_the_same(one: &str, other: &str) -> bool {
    one == other
        || matches!((Fact::from_json(one), Fact::from_json(other)), (Ok(one), Ok(other)) if one == other)
}
