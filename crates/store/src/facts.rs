//! Facts and jobs, in and out.

use crate::append::{Append, Appended};
use crate::{Error, Store};
use record::Fact;
use std::sync::Arc;

/// A job, as far as the store knows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobSummary {
    /// Its name.
    pub job: String,
    /// Facts held; also its revision.
    pub n_facts: usize,
    /// Grows by one with every fact that arrives; 0 where only photos arrived yet.
    pub revision: i64,
    /// When the store first heard of it, milliseconds since 1970-01-01 UTC.
    pub created: i64,
    /// When the last fact arrived, milliseconds since 1970-01-01 UTC.
    pub changed: i64,
}

/// A fact with how it arrived.
#[derive(Debug, Clone, PartialEq)]
pub struct Stored {
    /// The fact.
    pub fact: Fact,
    /// Revision of the job that it made.
    pub revision: i64,
    /// When it arrived, milliseconds since 1970-01-01 UTC.
    pub received: i64,
    /// Entry it came with.
    pub entry: String,
    /// Device it came from, where it came from one.
    pub device: Option<String>,
}

type Row = (String, String, i64, i64, String, Option<String>);

impl Store {
    /// Appends the facts of one entry to a job, which begins with its first entry. Returns after they are on the
    /// disk. The same entry sent again gives the same answer and stores nothing; a fact that is there already is
    /// not stored again. Two entries are the same if they say the same, whenever their facts are timed.
    ///
    /// # Errors
    /// A name that cannot be, a fact or entry of the same name that says something else, too many facts, or a
    /// failure of the disk. Nothing of the entry is stored then.
    pub async fn append(
        &self,
        job: &str,
        entry: &str,
        device: Option<&str>,
        facts: &[Fact],
    ) -> Result<Appended, Error> {
        let writer = self.writer()?;
        let request = Append::new(job, entry, device, facts)?;
        let forgets = request.forgets;
        let appended = writer.append(request).await?;
        if forgets {
            self.finish_forgetting(job).await?;
        }
        Ok(appended)
    }

    /// What was answered when an entry was first stored, and the job that took it. `None` where it was not stored, in
    /// this job or, without one, in any: a form that begins a job does not know yet how it is called.
    ///
    /// # Errors
    /// The database fails.
    pub async fn receipt(&self, job: Option<&str>, entry: &str) -> Result<Option<(String, Appended)>, Error> {
        let sql = match job {
            Some(_) => "SELECT job, stored, revision FROM receipts WHERE entry = $1 AND job = $2",
            None => "SELECT job, stored, revision FROM receipts WHERE entry = $1 ORDER BY job",
        };
        let mut query = sqlx::query_as(sql).bind(entry);
        if let Some(job) = job {
            query = query.bind(job);
        }
        let row: Option<(String, i64, i64)> =
            query.fetch_optional(&self.inner.pool).await.map_err(self.failed("reading entries"))?;
        Ok(row.map(|(job, stored, revision)| {
            (job, Appended { new: usize::try_from(stored).unwrap_or(0), revision, already: true })
        }))
    }

    /// All facts of a job in the order of arrival; none where there is no such job.
    ///
    /// # Errors
    /// The database fails, or a fact is of a newer program.
    pub async fn facts(&self, job: &str) -> Result<Vec<Fact>, Error> {
        Ok(self.stored_after(job, 0).await?.into_iter().map(|stored| stored.fact).collect())
    }

    /// The facts of a job as they are stored, a line of JSON each, in the order of arrival: for who reads many jobs and
    /// decodes them on threads of its own.
    ///
    /// # Errors
    /// The database fails.
    pub async fn fact_lines(&self, job: &str) -> Result<Vec<String>, Error> {
        let query = sqlx::query_scalar("SELECT json FROM facts WHERE job = $1 ORDER BY revision").bind(job);
        query.fetch_all(&self.inner.pool).await.map_err(self.failed("reading facts"))
    }

    /// The facts of a job that arrived after this revision, with how they arrived.
    ///
    /// # Errors
    /// As [`Store::facts`].
    pub async fn stored_after(&self, job: &str, revision: i64) -> Result<Vec<Stored>, Error> {
        let sql = "SELECT fact, json, revision, received, entry, device FROM facts \
                   WHERE job = $1 AND revision > $2 ORDER BY revision";
        let rows: Vec<Row> = sqlx::query_as(sql)
            .bind(job)
            .bind(revision)
            .fetch_all(&self.inner.pool)
            .await
            .map_err(self.failed("reading facts"))?;
        rows.into_iter().map(|row| read(job, row)).collect()
    }

    /// All jobs, the one that changed last first.
    ///
    /// # Errors
    /// The database fails.
    pub async fn jobs(&self) -> Result<Vec<JobSummary>, Error> {
        let sql = "SELECT job, revision, created, changed FROM jobs ORDER BY changed DESC, job";
        let rows: Vec<(String, i64, i64, i64)> =
            sqlx::query_as(sql).fetch_all(&self.inner.pool).await.map_err(self.failed("reading jobs"))?;
        let summary = |(job, revision, created, changed)| {
            let n_facts = usize::try_from(revision).unwrap_or(0);
            JobSummary { job, n_facts, revision, created, changed }
        };
        Ok(rows.into_iter().map(summary).collect())
    }

    /// Revision of a job: the number of its facts. `None` where there is no such job.
    ///
    /// # Errors
    /// The database fails.
    pub async fn revision(&self, job: &str) -> Result<Option<i64>, Error> {
        let sql = "SELECT revision FROM jobs WHERE job = $1";
        let query = sqlx::query_scalar(sql).bind(job).fetch_optional(&self.inner.pool);
        query.await.map_err(self.failed("reading jobs"))
    }
}

fn read(job: &str, (id, json, revision, received, entry, device): Row) -> Result<Stored, Error> {
    match Fact::from_json(&json) {
        Ok(fact) => Ok(Stored { fact, revision, received, entry, device }),
        Err(source) => Err(Error::FactNotRead { job: job.to_owned(), fact: id, source: Arc::new(source) }),
    }
}
