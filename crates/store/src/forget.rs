//! Forgetting a customer: what a job says of a person, a place or in words goes for good, and does not come back.
//!
//! A fact makes the job forgotten. Within the commit that stores it every fact of the job is written anew; after it the
//! photos go, their bytes first, so that a program that is killed meanwhile finds the rest by the rows.

use crate::audit::{self, Act, Actor};
use crate::base::Base;
use crate::photos::key;
use crate::writer::{Statement, Value};
use crate::{Error, Form, Store, database};
use object_store::ObjectStoreExt;
use record::Fact;
use sqlx::{AnyConnection, Connection, Executor};
use std::sync::Arc;

/// Name and line of a fact after its job is forgotten.
pub(crate) fn redacted(job: &str, fact: &str, json: &str) -> Result<(String, String), Error> {
    let read = Fact::from_json(json).map_err(|source| Error::FactNotRead {
        job: job.to_owned(),
        fact: fact.to_owned(),
        source: Arc::new(source),
    })?;
    let kept = record::forget::redacted(&read);
    Ok((kept.id().as_str().to_owned(), kept.to_json()))
}

/// Writes every fact of a job anew, within the transaction of the connection.
pub(crate) async fn rewrite(base: &Base, connection: &mut AnyConnection, job: &str) -> Result<(), Error> {
    let failed = |error| base.error("forgetting", error);
    let sql = "SELECT fact, json FROM facts WHERE job = $1";
    let rows: Vec<(String, String)> =
        sqlx::query_as(sql).bind(job).fetch_all(&mut *connection).await.map_err(failed)?;
    // All of them first: one that a newer program wrote keeps the job as it is.
    let mut anew = Vec::new();
    for (fact, json) in rows {
        anew.push((redacted(job, &fact, &json)?, fact));
    }
    for ((name, json), fact) in anew {
        let sql = "UPDATE facts SET fact = $3, json = $4 WHERE job = $1 AND fact = $2";
        let query = sqlx::query(sql).bind(job).bind(fact).bind(name).bind(json);
        query.execute(&mut *connection).await.map_err(failed)?;
    }
    // What was made of the facts as they were goes with them; it is made again from those that are left.
    for sql in crate::summaries::FORGET {
        sqlx::query(sql).bind(job).execute(&mut *connection).await.map_err(failed)?;
    }
    // Nobody outside the shop looks at it any more, and that it was done stays on record, without what.
    let now = crate::now_ms();
    let sql = "UPDATE links SET revoked = $2 WHERE job = $1 AND revoked IS NULL";
    sqlx::query(sql).bind(job).bind(now).execute(&mut *connection).await.map_err(failed)?;
    let note = audit::line(Act::Deleted, Actor::default(), &audit::job_digest(job), now);
    audit::insert(&mut *connection, &note).await.map_err(failed)
}

impl Store {
    /// Was the job's customer forgotten?
    ///
    /// # Errors
    /// The database fails.
    pub async fn is_forgotten(&self, job: &str) -> Result<bool, Error> {
        let sql = "SELECT forgotten FROM jobs WHERE job = $1";
        let query = sqlx::query_scalar(sql).bind(job).fetch_optional(&self.inner.pool);
        let when: Option<Option<i64>> = query.await.map_err(self.failed("reading jobs"))?;
        Ok(when.flatten().is_some())
    }

    pub(crate) async fn refuse_forgotten(&self, job: &str) -> Result<(), Error> {
        if self.is_forgotten(job).await? { Err(Error::Forgotten { job: job.to_owned() }) } else { Ok(()) }
    }

    /// What a program that was killed has left.
    pub(crate) async fn finish_all_forgetting(&self) -> Result<(), Error> {
        let sql = "SELECT DISTINCT photos.job FROM photos JOIN jobs ON jobs.job = photos.job \
                   WHERE jobs.forgotten IS NOT NULL";
        let query = sqlx::query_scalar(sql).fetch_all(&self.inner.pool);
        let jobs: Vec<String> = query.await.map_err(self.failed("reading jobs"))?;
        for job in jobs {
            self.finish_forgetting(&job).await?;
        }
        Ok(())
    }

    /// Takes the photos of a forgotten job away, but for those that other jobs have, and sees to it that nothing of it
    /// is left in the log of the database.
    pub(crate) async fn finish_forgetting(&self, job: &str) -> Result<(), Error> {
        for line in self.photos(job).await? {
            let sql = "SELECT CAST(COUNT(*) AS BIGINT) FROM photos WHERE sha256 = $1 AND job <> $2";
            let query = sqlx::query_scalar(sql).bind(&line.sha256).bind(job).fetch_one(&self.inner.pool);
            let n_others: i64 = query.await.map_err(self.failed("reading photos"))?;
            let mut statements = Vec::new();
            let text = |text: &str| Value::Text(text.to_owned());
            if n_others == 0 {
                let mut keys = vec![key(Form::Original, &line.sha256)];
                for place in self.places(job, &line.sha256).await? {
                    keys.push(key(place.form, &place.sha256));
                }
                for key in keys {
                    match self.inner.photos.delete(&key).await {
                        Ok(()) | Err(object_store::Error::NotFound { .. }) => {}
                        Err(error) => {
                            return Err(crate::photos::photos_error(&self.inner.base.folder, error));
                        }
                    }
                }
                let sql = "DELETE FROM renditions WHERE photo = $1";
                statements.push(Statement { sql, values: vec![text(&line.sha256)], must: None });
            }
            let sql = "DELETE FROM photos WHERE job = $1 AND sha256 = $2";
            statements.push(Statement { sql, values: vec![text(job), text(&line.sha256)], must: None });
            self.write(statements).await?;
        }
        if self.inner.base.server.is_none() {
            let folder = &self.inner.base.folder;
            let failed = |error| self.inner.base.error("forgetting", error);
            let mut connection = database::plain(folder, &folder.database()).await?;
            connection.execute("PRAGMA busy_timeout = 5000").await.map_err(failed)?;
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").await.map_err(failed)?;
            connection.close().await.map_err(failed)?;
        }
        Ok(())
    }
}
