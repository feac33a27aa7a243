//! Links: what somebody outside the shop may look at for a time. Only the hash of a link's secret is kept.

use crate::audit::{Act, Actor, line};
use crate::devices::text;
use crate::writer::{Statement, Value};
use crate::{Error, Store, hash};

/// A link to one paper of a job, or to all that are given out of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// Id, which is no secret.
    pub id: String,
    /// The job.
    pub job: String,
    /// The paper by its kind; empty: all papers of the job that are given out.
    pub paper: String,
    /// For whom, by a word.
    pub audience: String,
    /// When it was made, milliseconds since 1970-01-01 UTC.
    pub made: i64,
    /// Until when it opens.
    pub expires: i64,
    /// When it was taken back.
    pub revoked: Option<i64>,
}

impl Link {
    /// Does it open at this moment?
    pub fn is_open(&self, now: i64) -> bool {
        self.revoked.is_none() && now < self.expires
    }
}

type Row = (String, String, String, String, i64, i64, Option<i64>);

impl Store {
    /// Makes a link, and gives its secret, which is told once.
    ///
    /// # Errors
    /// There is no such job, or the disk fails.
    pub async fn make_link(
        &self,
        job: &str,
        paper: &str,
        audience: &str,
        by: Actor<'_>,
        now: i64,
        expires: i64,
    ) -> Result<(Link, String), Error> {
        // Eight digits tell the links of a shop apart; the secret has 256 bits.
        let id = hash::random_hex::<4>()?;
        let token = hash::random_hex::<32>()?;
        let make = Statement {
            sql: "INSERT INTO links (link, token_hash, job, paper, audience, made, device, expires) \
                  SELECT $1, $2, $3, $4, $5, $6, $7, $8 WHERE EXISTS (SELECT 1 FROM jobs WHERE job = $9)",
            values: vec![
                text(&id),
                text(&hash::sha256(token.as_bytes())),
                text(job),
                text(paper),
                text(audience),
                Value::Number(now),
                text(by.device),
                Value::Number(expires),
                text(job),
            ],
            must: Some(1),
        };
        if !self.write(vec![make, line(Act::MadeLink, by, &id, now)]).await? {
            return Err(Error::NoJob { job: job.to_owned() });
        }
        let (job, paper, audience) = (job.to_owned(), paper.to_owned(), audience.to_owned());
        Ok((Link { id, job, paper, audience, made: now, expires, revoked: None }, token))
    }

    /// The link of a secret, where it opens now.
    ///
    /// # Errors
    /// The database fails.
    pub async fn link_by_token(&self, token: &str, now: i64) -> Result<Option<Link>, Error> {
        let sql =
            "SELECT link, job, paper, audience, made, expires, revoked FROM links WHERE token_hash = $1";
        let query = sqlx::query_as(sql).bind(hash::sha256(token.as_bytes())).fetch_optional(&self.inner.pool);
        let row: Option<Row> = query.await.map_err(self.failed("reading links"))?;
        Ok(row.map(of_row).filter(|link| link.is_open(now)))
    }

    /// Takes a link of a job back, at once.
    ///
    /// # Errors
    /// The job has no such link, or the disk fails.
    pub async fn revoke_link(&self, job: &str, link: &str, by: Actor<'_>, now: i64) -> Result<(), Error> {
        let revoke = Statement {
            sql: "UPDATE links SET revoked = COALESCE(revoked, $3) WHERE link = $1 AND job = $2",
            values: vec![text(link), text(job), Value::Number(now)],
            must: Some(1),
        };
        let found = self.write(vec![revoke, line(Act::RevokedLink, by, link, now)]).await?;
        if found { Ok(()) } else { Err(Error::NoLink { link: link.to_owned() }) }
    }

    /// The job of every link, by the link's id.
    ///
    /// # Errors
    /// The database fails.
    pub async fn linked_jobs(&self) -> Result<Vec<(String, String)>, Error> {
        let query = sqlx::query_as("SELECT link, job FROM links").fetch_all(&self.inner.pool);
        query.await.map_err(self.failed("reading links"))
    }

    /// The links of a job, the last made first.
    ///
    /// # Errors
    /// The database fails.
    pub async fn links(&self, job: &str) -> Result<Vec<Link>, Error> {
        let sql = "SELECT link, job, paper, audience, made, expires, revoked FROM links WHERE job = $1 \
                   ORDER BY made DESC, link";
        let query = sqlx::query_as(sql).bind(job).fetch_all(&self.inner.pool);
        let rows: Vec<Row> = query.await.map_err(self.failed("reading links"))?;
        Ok(rows.into_iter().map(of_row).collect())
    }
}

fn of_row((id, job, paper, audience, made, expires, revoked): Row) -> Link {
    Link { id, job, paper, audience, made, expires, revoked }
}
