//! What the jobs of this bench say of durations and surprises.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::trouble::trouble;
use study::Past;

impl Bench {
    /// What the jobs of this bench say, the one that changed last first: as many as count for a job, of real ones and of
    /// invented ones.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn past(&self) -> Result<Past, Failure> {
        self.freshen().await?;
        // A job does not teach itself, so one more is needed.
        let most = i64::try_from(study::past_jobs_most()).unwrap_or(i64::MAX).saturating_add(1);
        let mut jobs = Vec::new();
        for invented in [false, true] {
            let texts = self.inner.store.past(invented, most).await.map_err(|error| trouble(&error))?;
            jobs.extend(texts.iter().filter_map(|text| serde_json::from_str(text).ok()));
        }
        Ok(Past { jobs })
    }
}
