//! Judging in the background: for each job one judgement at a time, of the newest facts; after new facts a first look before it.

use crate::bench::{Bench, Event};
use crate::failure::Failure;
use crate::first::First;
use crate::policy::InForce;
use crate::trouble::sentence;
use model::Date;
use model::assessment::Assessment;
use model::job::Job;
use pages::JobView;
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use rayon::{ThreadPool, ThreadPoolBuilder};
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicI64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use study::{Run, Settings, Warm};
use tokio::sync::oneshot;

/// Jobs of which the draws of their last judgement are kept: some ten megabytes each.
const WARM_MAX: usize = 8;

/// Who judges, and what was found last.
pub(crate) struct Judge {
    pool: Arc<ThreadPool>,
    cases: Mutex<BTreeMap<String, Case>>,
    /// Number of the policy in force.
    policy: AtomicI64,
}

/// What is known of the judgement of one job.
#[derive(Default)]
pub(crate) struct Case {
    done: Option<Done>,
    /// The draws of the judgement and where its chains stood.
    pub(crate) warm: Option<Arc<Warm>>,
    /// A first look at newer facts than the judgement's.
    pub(crate) first: Option<First>,
    running: bool,
    again: bool,
}

/// A judgement, or why there is none.
#[derive(Debug, Clone)]
pub(crate) struct Done {
    /// Revision of the facts it is of.
    pub(crate) revision: i64,
    /// Day it is for.
    pub(crate) day: Date,
    /// Number of the policy it is by.
    pub(crate) policy: i64,
    /// The judgement, or a sentence on what is missing.
    pub(crate) outcome: Result<Arc<Assessment>, String>,
}

/// What a judgement is of: facts, day, policy.
pub(crate) type Key = (i64, Date, i64);

impl Done {
    /// What it is of.
    pub(crate) fn key(&self) -> Key {
        (self.revision, self.day, self.policy)
    }
}

/// Chains on the threads of the pool. Which thread runs which chain changes no result.
pub(crate) struct Pool;

impl Run for Pool {
    fn run<T: Send>(&self, n_chains: usize, chain: impl Fn(usize) -> T + Send + Sync) -> Vec<T> {
        (0..n_chains).into_par_iter().map(chain).collect()
    }
}

impl Judge {
    /// One core is left to the pages, where there is more than one.
    pub(crate) fn new() -> Result<Judge, std::io::Error> {
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let pool = ThreadPoolBuilder::new()
            .num_threads(cores.saturating_sub(1).max(1))
            .thread_name(|number| format!("judge-{number}"))
            .build()
            .map_err(std::io::Error::other)?;
        Ok(Judge { pool: Arc::new(pool), cases: Mutex::default(), policy: AtomicI64::new(0) })
    }

    /// From now on by this policy.
    pub(crate) fn by(&self, policy: i64) {
        self.policy.store(policy, Ordering::Release);
    }

    /// The policy by which is judged now.
    pub(crate) fn policy(&self) -> i64 {
        self.policy.load(Ordering::Acquire)
    }

    /// What was found last of a job.
    pub(crate) fn latest(&self, job: &str) -> Option<Done> {
        self.with(job, |case| case.done.clone())
    }

    /// Keeps a judgement, which takes the place of a first look, and its draws.
    fn keep(&self, job: &str, done: Done, warm: Option<Warm>) {
        let mut cases = self.cases.lock().unwrap_or_else(PoisonError::into_inner);
        let mut others: Vec<&mut Case> = cases
            .iter_mut()
            .filter(|(name, case)| *name != job && case.warm.is_some())
            .map(|(_, case)| case)
            .collect();
        if warm.is_some() && WARM_MAX <= others.len() {
            // Their next judgement has no first look; which of them matters little.
            others.iter_mut().for_each(|case| case.warm = None);
        }
        let case = cases.entry(job.to_owned()).or_default();
        (case.done, case.warm, case.first) = (Some(done), warm.map(Arc::new), None);
    }

    /// Urgency by what was found last of a job.
    pub(crate) fn urgency(&self, job: &str) -> Option<model::advice::Urgency> {
        let cases = self.cases.lock().unwrap_or_else(PoisonError::into_inner);
        let assessment = cases.get(job)?.done.as_ref()?.outcome.as_ref().ok()?;
        Some(assessment.verdict.urgency)
    }

    /// Jobs that are being judged, and those of them that will be judged once more after it.
    pub(crate) fn queue(&self) -> (usize, usize) {
        let cases = self.cases.lock().unwrap_or_else(PoisonError::into_inner);
        let running = cases.values().filter(|case| case.running);
        running.fold((0, 0), |(running, again), case| (running + 1, again + usize::from(case.again)))
    }

    /// Computes something on the threads of the judge; `None` where that fails by a fault of the program.
    pub(crate) async fn do_it<T: Send + 'static>(
        &self,
        act: impl FnOnce(&Pool) -> T + Send + 'static,
    ) -> Option<T> {
        let (tell, told) = oneshot::channel();
        self.pool.spawn(move || {
            // Nobody waits where the program is closing.
            let _ = tell.send(catch_unwind(AssertUnwindSafe(|| act(&Pool))));
        });
        told.await.ok()?.ok()
    }

    /// Does something with what is known of a job.
    pub(crate) fn with<T>(&self, job: &str, act: impl FnOnce(&mut Case) -> T) -> T {
        let mut cases = self.cases.lock().unwrap_or_else(PoisonError::into_inner);
        act(cases.entry(job.to_owned()).or_default())
    }
}

impl Bench {
    /// Has a job judged, now or as soon as the judgement that runs is done.
    pub(crate) fn judge(&self, job: &str) {
        let starts = self.inner.judge.with(job, |case| {
            case.again = true;
            !std::mem::replace(&mut case.running, true)
        });
        if !starts {
            return;
        }
        let (bench, job) = (self.clone(), job.to_owned());
        tokio::spawn(async move {
            while bench.inner.judge.with(&job, |case| {
                case.running = case.again && !*bench.inner.closing.borrow();
                std::mem::take(&mut case.again) && case.running
            }) {
                bench.judge_once(&job).await;
            }
        });
    }

    /// Has a job judged where its latest judgement is not of these facts and this day.
    pub(crate) fn judge_if_stale(&self, view: &JobView) {
        let current = self.inner.judge.latest(&view.name).map(|done| done.key());
        if current != Some((view.revision, self.day(), self.inner.judge.policy())) {
            self.judge(&view.name);
        }
    }

    /// A job with the judgement of all its facts, waited for.
    ///
    /// # Errors
    /// It takes too long, or the job cannot be read.
    pub(crate) async fn judged_view(&self, job: &str, patience: Duration) -> Result<Arc<JobView>, Failure> {
        let mut events = self.inner.events.subscribe();
        let wait = async {
            loop {
                // Before the view: a judgement that is done between the two would not be in it.
                let latest = self.inner.judge.latest(job).map(|done| done.key());
                let view = self.view(job).await?;
                if latest == Some((view.revision, self.day(), self.inner.judge.policy())) {
                    return Ok(view);
                }
                self.judge_if_stale(&view);
                // A lost event costs a second, not the answer.
                let _ = tokio::time::timeout(Duration::from_secs(1), events.recv()).await;
            }
        };
        tokio::time::timeout(patience, wait).await.unwrap_or_else(|_| Err(Failure::busy()))
    }

    async fn judge_once(&self, job: &str) {
        // What cannot be read now is said by the page that is asked for.
        let Ok(view) = self.view(job).await else { return };
        let day = self.day();
        let revision = view.revision;
        let Ok(in_force) = self.in_force().await else { return };
        self.inner.judge.by(in_force.number);
        let policy = in_force.number;
        if self.inner.judge.latest(job).is_some_and(|done| done.key() == (revision, day, policy)) {
            return;
        }
        let (outcome, warm) = match view.ready() {
            Err(missing) => (Err(missing), None),
            Ok(ready) => {
                let settings = self.settings(day, &in_force);
                self.look_first(job, ready, &settings, (revision, day, policy)).await;
                match self.assess(ready.clone(), settings).await {
                    Ok((assessment, warm)) => (Ok(Arc::new(assessment)), Some(warm)),
                    Err(why) => (Err(why), None),
                }
            }
        };
        let done = Done { revision, day, policy, outcome };
        self.inner.judge.keep(job, done.clone(), warm);
        self.keep_urgency(job, &done, &in_force).await;
        let _ = self.inner.events.send(Event { job: job.to_owned(), revision, judged: true, first: false });
    }

    fn settings(&self, day: Date, by: &InForce) -> Settings {
        Settings {
            day,
            policy: by.policy.clone(),
            experience: by.counted.experience.clone(),
            ..self.inner.setup.settings.clone()
        }
    }

    async fn assess(&self, job: Job, settings: Settings) -> Result<(Assessment, Warm), String> {
        let judged = move |pool: &Pool| study::assess_keeping(&job, &settings, None, pool);
        match self.inner.judge.do_it(judged).await {
            Some(Ok(judged)) => Ok(judged),
            Some(Err(refusal)) => Err(sentence(&refusal.to_string())),
            None => {
                Err("The judgement failed by a fault of the program. The facts are safe; please report it."
                    .to_owned())
            }
        }
    }
}
