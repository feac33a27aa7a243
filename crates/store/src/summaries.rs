//! What is kept of each job for lists and counts: made from its facts by the program, made again when stale, never the
//! truth.

use crate::writer::{Statement, Value};
use crate::{Error, JobSummary, Store};

/// What takes away all that is kept of a job beside its facts.
pub(crate) const FORGET: [&str; 4] = [
    "DELETE FROM summary_faced WHERE job = $1",
    "DELETE FROM summary_due WHERE job = $1",
    "DELETE FROM summary_notes WHERE job = $1",
    "DELETE FROM summaries WHERE job = $1",
];

/// What is kept of one job. Texts that the store does not look into are the program's own.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Summary {
    /// The job.
    pub job: String,
    /// Revision of the facts it is of.
    pub revision: i64,
    /// When the last of them arrived, milliseconds since 1970-01-01 UTC.
    pub changed: i64,
    /// Has it facts of a later day than it was made for? Then it holds for that day alone.
    pub ahead: bool,
    /// How the papers call the place.
    pub place: String,
    /// Town.
    pub town: String,
    /// Invented?
    pub invented: bool,
    /// For counting; empty where no fact opens the job.
    pub notes: String,
    /// What it says of durations and surprises; empty where nothing.
    pub past: String,
    /// What is due: day as `2026-03-04`, and the line, in the order of the board.
    pub due: Vec<(String, String)>,
}

/// By what and for which day summaries are made. One of another maker is stale.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Maker {
    /// Version of the code, and the policy.
    pub made_by: String,
    /// The day, `2026-03-04`.
    pub day: String,
}

/// What was predicted and found in a job, as the program keeps it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FacedText {
    /// The job.
    pub job: String,
    /// Place in the order of making.
    pub stamp: i64,
    /// Revision of the facts it is of.
    pub revision: i64,
    /// By which version of the code.
    pub made_by: String,
    /// The text.
    pub text: String,
}

impl Store {
    /// Keeps a summary in place of an earlier one of the job. `false` where it is not of all facts that
    /// the job has now: then nothing is kept, and what a forgotten customer said does not come back by it.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn put_summary(&self, summary: Summary, maker: &Maker) -> Result<bool, Error> {
        let Summary { job, revision, changed, ahead, place, town, invented, notes, past, due } = summary;
        let text = |text: &str| Value::Text(text.to_owned());
        let own = || text(&job);
        let (revision, changed) = (Value::Number(revision), Value::Number(changed));
        let invented = Value::Number(i64::from(invented));
        let search = format!("{job} {place} {town}").to_lowercase();
        let mut statements = vec![
            Statement {
                sql: "INSERT INTO summaries \
                      (job, revision, changed, made_by, day, ahead, place, town, invented, search) \
                      SELECT $1, $2, $3, $4, $5, $6, $7, $8, $9, $10 FROM jobs \
                      WHERE job = $1 AND revision = $2 ON CONFLICT (job) DO UPDATE SET \
                      revision = excluded.revision, changed = excluded.changed, made_by = excluded.made_by, \
                      day = excluded.day, ahead = excluded.ahead, place = excluded.place, \
                      town = excluded.town, invented = excluded.invented, search = excluded.search",
                values: vec![
                    own(),
                    revision.clone(),
                    changed.clone(),
                    text(&maker.made_by),
                    text(&maker.day),
                    Value::Number(i64::from(ahead)),
                    text(&place),
                    text(&town),
                    invented.clone(),
                    text(&search),
                ],
                must: Some(1),
            },
            Statement {
                sql: "INSERT INTO summary_notes (job, stamp, revision, changed, invented, notes, past) \
                      SELECT $1, COALESCE(MAX(stamp), 0) + 1, $2, $3, $4, $5, $6 FROM summary_notes WHERE true \
                      ON CONFLICT (job) DO UPDATE SET stamp = excluded.stamp, revision = excluded.revision, \
                      changed = excluded.changed, invented = excluded.invented, notes = excluded.notes, \
                      past = excluded.past",
                values: vec![own(), revision, changed, invented, text(&notes), text(&past)],
                must: Some(1),
            },
            Statement { sql: "DELETE FROM summary_due WHERE job = $1", values: vec![own()], must: None },
        ];
        for (line, (day, due)) in (0_i64..).zip(&due) {
            statements.push(Statement {
                sql: "INSERT INTO summary_due (day, job, line, due, band) \
                      SELECT $1, $2, $3, $4, band FROM summaries WHERE job = $2",
                values: vec![text(day), own(), Value::Number(line), text(due)],
                must: Some(1),
            });
        }
        self.write(statements).await
    }

    /// Forgets what is kept of a job beside its facts; it is made again from what facts there are.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn forget_summary(&self, job: &str) -> Result<(), Error> {
        let statement = |sql| Statement { sql, values: vec![Value::Text(job.to_owned())], must: None };
        self.write(FORGET.map(statement).into()).await.map(|_| ())
    }

    /// Jobs whose summary is missing or stale, the one that changed last first, of those that changed after `since`.
    ///
    /// # Errors
    /// The database fails.
    pub async fn stale(&self, maker: &Maker, since: i64, most: i64) -> Result<Vec<JobSummary>, Error> {
        let sql = "SELECT j.job, j.revision, j.created, j.changed FROM jobs AS j \
                   LEFT JOIN summaries AS s ON s.job = j.job WHERE j.changed > $1 AND (s.job IS NULL \
                   OR s.revision <> j.revision OR s.made_by <> $2 OR (s.ahead = 1 AND s.day <> $3)) \
                   ORDER BY j.changed DESC, j.job LIMIT $4";
        let query = sqlx::query_as(sql).bind(since).bind(&maker.made_by).bind(&maker.day).bind(most);
        let rows: Vec<JobRow> =
            query.fetch_all(&self.inner.pool).await.map_err(self.failed("reading summaries"))?;
        Ok(rows.into_iter().map(job_of).collect())
    }

    /// How many jobs have no summary of their facts by this maker.
    ///
    /// # Errors
    /// The database fails.
    pub async fn n_stale(&self, maker: &Maker) -> Result<usize, Error> {
        let sql = "SELECT CAST(COUNT(*) AS BIGINT) FROM jobs AS j LEFT JOIN summaries AS s ON s.job = j.job \
                   WHERE s.job IS NULL OR s.revision <> j.revision OR s.made_by <> $1 \
                   OR (s.ahead = 1 AND s.day <> $2)";
        let query = sqlx::query_scalar(sql).bind(&maker.made_by).bind(&maker.day);
        let n: i64 = query.fetch_one(&self.inner.pool).await.map_err(self.failed("reading summaries"))?;
        Ok(usize::try_from(n).unwrap_or(0))
    }

    /// What is kept for counting and is newer than a stamp, in the order of making: stamp, job, revision, text.
    ///
    /// # Errors
    /// The database fails.
    pub async fn notes_after(&self, stamp: i64, most: i64) -> Result<Vec<(i64, String, i64, String)>, Error> {
        let sql =
            "SELECT stamp, job, revision, notes FROM summary_notes WHERE stamp > $1 ORDER BY stamp LIMIT $2";
        let query = sqlx::query_as(sql).bind(stamp).bind(most);
        query.fetch_all(&self.inner.pool).await.map_err(self.failed("reading summaries"))
    }

    /// How many jobs are kept for counting with a newer stamp.
    ///
    /// # Errors
    /// The database fails.
    pub async fn n_notes_after(&self, stamp: i64) -> Result<usize, Error> {
        let sql = "SELECT CAST(COUNT(*) AS BIGINT) FROM summary_notes WHERE stamp > $1";
        let query = sqlx::query_scalar(sql).bind(stamp).fetch_one(&self.inner.pool);
        let n: i64 = query.await.map_err(self.failed("reading summaries"))?;
        Ok(usize::try_from(n).unwrap_or(0))
    }

    /// What the jobs that changed last say of durations and surprises, the last one first.
    ///
    /// # Errors
    /// The database fails.
    pub async fn past(&self, invented: bool, most: i64) -> Result<Vec<String>, Error> {
        let sql = "SELECT past FROM summary_notes WHERE past <> '' AND invented = $1 \
                   ORDER BY changed DESC, job LIMIT $2";
        let query = sqlx::query_scalar(sql).bind(i64::from(invented)).bind(most);
        query.fetch_all(&self.inner.pool).await.map_err(self.failed("reading summaries"))
    }

    /// Keeps what was predicted and found in a job.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn put_faced(&self, job: &str, revision: i64, made_by: &str, faced: &str) -> Result<(), Error> {
        let text = |text: &str| Value::Text(text.to_owned());
        let sql = "INSERT INTO summary_faced (job, stamp, revision, made_by, faced) \
                   SELECT $1, COALESCE(MAX(stamp), 0) + 1, $2, $3, $4 FROM summary_faced WHERE true \
                   ON CONFLICT (job) DO UPDATE SET stamp = excluded.stamp, revision = excluded.revision, \
                   made_by = excluded.made_by, faced = excluded.faced";
        let values = vec![text(job), Value::Number(revision), text(made_by), text(faced)];
        self.write(vec![Statement { sql, values, must: None }]).await.map(|_| ())
    }

    /// What was predicted and found and is newer than a stamp, in the order of making.
    ///
    /// # Errors
    /// The database fails.
    pub async fn faced_after(&self, stamp: i64, most: i64) -> Result<Vec<FacedText>, Error> {
        let sql = "SELECT job, stamp, revision, made_by, faced FROM summary_faced WHERE stamp > $1 \
                   ORDER BY stamp LIMIT $2";
        let query = sqlx::query_as(sql).bind(stamp).bind(most);
        let rows: Vec<(String, i64, i64, String, String)> =
            query.fetch_all(&self.inner.pool).await.map_err(self.failed("reading summaries"))?;
        let faced = |(job, stamp, revision, made_by, text)| FacedText { job, stamp, revision, made_by, text };
        Ok(rows.into_iter().map(faced).collect())
    }
}

pub(crate) type JobRow = (String, i64, i64, i64);

pub(crate) fn job_of((job, revision, created, changed): JobRow) -> JobSummary {
    JobSummary { job, n_facts: usize::try_from(revision).unwrap_or(0), revision, created, changed }
}
