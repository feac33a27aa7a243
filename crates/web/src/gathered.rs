//! What is counted over all jobs, at hand: taken from the store once in the background, and from then on kept up by the jobs
//! that changed. Nothing is folded here, and what one program counted is asked for by all its pages.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::trouble::trouble;
use model::Date;
use pages::NAMED;
use std::sync::Arc;
use std::time::Duration;
use study::shop::{Answer, FACED_VERSION, JobNotes, Scored, Tally, faced_of_text};
use tokio::sync::{Mutex, OwnedMutexGuard};
use tokio::task::JoinSet;
use tokio::time::Instant;

/// Rows that are taken at once: little enough that a page gets its turn in between.
const ROWS: i64 = 500;

/// Threads that read rows at once.
const READERS: usize = 2;

/// How long a page waits for what is new to be counted; what lacks then is said on it.
const PATIENCE: Duration = Duration::from_millis(800);

/// Wait of those who need all of it.
const LONG: Duration = Duration::from_secs(600);

/// What is at hand.
#[derive(Default)]
pub(crate) struct Gathered {
    /// Whose turn it is to take what is new.
    turn: Mutex<()>,
    held: Arc<Mutex<Held>>,
}

#[derive(Default)]
struct Held {
    notes_stamp: i64,
    faced_stamp: i64,
    tally: Tally,
    answers: Option<(Date, Arc<Vec<Answer>>)>,
    scored: Option<Arc<Scored>>,
}

/// The owner's questions answered.
pub(crate) struct Answered {
    pub(crate) answers: Arc<Vec<Answer>>,
    /// Over how many jobs.
    pub(crate) n_jobs: usize,
    /// How many are not counted yet.
    pub(crate) n_unread: usize,
}

/// What is scored, and what is not yet.
pub(crate) struct ScoredNow {
    pub(crate) scored: Arc<Scored>,
    /// Of the healthy readings like the one that is asked for: how many are lower, and how many there are.
    pub(crate) ranked: Option<(usize, usize)>,
    /// Jobs with openings that are to be judged as they were before.
    pub(crate) n_waiting: usize,
    /// How many jobs are not counted yet.
    pub(crate) n_unread: usize,
}

impl Bench {
    /// The owner's questions, each count with the first jobs behind it; a page waits so long and no longer.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn answers(&self) -> Result<Answered, Failure> {
        let (mut held, n_unread) = self.held().await?;
        let day = self.day();
        apart(move || {
            let answers = match &held.answers {
                Some((of, answers)) if *of == day => Arc::clone(answers),
                _ => Arc::new(held.tally.answers(day, NAMED)),
            };
            held.answers = Some((day, Arc::clone(&answers)));
            Answered { answers, n_jobs: held.tally.n_jobs(), n_unread }
        })
        .await
    }

    /// The same whole, with all jobs behind each count.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn all_answers(&self) -> Result<Vec<Answer>, Failure> {
        let held = self.whole().await?;
        let day = self.day();
        apart(move || held.tally.answers(day, usize::MAX)).await
    }

    /// Predicted against found, with the place of a reading among healthy ones.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn scored(&self, asked: Option<(f64, f64, f64)>) -> Result<ScoredNow, Failure> {
        let (mut held, n_unread) = self.held().await?;
        apart(move || {
            let scored = match &held.scored {
                Some(scored) => Arc::clone(scored),
                None => Arc::new(held.tally.scored(NAMED)),
            };
            held.scored = Some(Arc::clone(&scored));
            let ranked = asked.map(|(rating, load, rise)| held.tally.rank(rating, load, rise));
            ScoredNow { scored, ranked, n_waiting: held.tally.n_waiting(), n_unread }
        })
        .await
    }

    /// Jobs with openings that are to be judged as they were before, with their revision.
    pub(crate) async fn to_be_faced(&self) -> Vec<(String, i64)> {
        self.inner.gathered.held.lock().await.tally.waiting()
    }

    /// Jobs with joints that were opened on a proof.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn opened_jobs(&self) -> Result<Vec<String>, Failure> {
        Ok(self.whole().await?.tally.opened_jobs())
    }

    /// What is counted after the wait of a page, and how many jobs are not.
    async fn held(&self) -> Result<(OwnedMutexGuard<Held>, usize), Failure> {
        let until = Instant::now() + PATIENCE;
        let n_stale = self.freshen_within(PATIENCE).await?;
        let whole = self.gather(until).await?;
        let held = Arc::clone(&self.inner.gathered.held).lock_owned().await;
        let n_lacking = match whole {
            true => 0,
            false => {
                let n = self.inner.store.n_notes_after(held.notes_stamp).await;
                n.map_err(|error| trouble(&error))?
            }
        };
        // A job whose summary is stale may be among those that are not taken yet.
        Ok((held, n_stale.max(n_lacking)))
    }

    /// What is counted, with all there is.
    async fn whole(&self) -> Result<OwnedMutexGuard<Held>, Failure> {
        self.freshen().await?;
        self.gather(Instant::now() + LONG).await?;
        Ok(Arc::clone(&self.inner.gathered.held).lock_owned().await)
    }

    /// Takes what is new in the store, until a moment. `true` where all of it was taken.
    pub(crate) async fn gather(&self, until: Instant) -> Result<bool, Failure> {
        let Gathered { turn, held } = &self.inner.gathered;
        let store = &self.inner.store;
        let Ok(_turn) = tokio::time::timeout_at(until, turn.lock()).await else { return Ok(false) };
        loop {
            let stamp = held.lock().await.notes_stamp;
            let rows = store.notes_after(stamp, ROWS).await.map_err(|error| trouble(&error))?;
            let Some(last) = rows.last().map(|row| row.0) else { break };
            let read = read(rows).await?;
            let mut held = Arc::clone(held).lock_owned().await;
            apart(move || {
                for (job, revision, notes) in &read {
                    match notes {
                        Some(notes) => held.tally.put(*revision, notes),
                        None => held.tally.take(job),
                    }
                }
                (held.notes_stamp, held.answers, held.scored) = (last, None, None);
            })
            .await?;
            if until < Instant::now() {
                return Ok(false);
            }
        }
        loop {
            let stamp = held.lock().await.faced_stamp;
            let rows = store.faced_after(stamp, ROWS).await.map_err(|error| trouble(&error))?;
            let Some(last) = rows.last().map(|row| row.stamp) else { return Ok(true) };
            let mut held = Arc::clone(held).lock_owned().await;
            apart(move || {
                for row in rows.iter().filter(|row| row.made_by == FACED_VERSION.to_string()) {
                    if let Some(faced) = faced_of_text(&row.job, &row.text) {
                        held.tally.put_faced(&row.job, row.revision, faced);
                    }
                }
                (held.faced_stamp, held.scored) = (last, None);
            })
            .await?;
            if until < Instant::now() {
                return Ok(false);
            }
        }
    }
}

type Read = (String, i64, Option<JobNotes>);

/// Reads rows on several threads.
async fn read(rows: Vec<(i64, String, i64, String)>) -> Result<Vec<Read>, Failure> {
    let mut readers = JoinSet::new();
    for part in rows.chunks(rows.len().div_ceil(READERS).max(1)) {
        let part = part.to_vec();
        let one = |(_, job, revision, text): (i64, String, i64, String)| {
            let notes = JobNotes::of_text(&text).map(|notes| JobNotes { job: job.clone(), ..notes });
            (job, revision, notes)
        };
        readers.spawn_blocking(move || part.into_iter().map(one).collect::<Vec<Read>>());
    }
    let mut all = Vec::new();
    while let Some(part) = readers.join_next().await {
        all.extend(part.map_err(|_| Failure::internal("The jobs could not be counted."))?);
    }
    Ok(all)
}

/// On a thread that serves no pages.
async fn apart<T: Send + 'static>(act: impl FnOnce() -> T + Send + 'static) -> Result<T, Failure> {
    let done = tokio::task::spawn_blocking(act).await;
    done.map_err(|_| Failure::internal("The jobs could not be counted."))
}
