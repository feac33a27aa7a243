//! How urgent each job is by its last judgement, kept beside its summary, and the lists in that order.

use crate::pages::{DueLine, WORDS, due_of, pattern};
use crate::summaries::job_of;
use crate::writer::{Statement, Value};
use crate::{Error, Listed, Store};

/// What a judgement said of how urgent a job is, as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UrgencyMark {
    /// Its place in the order of lists, the most urgent first.
    pub band: i64,
    /// Revision of the facts that were judged; 0 where nothing was.
    pub revision: i64,
    /// Day it is for, `2026-03-04`; empty where nothing was judged.
    pub day: String,
    /// By which policy.
    pub by: String,
}

/// Band, revision, day and policy as they are read.
pub(crate) type MarkRow = (i64, i64, String, String);

pub(crate) fn mark_of((band, revision, day, by): MarkRow) -> UrgencyMark {
    UrgencyMark { band, revision, day, by }
}

type UrgentRow = (String, i64, i64, i64, String, String, i64, i64, i64, String, String);

const LISTED: &str = "SELECT s.job, j.revision, j.created, s.changed, s.place, s.town, s.invented, s.band, s.judged, \
    s.judged_day, s.judged_by FROM (SELECT * FROM summaries \
    WHERE (band, changed, job) > ($1, $2, $3) ORDER BY band, changed, job LIMIT $4) AS s \
    JOIN jobs AS j ON j.job = s.job ORDER BY s.band, s.changed, s.job";

const DUE: &str = "SELECT day, job, line, due, band FROM summary_due \
    WHERE (band, day, job, line) > ($1, $2, $3, $4) ORDER BY band, day, job, line LIMIT $5";

impl Store {
    /// Keeps what a judgement said, in place of one of the same or of fewer facts.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn put_urgency(&self, job: &str, mark: &UrgencyMark) -> Result<(), Error> {
        let text = |text: &str| Value::Text(text.to_owned());
        let statements = vec![
            Statement {
                // A job that was judged before its facts were summed up gets an empty summary, which is stale.
                sql: "INSERT INTO summaries (job, revision, changed, made_by, day, ahead, place, town, invented, \
                      search, band, judged, judged_day, judged_by) \
                      SELECT job, 0, changed, '', '', 0, '', '', 0, LOWER(job), $2, $3, $4, $5 FROM jobs \
                      WHERE job = $1 ON CONFLICT (job) DO UPDATE SET band = excluded.band, \
                      judged = excluded.judged, judged_day = excluded.judged_day, \
                      judged_by = excluded.judged_by WHERE summaries.judged <= excluded.judged",
                values: vec![
                    text(job),
                    Value::Number(mark.band),
                    Value::Number(mark.revision),
                    text(&mark.day),
                    text(&mark.by),
                ],
                must: None,
            },
            Statement {
                sql: "UPDATE summary_due SET band = (SELECT band FROM summaries WHERE job = $1) WHERE job = $1 \
                      AND band <> (SELECT band FROM summaries WHERE job = $1)",
                values: vec![text(job)],
                must: None,
            },
        ];
        self.write(statements).await.map(|_| ())
    }

    /// Jobs whose name, place or town hold each of the words, the most urgent first and of those the one that changed
    /// longest ago, after a line (its band, its `changed` and its job). A job without a summary is not among them.
    ///
    /// # Errors
    /// The database fails.
    pub async fn list_by_urgency(
        &self,
        search: &str,
        after: Option<(i64, i64, &str)>,
        most: i64,
    ) -> Result<Vec<Listed>, Error> {
        let (band, changed, job) = after.unwrap_or((i64::MIN, i64::MIN, ""));
        let mut words: Vec<String> = search.split_whitespace().take(WORDS).map(pattern).collect();
        let rows: Vec<UrgentRow> = if words.is_empty() {
            let query = sqlx::query_as(LISTED).bind(band).bind(changed).bind(job).bind(most);
            query.fetch_all(&self.inner.pool).await
        } else {
            words.resize(WORDS, "%".to_owned());
            let sql = "SELECT s.job, j.revision, j.created, s.changed, s.place, s.town, s.invented, s.band, s.judged, \
                       s.judged_day, s.judged_by FROM (SELECT * FROM summaries \
                       WHERE search LIKE $5 ESCAPE '\\' AND search LIKE $6 ESCAPE '\\' \
                       AND search LIKE $7 ESCAPE '\\' AND search LIKE $8 ESCAPE '\\' \
                       AND (band, changed, job) > ($1, $2, $3) ORDER BY band, changed, job LIMIT $4) AS s \
                       JOIN jobs AS j ON j.job = s.job ORDER BY s.band, s.changed, s.job";
            let mut query = sqlx::query_as(sql).bind(band).bind(changed).bind(job).bind(most);
            for word in words {
                query = query.bind(word);
            }
            query.fetch_all(&self.inner.pool).await
        }
        .map_err(self.failed("reading jobs"))?;
        let listed = |row: UrgentRow| {
            let (job, revision, created, changed, place, town, invented, band, judged, day, by) = row;
            Listed {
                job: job_of((job, revision, created, changed)),
                known: Some((place, town, invented == 1)),
                urgency: Some(mark_of((band, judged, day, by))),
            }
        };
        Ok(rows.into_iter().map(listed).collect())
    }

    /// What is due in all jobs, that of the most urgent ones first and of those the earliest, after a line.
    ///
    /// # Errors
    /// The database fails.
    pub async fn due_by_urgency(
        &self,
        after: Option<(i64, &str, &str, i64)>,
        most: i64,
    ) -> Result<Vec<DueLine>, Error> {
        let (band, day, job, line) = after.unwrap_or((i64::MIN, "", "", -1));
        let query = sqlx::query_as(DUE).bind(band).bind(day).bind(job).bind(line).bind(most);
        let rows: Vec<(String, String, i64, String, i64)> =
            query.fetch_all(&self.inner.pool).await.map_err(self.failed("reading the board"))?;
        Ok(rows.into_iter().map(due_of).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::{DUE, LISTED};
    use sqlx::{AnyConnection, AssertSqlSafe, Connection, Row};

    #[tokio::test]
    async fn a_page_is_taken_from_an_index_and_not_sorted() {
        sqlx::any::install_default_drivers();
        let mut empty = AnyConnection::connect("sqlite::memory:").await.expect("it opens");
        crate::database::STEPS.run(&mut empty).await.expect("the steps");
        for (sql, index) in [(LISTED, "summaries_band"), (DUE, "summary_due_band")] {
            let sql = AssertSqlSafe(format!("EXPLAIN QUERY PLAN {sql}"));
            let rows = sqlx::query(sql).bind(0_i64).bind("").bind("").bind(0_i64).bind(1_i64);
            let rows = rows.fetch_all(&mut empty).await.expect("explained");
            let plan: Vec<String> = rows.iter().map(|row| row.get::<String, _>("detail")).collect();
            let plan = plan.join("\n");
            assert!(plan.contains("SEARCH summar") && plan.contains(index), "{plan}");
            let sorts = plan.lines().filter(|line| line.contains("TEMP B-TREE")).count();
            // Those of one page are put in order again after the join.
            assert!(sorts <= usize::from(sql_joins(&plan)), "{plan}");
        }
    }

    fn sql_joins(plan: &str) -> bool {
        plan.lines().any(|line| line.contains("jobs") || line.contains(" j "))
    }
}
