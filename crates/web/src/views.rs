//! Jobs as they stand, folded once a revision and shared by all who look.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::judge::Key;
use crate::trouble::trouble;
use jiff::civil::Date;
use pages::{JobView, Judged};
use record::Fact;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::Mutex as Turn;

/// Jobs that are kept folded; more than that are folded again when they are looked at.
const KEPT_MAX: usize = 64;

/// Facts from which on the fold leaves the threads that serve pages.
const MANY_FACTS: usize = 300;

/// The jobs that were looked at.
#[derive(Default)]
pub(crate) struct Views {
    cells: Mutex<BTreeMap<String, Arc<Turn<Option<Kept>>>>>,
}

struct Kept {
    view: Arc<JobView>,
    /// Day for which dates counted as future.
    day: Date,
    /// Which judgement and which first look are in the view.
    judged: (Option<Key>, Option<Key>),
}

impl Bench {
    /// A job as it stands now, with the judgement that is there.
    ///
    /// # Errors
    /// There is no such job, or the store fails.
    pub(crate) async fn view(&self, job: &str) -> Result<Arc<JobView>, Failure> {
        let cell = self.inner.views.cell(job);
        // One folds, the others wait and take what it made.
        let mut kept = cell.lock().await;
        let revision = self.inner.store.revision(job).await.map_err(|error| trouble(&error))?;
        let Some(revision) = revision else {
            return Err(Failure::no_job(job));
        };
        let day = self.day();
        let (judged, first) = (self.inner.judge.latest(job), self.inner.judge.first(job));
        let key = (judged.as_ref().map(|done| done.key()), first.as_ref().map(|first| first.of));
        if let Some(kept) = kept.as_ref()
            && kept.view.revision == revision
            && kept.day == day
            && kept.judged == key
        {
            return Ok(Arc::clone(&kept.view));
        }
        let (mut facts, from) = match kept.as_ref() {
            Some(kept) => (kept.view.facts.clone(), kept.view.revision),
            None => (Vec::new(), 0),
        };
        let settled = match kept.as_ref() {
            Some(kept) if kept.view.revision == revision && kept.day == day => kept.view.settled.clone(),
            _ => {
                let more = self.inner.store.stored_after(job, from).await.map_err(|error| trouble(&error))?;
                facts.extend(more.into_iter().map(|stored| stored.fact));
                // What was read before the job was forgotten is kept here as it was.
                facts = record::forget::as_forgotten(facts);
                let (same, settled) = settle(facts, day).await?;
                facts = same;
                settled
            }
        };
        // What arrived between the two looks belongs to it too.
        let revision = revision.max(facts.len() as i64);
        let now = (revision, day, self.inner.judge.policy());
        let judged = match judged {
            None => Judged::Waiting,
            Some(done) => match done.outcome.clone() {
                Err(why) => Judged::NotPossible(why),
                Ok(assessment) => Judged::Done {
                    assessment: Box::new((*assessment).clone()),
                    current: done.key() == now,
                    first: first.filter(|first| first.of == now).map(|first| Box::new((*first.look).clone())),
                },
            },
        };
        let view = Arc::new(JobView { name: job.to_owned(), facts, settled, revision, judged });
        *kept = Some(Kept { view: Arc::clone(&view), day, judged: key });
        Ok(view)
    }
}

/// Settles facts, on another thread where they are many.
async fn settle(facts: Vec<Fact>, day: Date) -> Result<(Vec<Fact>, record::Settled), Failure> {
    let many = MANY_FACTS < facts.len();
    let settle = move || {
        let settled = record::settle(&facts, Some(day));
        (facts, settled)
    };
    if !many {
        return Ok(settle());
    }
    tokio::task::spawn_blocking(settle).await.map_err(|_| Failure::internal("The job could not be folded."))
}

impl Views {
    fn cell(&self, job: &str) -> Arc<Turn<Option<Kept>>> {
        let mut cells = self.cells.lock().unwrap_or_else(PoisonError::into_inner);
        if KEPT_MAX <= cells.len() && !cells.contains_key(job) {
            // Those that nobody uses at this moment; which of them matters little.
            cells.retain(|_, cell| 1 < Arc::strong_count(cell));
        }
        Arc::clone(cells.entry(job.to_owned()).or_default())
    }
}
