//! Word between several programs on one database: who wrote tells, the others pass it on as if it were their own.
//!
//! A notice is sent within the transaction, so the server delivers it with the commit or not at all. A program that
//! lost its line asks afterwards which jobs changed meanwhile.

use crate::base::Base;
use crate::database;
use crate::{Change, Error, now_ms};
use sqlx::AnyPool;
use sqlx::postgres::PgListener;
use std::time::Duration;
use tokio::sync::broadcast;
use tokio::task::JoinHandle;

/// After a lost line, how long before the last word the jobs are asked, milliseconds: clocks of two machines differ.
const BACK_MS: i64 = 300_000;
/// Wait before a lost line is tried again.
const AGAIN: Duration = Duration::from_secs(2);

/// What another program on the same database did, besides storing facts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Elsewhere {
    /// Another policy, price book or notice of cancelling is in force.
    Policy,
    /// A device, person or link was shut out, or its rights changed.
    Access,
}

/// What is told of a write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Notice {
    Job(Change),
    Elsewhere(Elsewhere),
}

impl Notice {
    /// As it is sent: who tells, what, and of which job at which revision.
    pub(crate) fn text(&self, teller: &str) -> String {
        match self {
            Notice::Job(Change { job, revision }) => format!("{teller} job {revision} {job}"),
            Notice::Elsewhere(Elsewhere::Policy) => format!("{teller} policy"),
            Notice::Elsewhere(Elsewhere::Access) => format!("{teller} access"),
        }
    }

    /// Who told and what; `None` of a text that a newer program sent.
    pub(crate) fn parse(text: &str) -> Option<(&str, Notice)> {
        let (teller, rest) = text.split_once(' ')?;
        let notice = match rest {
            "policy" => Notice::Elsewhere(Elsewhere::Policy),
            "access" => Notice::Elsewhere(Elsewhere::Access),
            rest => {
                let (revision, job) = rest.strip_prefix("job ")?.split_once(' ')?;
                Notice::Job(Change { job: job.to_owned(), revision: revision.parse().ok()? })
            }
        };
        Some((teller, notice))
    }
}

/// Where notices go within this program.
#[derive(Debug, Clone)]
pub(crate) struct Ears {
    pub(crate) changes: broadcast::Sender<Change>,
    pub(crate) elsewhere: broadcast::Sender<Elsewhere>,
    /// How long commits take.
    pub(crate) commits: std::sync::Arc<crate::latency::Latency>,
}

impl Ears {
    pub(crate) fn new(lag: usize) -> Self {
        Ears {
            changes: broadcast::channel(lag).0,
            elsewhere: broadcast::channel(lag).0,
            commits: std::sync::Arc::default(),
        }
    }

    fn tell(&self, notice: Notice) {
        // Nobody may be listening.
        match notice {
            Notice::Job(change) => drop(self.changes.send(change)),
            Notice::Elsewhere(told) => drop(self.elsewhere.send(told)),
        }
    }
}

/// Listens to the others for as long as the store is open.
///
/// # Errors
/// The server cannot be reached.
pub(crate) async fn listen(
    base: &Base,
    own: String,
    pool: AnyPool,
    ears: Ears,
) -> Result<Option<JoinHandle<()>>, Error> {
    let Some(server) = base.server.clone() else { return Ok(None) };
    let channel = database::channel(base, &pool).await?;
    let failed = |error| base.error("listening for other programs", error);
    let mut listener = PgListener::connect(server.url()).await.map_err(failed)?;
    listener.listen(&channel).await.map_err(failed)?;
    Ok(Some(tokio::spawn(async move {
        let mut heard = now_ms();
        loop {
            match listener.try_recv().await {
                Ok(Some(word)) => {
                    heard = now_ms();
                    if let Some((teller, notice)) = Notice::parse(word.payload())
                        && teller != own
                    {
                        ears.tell(notice);
                    }
                }
                // The line was lost; it is taken up again by the next call. What was said meanwhile is asked for.
                Ok(None) => catch_up(&pool, &ears, heard).await,
                Err(_) => {
                    tokio::time::sleep(AGAIN).await;
                    catch_up(&pool, &ears, heard).await;
                }
            }
        }
    })))
}

async fn catch_up(pool: &AnyPool, ears: &Ears, heard: i64) {
    let sql = "SELECT job, revision FROM jobs WHERE changed > $1 ORDER BY changed";
    let rows: Result<Vec<(String, i64)>, _> = sqlx::query_as(sql).bind(heard - BACK_MS).fetch_all(pool).await;
    for (job, revision) in rows.unwrap_or_default() {
        ears.tell(Notice::Job(Change { job, revision }));
    }
    ears.tell(Notice::Elsewhere(Elsewhere::Policy));
    ears.tell(Notice::Elsewhere(Elsewhere::Access));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_sent_is_what_is_heard() {
        let change = Change { job: "Q 0117 job policy".to_owned(), revision: 12 };
        let notices =
            [Notice::Job(change), Notice::Elsewhere(Elsewhere::Policy), Notice::Elsewhere(Elsewhere::Access)];
        for notice in notices {
            let text = notice.text("ab12");
            assert_eq!(Notice::parse(&text), Some(("ab12", notice)));
        }
        assert_eq!(Notice::parse("ab12 something newer"), None);
    }
}
