//! What two benches compare before they exchange: how many facts each job has, a sum over their names, the names.

use crate::{Error, Form, Store, hash};
use record::Fact;
use std::collections::BTreeMap;

/// Names that one question asks for, at most: both databases bound the values of a statement.
const ASKED_AT_ONCE: usize = 200;

/// A job by its names: two benches that agree in it hold the same facts and photos.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobNames {
    /// Names of its facts, in order.
    pub facts: Vec<String>,
    /// Its photos whose original is here, by hash: media type and length in bytes.
    pub photos: BTreeMap<String, (String, u64)>,
}

impl JobNames {
    /// A sum over the names of facts and photos.
    pub fn sum(&self) -> String {
        let mut running = hash::Running::default();
        for name in self.facts.iter().chain(self.photos.keys()) {
            running.add(name.as_bytes());
            running.add(b"\n");
        }
        running.finish()
    }
}

impl Store {
    /// Jobs by name with their revision, after this name, at most so many.
    ///
    /// # Errors
    /// The database fails.
    pub async fn jobs_after(&self, job: &str, most: usize) -> Result<Vec<(String, i64)>, Error> {
        let sql = "SELECT job, revision FROM jobs WHERE job > $1 ORDER BY job LIMIT $2";
        let most = i64::try_from(most).unwrap_or(i64::MAX);
        let query = sqlx::query_as(sql).bind(job).bind(most).fetch_all(&self.inner.pool);
        query.await.map_err(self.failed("reading jobs"))
    }

    /// The names of a job's facts and photos; `None` where there is no such job.
    ///
    /// # Errors
    /// The database fails.
    pub async fn job_names(&self, job: &str) -> Result<Option<JobNames>, Error> {
        if self.revision(job).await?.is_none() {
            return Ok(None);
        }
        let sql = "SELECT fact FROM facts WHERE job = $1";
        let query = sqlx::query_scalar(sql).bind(job).fetch_all(&self.inner.pool);
        let mut facts: Vec<String> = query.await.map_err(self.failed("reading facts"))?;
        // Here and not by the database: two databases sort text differently.
        facts.sort_unstable();
        let lines = self.photos(job).await?;
        let photos = lines.into_iter().filter(|line| line.forms.contains(&Form::Original));
        let photos = photos.map(|line| (line.sha256, (line.media_type, line.bytes))).collect();
        Ok(Some(JobNames { facts, photos }))
    }

    /// Facts of a job by name, as the lines that are stored. A name that is not there is left out.
    ///
    /// # Errors
    /// The database fails.
    pub async fn lines_of(&self, job: &str, names: &[String]) -> Result<BTreeMap<String, String>, Error> {
        let mut lines = BTreeMap::new();
        for names in names.chunks(ASKED_AT_ONCE) {
            let places: Vec<String> = (0..names.len()).map(|at| format!("${}", at + 2)).collect();
            let sql =
                format!("SELECT fact, json FROM facts WHERE job = $1 AND fact IN ({})", places.join(", "));
            let mut query = sqlx::query_as(sqlx::AssertSqlSafe(sql)).bind(job.to_owned());
            for name in names {
                query = query.bind(name.clone());
            }
            let rows: Vec<(String, String)> =
                query.fetch_all(&self.inner.pool).await.map_err(self.failed("reading facts"))?;
            lines.extend(rows);
        }
        Ok(lines)
    }

    /// Takes facts that another bench holds: each by itself, so that one that cannot be taken keeps none of the others
    /// back. Returns how many were new, and the names of those of which another one is here already.
    ///
    /// # Errors
    /// As [`Store::append`], but for facts that differ.
    pub async fn take_in(
        &self,
        job: &str,
        device: Option<&str>,
        facts: Vec<Fact>,
    ) -> Result<(usize, Vec<String>), Error> {
        let names: Vec<String> = facts.iter().map(|fact| fact.id().as_str().to_owned()).collect();
        let here = self.lines_of(job, &names).await?;
        let (mut fresh, mut differ) = (Vec::new(), Vec::new());
        for fact in facts {
            let name = fact.id().as_str();
            match here.get(name) {
                None => fresh.push(fact),
                Some(line) if crate::append::says_the_same(line, &fact.to_json()) => {}
                Some(_) => differ.push(name.to_owned()),
            }
        }
        if fresh.is_empty() {
            return Ok((0, differ));
        }
        let mut running = hash::Running::default();
        for fact in &fresh {
            running.add(fact.to_json().as_bytes());
            running.add(b"\n");
        }
        let sum = running.finish();
        let entry = format!("exchange-{}", sum.get(..32).unwrap_or_default());
        let appended = self.append(job, &entry, device, &fresh).await?;
        Ok((if appended.already { 0 } else { appended.new }, differ))
    }
}
