//! Lists over all jobs a page at a time. A page begins after the last line of the one before it, so it costs the same
//! however far down it is, and no line is shown twice where jobs arrive meanwhile.

use crate::summaries::{JobRow, job_of};
use crate::urgency::mark_of;
use crate::{Error, JobSummary, Store, UrgencyMark};

/// Words of a search that are looked at.
pub(crate) const WORDS: usize = 4;

/// A line of the list of jobs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// The job.
    pub job: JobSummary,
    /// Place, town, and whether it is invented; `None` where its facts were not read yet.
    pub known: Option<(String, String, bool)>,
    /// How urgent it is, by what was judged last; `None` where its facts were not read yet.
    pub urgency: Option<UrgencyMark>,
}

/// A line of the board.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct DueLine {
    /// Its day, `2026-03-04`.
    pub day: String,
    /// Its job.
    pub job: String,
    /// Which line of its job.
    pub line: i64,
    /// As the program keeps it.
    pub due: String,
    /// The band of its job in the order of urgency.
    pub band: i64,
}

type ListRow = (
    String,
    i64,
    i64,
    i64,
    Option<String>,
    Option<String>,
    Option<i64>,
    Option<i64>,
    Option<i64>,
    Option<String>,
    Option<String>,
);

impl Store {
    /// The jobs that changed last, the last one first.
    ///
    /// # Errors
    /// The database fails.
    pub async fn newest_jobs(&self, most: i64) -> Result<Vec<JobSummary>, Error> {
        let sql = "SELECT job, revision, created, changed FROM jobs ORDER BY changed DESC, job LIMIT $1";
        let rows: Vec<JobRow> = sqlx::query_as(sql)
            .bind(most)
            .fetch_all(&self.inner.pool)
            .await
            .map_err(self.failed("reading jobs"))?;
        Ok(rows.into_iter().map(job_of).collect())
    }

    /// Jobs whose name, place or town hold each of the words, the one that changed last first, after a line (its `changed`
    /// and its job). Without words all jobs, those without a summary too.
    ///
    /// # Errors
    /// The database fails.
    pub async fn list(
        &self,
        search: &str,
        after: Option<(i64, &str)>,
        most: i64,
    ) -> Result<Vec<Listed>, Error> {
        let (changed, job) = after.unwrap_or((i64::MAX, ""));
        let mut words: Vec<String> = search.split_whitespace().take(WORDS).map(pattern).collect();
        let rows: Vec<ListRow> = if words.is_empty() {
            let sql = "SELECT j.job, j.revision, j.created, j.changed, s.place, s.town, s.invented, s.band, s.judged, \
                       s.judged_day, s.judged_by FROM \
                       (SELECT job, revision, created, changed FROM jobs \
                       WHERE changed <= $1 AND (changed < $1 OR job > $2) ORDER BY changed DESC, job LIMIT $3) \
                       AS j LEFT JOIN summaries AS s ON s.job = j.job ORDER BY j.changed DESC, j.job";
            sqlx::query_as(sql).bind(changed).bind(job).bind(most).fetch_all(&self.inner.pool).await
        } else {
            words.resize(WORDS, "%".to_owned());
            let sql = "SELECT j.job, j.revision, j.created, j.changed, s.place, s.town, s.invented, s.band, s.judged, \
                       s.judged_day, s.judged_by FROM \
                       (SELECT * FROM summaries \
                       WHERE search LIKE $4 ESCAPE '\\' AND search LIKE $5 ESCAPE '\\' \
                       AND search LIKE $6 ESCAPE '\\' AND search LIKE $7 ESCAPE '\\' \
                       AND changed <= $1 AND (changed < $1 OR job > $2) ORDER BY changed DESC, job LIMIT $3) \
                       AS s JOIN jobs AS j ON j.job = s.job ORDER BY s.changed DESC, s.job";
            let mut query = sqlx::query_as(sql).bind(changed).bind(job).bind(most);
            for word in words {
                query = query.bind(word);
            }
            query.fetch_all(&self.inner.pool).await
        }
        .map_err(self.failed("reading jobs"))?;
        let listed = |row: ListRow| {
            let (job, revision, created, changed, place, town, invented, band, judged, day, by) = row;
            let mark = band.zip(judged).zip(day.zip(by));
            Listed {
                job: job_of((job, revision, created, changed)),
                known: place.zip(town).map(|(place, town)| (place, town, invented == Some(1))),
                urgency: mark.map(|((band, judged), (day, by))| mark_of((band, judged, day, by))),
            }
        };
        Ok(rows.into_iter().map(listed).collect())
    }

    /// What is due in all jobs, earliest first, after a line.
    ///
    /// # Errors
    /// The database fails.
    pub async fn due(&self, after: Option<(&str, &str, i64)>, most: i64) -> Result<Vec<DueLine>, Error> {
        let (day, job, line) = after.unwrap_or(("", "", -1));
        let sql = "SELECT day, job, line, due, band FROM summary_due WHERE (day, job, line) > ($1, $2, $3) \
                   ORDER BY day, job, line LIMIT $4";
        let query = sqlx::query_as(sql).bind(day).bind(job).bind(line).bind(most);
        let rows: Vec<(String, String, i64, String, i64)> =
            query.fetch_all(&self.inner.pool).await.map_err(self.failed("reading the board"))?;
        Ok(rows.into_iter().map(due_of).collect())
    }

    /// How many lines of the board have a day before this one.
    ///
    /// # Errors
    /// The database fails.
    pub async fn n_due_before(&self, day: &str) -> Result<usize, Error> {
        let sql = "SELECT CAST(COUNT(*) AS BIGINT) FROM summary_due WHERE day < $1";
        let query = sqlx::query_scalar(sql).bind(day).fetch_one(&self.inner.pool);
        let n: i64 = query.await.map_err(self.failed("reading the board"))?;
        Ok(usize::try_from(n).unwrap_or(0))
    }

    /// How many jobs there are.
    ///
    /// # Errors
    /// The database fails.
    pub async fn n_jobs(&self) -> Result<usize, Error> {
        let query =
            sqlx::query_scalar("SELECT CAST(COUNT(*) AS BIGINT) FROM jobs").fetch_one(&self.inner.pool);
        let n: i64 = query.await.map_err(self.failed("reading jobs"))?;
        Ok(usize::try_from(n).unwrap_or(0))
    }
}

pub(crate) fn due_of((day, job, line, due, band): (String, String, i64, String, i64)) -> DueLine {
    DueLine { day, job, line, due, band }
}

/// A pattern that finds the word anywhere, whatever signs are in it.
pub(crate) fn pattern(word: &str) -> String {
    let mut pattern = String::from("%");
    for letter in word.to_lowercase().chars() {
        if matches!(letter, '%' | '_' | '\\') {
            pattern.push('\\');
        }
        pattern.push(letter);
    }
    pattern.push('%');
    pattern
}
