//! First looks: after new facts the pages of a job that was judged before show, within a moment, what the draws at hand say of it.

use crate::bench::{Bench, Event};
use crate::judge::{Judge, Key};
use model::assessment::Assessment;
use model::job::Job;
use std::sync::Arc;
use study::Settings;

/// A first look, which pages show until the judgement is there. Nothing else is made from it.
#[derive(Debug, Clone)]
pub(crate) struct First {
    /// What it is of.
    pub(crate) of: Key,
    pub(crate) look: Arc<Assessment>,
}

impl Judge {
    /// A first look at newer facts than [`Judge::latest`] is of.
    pub(crate) fn first(&self, job: &str) -> Option<First> {
        self.with(job, |case| case.first.clone())
    }
}

impl Bench {
    /// Takes a first look where the job was judged before, and tells open pages of it.
    pub(crate) async fn look_first(&self, name: &str, job: &Job, settings: &Settings, of: Key) {
        let Some(warm) = self.inner.judge.with(name, |case| case.warm.clone()) else { return };
        let (job, settings) = (job.clone(), settings.clone());
        let look = self.inner.judge.do_it(move |pool| study::first_look(&job, &settings, &warm, pool)).await;
        // A job that cannot be judged is told of by the judgement.
        let Some(Ok(Some(look))) = look else { return };
        self.inner.judge.with(name, |case| case.first = Some(First { of, look: Arc::new(look) }));
        let _ = self.inner.events.send(Event {
            job: name.to_owned(),
            revision: of.0,
            judged: false,
            first: true,
        });
    }
}
