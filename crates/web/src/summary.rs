//! What lists over all jobs need of each: folded once a revision, and kept for every job.

use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use crate::trouble::trouble;
use jiff::civil::Date;
use pages::{JobLine, JobView, Judged};
use std::collections::BTreeMap;
use std::sync::Arc;
use store::JobSummary;
use study::BoardLine;
use study::shop::JobNotes;
use tokio::sync::Mutex;

/// Jobs that are folded on another thread at once, before pages get their turn again.
const CHUNK: usize = 64;

/// The summaries of all jobs.
#[derive(Default)]
pub(crate) struct Summaries {
    kept: Mutex<BTreeMap<String, Arc<Summary>>>,
}

/// What is kept of one job.
#[derive(Debug)]
pub(crate) struct Summary {
    revision: i64,
    policy: i64,
    day: Date,
    /// Has it facts of a later day than it was folded for? Then it changes with the day.
    ahead: bool,
    line: JobLine,
    /// What is due in it.
    pub(crate) board: Vec<BoardLine>,
    /// For counting; `None` where no fact opens the job.
    pub(crate) notes: Option<JobNotes>,
}

impl Summary {
    /// Revision of the job it is of.
    pub(crate) fn revision(&self) -> i64 {
        self.revision
    }
}

impl Bench {
    /// The summaries of all jobs, the one that changed last first. Only what changed is folded.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn summaries(&self) -> Result<Vec<Arc<Summary>>, Failure> {
        let jobs = self.inner.store.jobs().await.map_err(|error| trouble(&error))?;
        let in_force = self.in_force().await?;
        let day = self.day();
        // Who comes second waits and finds it done.
        let mut kept = self.inner.summaries.kept.lock().await;
        let fresh = |job: &JobSummary| {
            kept.get(&job.job).is_some_and(|summary| {
                let same_day = summary.day == day || !summary.ahead;
                summary.revision == job.revision && summary.policy == in_force.number && same_day
            })
        };
        let stale: Vec<JobSummary> = jobs.iter().filter(|job| !fresh(job)).cloned().collect();
        for chunk in stale.chunks(CHUNK) {
            let mut read = Vec::new();
            for job in chunk {
                // A job that cannot be read must not hide the others.
                read.push((job.clone(), self.inner.store.facts(&job.job).await.ok()));
            }
            let in_force = Arc::clone(&in_force);
            let fold = move || {
                let one = |(job, facts)| summary(job, facts, day, &in_force);
                read.into_iter().map(one).collect::<Vec<Summary>>()
            };
            let folded = tokio::task::spawn_blocking(fold).await;
            let folded = folded.map_err(|_| Failure::internal("The jobs could not be folded."))?;
            for summary in folded {
                kept.insert(summary.line.job.clone(), Arc::new(summary));
            }
        }
        Ok(jobs.iter().filter_map(|job| kept.get(&job.job).cloned()).collect())
    }

    /// The list of jobs, the one that changed last first.
    pub(crate) async fn lines(&self) -> Result<Vec<JobLine>, Failure> {
        let summaries = self.summaries().await?;
        let line = |summary: &Arc<Summary>| JobLine {
            urgency: self.inner.judge.urgency(&summary.line.job),
            ..summary.line.clone()
        };
        Ok(summaries.iter().map(line).collect())
    }
}

fn summary(
    job: JobSummary,
    facts: Option<Vec<record::Fact>>,
    day: Date,
    in_force: &crate::policy::InForce,
) -> Summary {
    let changed = clock::civil(job.changed);
    let (revision, policy) = (job.revision, in_force.number);
    let Some(facts) = facts else {
        let line = JobLine::unread(job.job, job.n_facts, changed);
        return Summary { revision, policy, day, ahead: false, line, board: Vec::new(), notes: None };
    };
    let ahead = facts.iter().any(|fact| day < fact.at.date());
    let settled = record::settle(&facts, Some(day));
    let view = JobView { name: job.job, facts, settled, revision, judged: Judged::Waiting };
    Summary {
        revision,
        policy,
        day,
        ahead,
        line: JobLine::of(&view, job.n_facts, changed),
        board: view.board_lines(&in_force.policy),
        notes: view.settled.job.as_ref().map(|job| JobNotes::of(&view.name, job)),
    }
}
