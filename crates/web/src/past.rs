//! What the jobs of this bench say of durations and surprises, read once a revision of each.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::trouble::trouble;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};
use study::{Past, PastJob};

/// What was read of each job: its revision then, and what it says.
#[derive(Default)]
pub(crate) struct PastKept {
    jobs: Mutex<BTreeMap<String, (i64, Option<PastJob>)>>,
}

impl Bench {
    /// What the jobs of this bench say, the one that changed last first.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn past(&self) -> Result<Past, Failure> {
        let mut jobs = Vec::new();
        for summary in self.inner.store.jobs().await.map_err(|error| trouble(&error))? {
            let held = || self.inner.past.jobs.lock().unwrap_or_else(PoisonError::into_inner);
            let known = held().get(&summary.job).filter(|(of, _)| *of == summary.revision).cloned();
            let said = match known {
                Some((_, said)) => said,
                None => {
                    // A job that cannot be read must not hide what the others say.
                    let Ok(view) = self.view(&summary.job).await else { continue };
                    let said = view.settled.job.as_ref().and_then(study::past_job);
                    held().insert(summary.job.clone(), (summary.revision, said.clone()));
                    said
                }
            };
            jobs.extend(said);
        }
        Ok(Past { jobs })
    }
}
