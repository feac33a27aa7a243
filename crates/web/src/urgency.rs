//! How urgent each job is, kept in the store when a judgement is done, so that lists know it after a start.

use crate::bench::Bench;
use crate::judge::Done;
use crate::policy::InForce;
use jiff::civil::Date;
use pages::AsOf;
use store::UrgencyMark;
use study::shop::{urgency_band, urgency_of_band};

impl Bench {
    /// Keeps what a judgement said.
    pub(crate) async fn keep_urgency(&self, job: &str, done: &Done, by: &InForce) {
        let urgency = done.outcome.as_ref().ok().map(|assessment| assessment.verdict.urgency);
        let mark = UrgencyMark {
            band: urgency_band(urgency),
            revision: done.revision,
            day: done.day.to_string(),
            by: by.print.clone(),
        };
        // Where nothing can be written, as on a full disk, the judgement is shown all the same; it is made again.
        let _ = self.inner.store.put_urgency(job, &mark).await;
    }

    /// Urgency of a line, and of what it is, as the store has it; else by what was judged since the start.
    pub(crate) fn urgency_of(
        &self,
        job: &str,
        revision: i64,
        mark: Option<&UrgencyMark>,
        by: &InForce,
    ) -> (Option<model::advice::Urgency>, Option<AsOf>) {
        let kept = mark.and_then(|mark| Some((mark, urgency_of_band(mark.band)?)));
        let Some((mark, urgency)) = kept else { return (self.inner.judge.urgency(job), None) };
        let day: Option<Date> = mark.day.parse().ok();
        let as_of =
            day.map(|day| AsOf { day, older: mark.revision < revision, otherwise: mark.by != by.print });
        (Some(urgency), as_of)
    }
}
