//! What lists and counts over all jobs need of each: made from its facts once a revision, and kept in the store, so that
//! nothing is folded at the first look after a start.

use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use crate::trouble::trouble;
use futures_util::{StreamExt, TryStreamExt};
use jiff::civil::Date;
use pages::{JobView, Judged};
use record::Fact;
use std::sync::Arc;
use std::time::Duration;
use store::{JobSummary, Maker, Summary};
use study::shop::{JobNotes, NOTES_VERSION, line_text};
use tokio::sync::Mutex;
use tokio::time::Instant;

/// Jobs that are folded on another thread at once, before pages get their turn again.
const CHUNK: i64 = 64;

/// How long a page waits for jobs that changed to be read; what lacks then is said on it.
const PATIENCE: Duration = Duration::from_millis(1500);

/// Jobs that are read at once.
const READERS: usize = 3;

/// Wait after a change, so that what comes in together is read together.
const GATHER: Duration = Duration::from_millis(250);

/// Jobs that changed so long before the last look are looked at again, milliseconds: clocks of two machines differ, and a
/// commit is seen a little after its time.
const BACK_MS: i64 = 300_000;

/// How far the summaries are.
#[derive(Default)]
pub(crate) struct Summaries {
    turn: Mutex<Turn>,
}

#[derive(Default)]
struct Turn {
    /// By whom all jobs that changed until `since` have theirs.
    maker: Option<Maker>,
    since: i64,
}

impl Bench {
    /// By what summaries are made now.
    pub(crate) async fn maker(&self) -> Result<Maker, Failure> {
        let in_force = self.in_force().await?;
        Ok(Maker { made_by: format!("{NOTES_VERSION} {}", in_force.print), day: self.day().to_string() })
    }

    /// Has what changed summarised, for as long as a page may wait. How many jobs lack after that: 0 where the lists are
    /// whole.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn freshen(&self) -> Result<usize, Failure> {
        self.freshen_within(PATIENCE).await
    }

    pub(crate) async fn freshen_within(&self, patience: Duration) -> Result<usize, Failure> {
        let maker = self.maker().await?;
        let until = Instant::now() + patience;
        let store = &self.inner.store;
        let lacking = async || store.n_stale(&maker).await.map_err(|error| trouble(&error));
        let Ok(mut turn) = tokio::time::timeout_at(until, self.inner.summaries.turn.lock()).await else {
            return lacking().await;
        };
        if turn.maker.as_ref() != Some(&maker) {
            *turn = Turn { maker: Some(maker.clone()), since: i64::MIN };
        }
        let began = store::now_ms();
        loop {
            let stale = store.stale(&maker, turn.since, CHUNK).await.map_err(|error| trouble(&error))?;
            if stale.is_empty() {
                turn.since = began - BACK_MS;
                return Ok(0);
            }
            // Where nothing can be written, as on a full disk, looking still works, and says what lacks.
            if !self.summarise(stale, &maker).await? || until < Instant::now() {
                return lacking().await;
            }
        }
    }

    /// Makes and keeps summaries; `false` where they could not be kept.
    async fn summarise(&self, jobs: Vec<JobSummary>, maker: &Maker) -> Result<bool, Failure> {
        let (day, in_force) = (self.day(), self.in_force().await?);
        // Each job is read by a task and folded on a thread of its own; a few of them at a time.
        let made = futures_util::stream::iter(jobs).map(async |job| {
            let lines = self.inner.store.fact_lines(&job.job).await.map_err(|error| trouble(&error))?;
            let in_force = Arc::clone(&in_force);
            // A job that cannot be read must not hide the others.
            let facts = move || lines.iter().map(|line| Fact::from_json(line).ok()).collect();
            let fold = move || summary(job, facts(), day, &in_force.policy);
            let made = tokio::task::spawn_blocking(fold).await;
            made.map_err(|_| Failure::internal("The jobs could not be read."))
        });
        let made: Vec<Summary> = made.buffer_unordered(READERS).try_collect().await?;
        // Sent together, committed together.
        let kept = made.into_iter().map(|summary| self.inner.store.put_summary(summary, maker));
        Ok(futures_util::future::join_all(kept).await.iter().all(Result::is_ok))
    }

    /// Keeps the summaries fresh while nobody looks.
    pub(crate) fn follow(&self) {
        let bench = self.clone();
        let mut changes = self.inner.store.subscribe();
        let mut closing = self.inner.closing.subscribe();
        tokio::spawn(async move {
            loop {
                // A little at a time, so that pages get their turn. What fails now is said by the page that is asked for.
                let lacks = bench.freshen_within(GATHER).await.unwrap_or(0);
                // So that the first who asks the owner's questions finds them counted.
                let whole = bench.gather(Instant::now() + GATHER).await.unwrap_or(true);
                let idle = lacks == 0 && whole;
                let wait = async {
                    if idle {
                        // Lagging means that something changed, too.
                        let _ = changes.recv().await;
                    }
                    tokio::time::sleep(if idle { GATHER } else { Duration::from_millis(20) }).await;
                    changes = changes.resubscribe();
                };
                tokio::select! {
                    () = wait => {}
                    _ = closing.wait_for(|closing| *closing) => return,
                }
            }
        });
    }
}

fn summary(job: JobSummary, facts: Option<Vec<Fact>>, day: Date, policy: &study::Policy) -> Summary {
    let JobSummary { job, revision, changed, .. } = job;
    let Some(facts) = facts else { return Summary { job, revision, changed, ..Summary::default() } };
    let ahead = facts.iter().any(|fact| day < fact.at.date());
    let settled = record::settle(&facts, Some(day));
    let view = JobView { name: job, facts, settled, revision, judged: Judged::Waiting };
    let due = view.board_lines(policy);
    let due = due.iter().map(|line| (line.due.day.to_string(), line_text(line))).collect();
    let line = pages::JobLine::of(&view, 0, clock::civil(changed));
    let of = view.settled.job.as_ref();
    let past = of.and_then(study::past_job).map(|past| serde_json::to_string(&past).unwrap_or_default());
    Summary {
        revision,
        changed,
        ahead,
        place: line.place,
        town: line.town,
        invented: line.invented,
        notes: of.map(|job| JobNotes::of(&view.name, job).to_text()).unwrap_or_default(),
        past: past.unwrap_or_default(),
        due,
        job: view.name,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the summaries of four invented jobs say. Where this fails because what is made from facts has changed, raise
    /// `NOTES_VERSION` and put the new value here: otherwise jobs of before keep their old summaries. Where only the job
    /// files have changed, the new value is enough.
    #[test]
    fn another_summary_of_the_same_facts_needs_another_version() {
        let cases = [
            include_str!("../../../cases/1-burnt-stabs.toml"),
            include_str!("../../../cases/2-overload.toml"),
            include_str!("../../../cases/3-service-neutral.toml"),
            include_str!("../../../docs/worked-example/job.toml"),
        ];
        let day = Date::constant(2026, 6, 1);
        let mut all = String::new();
        for text in cases {
            let facts = record::read_job("case", text, day).facts;
            assert!(!facts.is_empty());
            let job = JobSummary { job: "a".to_owned(), n_facts: 0, revision: 1, created: 0, changed: 0 };
            all.push_str(&format!("{:?}\n", summary(job, Some(facts), day, &study::Policy::standard())));
        }
        assert!(all.contains("hours_off") && all.contains("due: [("), "they say something: {all}");
        let print = crate::guard::hash_hex("summary", &all);
        assert_eq!((NOTES_VERSION, &print[..16]), (2, "97dcfb2ea326a971"), "{all}");
    }
}
