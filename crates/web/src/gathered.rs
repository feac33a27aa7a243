//! What is counted over all jobs, at hand: taken from the store once, and from then on only what is new there.
//!
//! Nothing is folded here, and nothing is asked twice: who comes second finds the answer of the first.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::trouble::trouble;
use model::Date;
use std::collections::BTreeMap;
use std::sync::Arc;
use study::shop::{Answer, FACED_VERSION, Faced, JobNotes, Scored, answers, faced_of_text};
use tokio::sync::Mutex;

/// Rows that are taken at once.
const ROWS: i64 = 4_000;

/// What is at hand.
#[derive(Default)]
pub(crate) struct Gathered(Mutex<Arc<Held>>);

/// All of it; a clone shares what is large.
#[derive(Default, Clone)]
pub(crate) struct Held {
    notes_stamp: i64,
    faced_stamp: i64,
    notes: BTreeMap<Arc<str>, Arc<(i64, JobNotes)>>,
    faced: BTreeMap<Arc<str>, Arc<(i64, Vec<Faced>)>>,
    answers: Option<(Date, Arc<Vec<Answer>>)>,
    scored: Option<Arc<ScoredNow>>,
}

/// What is scored, and what is not yet.
#[derive(Default)]
pub(crate) struct ScoredNow {
    pub(crate) scored: Arc<Scored>,
    /// Jobs with openings that are to be judged as they were before, with their revision.
    pub(crate) waiting: Vec<(String, i64)>,
    /// Jobs whose facts before the opening cannot be judged.
    pub(crate) not_judged: Vec<String>,
}

impl Held {
    fn score(&self) -> ScoredNow {
        let mut now = ScoredNow::default();
        let (mut faced, mut healthy) = (Vec::new(), Vec::new());
        for (job, kept) in &self.notes {
            let (revision, notes) = &**kept;
            healthy.extend(notes.healthy.iter().cloned());
            if notes.opened.is_empty() {
                continue;
            }
            match self.faced.get(job).filter(|kept| kept.0 == *revision) {
                Some(kept) if kept.1.is_empty() => now.not_judged.push(job.to_string()),
                Some(kept) => faced.extend(&kept.1),
                None => now.waiting.push((job.to_string(), *revision)),
            }
        }
        now.scored = Arc::new(Scored::of(&faced, healthy));
        now
    }
}

impl Bench {
    /// The owner's questions answered, and over how many jobs.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn answers(&self) -> Result<(Arc<Vec<Answer>>, usize), Failure> {
        let mut held = self.inner.gathered.0.lock().await;
        self.gather(&mut held).await?;
        let day = self.day();
        let answered = match &held.answers {
            Some((of, answers)) if *of == day => Arc::clone(answers),
            _ => {
                let now = Arc::clone(&held);
                let answered = apart(move || {
                    let notes: Vec<&JobNotes> = now.notes.values().map(|kept| &kept.1).collect();
                    Arc::new(answers(&notes, day))
                })
                .await?;
                Arc::make_mut(&mut held).answers = Some((day, Arc::clone(&answered)));
                answered
            }
        };
        Ok((answered, held.notes.len()))
    }

    /// Predicted against found.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn scored(&self) -> Result<Arc<ScoredNow>, Failure> {
        let mut held = self.inner.gathered.0.lock().await;
        self.gather(&mut held).await?;
        if let Some(scored) = &held.scored {
            return Ok(Arc::clone(scored));
        }
        let now = Arc::clone(&held);
        let scored = apart(move || Arc::new(now.score())).await?;
        Arc::make_mut(&mut held).scored = Some(Arc::clone(&scored));
        Ok(scored)
    }

    /// Jobs with joints that were opened on a proof.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn opened_jobs(&self) -> Result<Vec<String>, Failure> {
        let mut held = self.inner.gathered.0.lock().await;
        self.gather(&mut held).await?;
        let opened = held.notes.iter().filter(|(_, kept)| !kept.1.opened.is_empty());
        Ok(opened.map(|(job, _)| job.to_string()).collect())
    }

    /// Takes what is new in the store.
    async fn gather(&self, held: &mut Arc<Held>) -> Result<(), Failure> {
        let store = &self.inner.store;
        loop {
            let rows = store.notes_after(held.notes_stamp, ROWS).await.map_err(|error| trouble(&error))?;
            let Some(last) = rows.last().map(|row| row.0) else { break };
            let read = move || -> Vec<(Arc<str>, i64, Option<JobNotes>)> {
                let read = |(_, job, revision, text): (i64, String, i64, String)| {
                    (job.into(), revision, JobNotes::of_text(&text))
                };
                rows.into_iter().map(read).collect()
            };
            let read = apart(read).await?;
            let held = Arc::make_mut(held);
            for (job, revision, notes) in read {
                match notes {
                    Some(notes) => drop(held.notes.insert(job, Arc::new((revision, notes)))),
                    None => drop(held.notes.remove(&job)),
                }
            }
            (held.notes_stamp, held.answers, held.scored) = (last, None, None);
        }
        loop {
            let rows = store.faced_after(held.faced_stamp, ROWS).await.map_err(|error| trouble(&error))?;
            let Some(last) = rows.last().map(|row| row.stamp) else { break };
            let held = Arc::make_mut(held);
            for row in rows.iter().filter(|row| row.made_by == FACED_VERSION.to_string()) {
                if let Some(faced) = faced_of_text(&row.job, &row.text) {
                    held.faced.insert(row.job.as_str().into(), Arc::new((row.revision, faced)));
                }
            }
            (held.faced_stamp, held.scored) = (last, None);
        }
        Ok(())
    }
}

/// On a thread that serves no pages.
async fn apart<T: Send + 'static>(act: impl FnOnce() -> T + Send + 'static) -> Result<T, Failure> {
    let done = tokio::task::spawn_blocking(act).await;
    done.map_err(|_| Failure::internal("The jobs could not be counted."))
}
