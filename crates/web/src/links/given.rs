//! What is given out by a link: the job without what is nobody's outside the shop, judged from that alone, so that no
//! sentence on a paper can hold what was left out.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::papers::{PRESS, unset};
use model::Date;
use model::assessment::Assessment;
use model::job::Job;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};
use store::Link;
use study::{Document, Settings};
use tokio::sync::Mutex as Turn;

/// Links whose papers are kept.
const KEPT_MAX: usize = 16;

/// Somebody who looks again within this time is not noted again.
const NOTED: Duration = Duration::from_secs(60);

/// What was given out a moment ago.
#[derive(Default)]
pub(crate) struct GivenOut {
    /// One is made at a time: who has a link must not keep the shop's judge busy.
    kept: Turn<BTreeMap<String, Arc<Given>>>,
    noted: Mutex<BTreeMap<String, Instant>>,
}

/// A job as somebody outside the shop may see it.
pub(crate) struct Given {
    of: (i64, Date, i64),
    /// The day it was judged for.
    pub(crate) day: Date,
    /// The job, and its judgement where there is one.
    pub(crate) job: Option<(Job, Option<Assessment>)>,
    set: Turn<BTreeMap<String, Arc<Document>>>,
}

impl Given {
    /// Names of the files that a link opens, with the kind of each.
    pub(crate) fn files(&self, link: &Link) -> Vec<(&'static str, String)> {
        let Some((job, Some(assessment))) = &self.job else { return Vec::new() };
        let names = study::paper_names(job, assessment).into_iter();
        let kinds = names.filter_map(|name| kind_of(&name).map(|kind| (kind, name)));
        kinds.filter(|(kind, _)| link.paper.is_empty() || link.paper == *kind).collect()
    }

    /// One of the files of a link.
    pub(crate) async fn file(self: &Arc<Self>, link: &Link, file: &str) -> Result<Arc<Document>, Failure> {
        // Compared with the names of what may be made, never used as a path.
        if !self.files(link).iter().any(|(_, name)| name == file) {
            return Err(Failure::not_found());
        }
        let mut set = self.set.lock().await;
        if let Some(document) = set.get(file) {
            return Ok(Arc::clone(document));
        }
        let (own, name) = (Arc::clone(self), file.to_owned());
        let make = move || {
            let Some((job, Some(assessment))) = &own.job else { return Ok(None) };
            study::paper(job, assessment, &PRESS, None, &name)
        };
        let made = tokio::task::spawn_blocking(|| catch_unwind(AssertUnwindSafe(make))).await;
        let fault = || Failure::internal("A paper cannot be set: a fault of the program.");
        let document = made.map_err(|_| fault())?.map_err(|_| fault())?.map_err(unset)?;
        let document = Arc::new(document.ok_or_else(Failure::not_found)?);
        set.insert(file.to_owned(), Arc::clone(&document));
        Ok(document)
    }
}

/// The kind of a paper that is given out, by its name. Sheets of the crew, of stop-gaps and of the call are not.
fn kind_of(file: &str) -> Option<&'static str> {
    match file {
        file if file.starts_with("owner-letter-") => Some("letter"),
        file if file.starts_with("technical-record-") => Some("record"),
        file if file.ends_with(".svg") => Some("drawings"),
        _ => None,
    }
}

impl Bench {
    /// The job of a link as it stands now, for those outside the shop.
    pub(crate) async fn given(&self, link: &Link) -> Result<Arc<Given>, Failure> {
        let view = self.view(&link.job).await?;
        let in_force = self.in_force().await?;
        let day = self.day();
        let of = (view.revision, day, in_force.number);
        let mut kept = self.inner.given.kept.lock().await;
        if let Some(given) = kept.get(&link.id).filter(|given| given.of == of) {
            return Ok(Arc::clone(given));
        }
        let settings = Settings { day, policy: in_force.policy.clone(), ..self.inner.setup.settings.clone() };
        let reference = format!("link-{}", link.id);
        let make = move |run: &crate::judge::Pool| {
            let facts = record::for_others(&view.facts, &reference);
            let job = record::settle(&facts, Some(day)).job?;
            let assessment = study::assess_with(&job, &settings, run).ok();
            Some((job, assessment))
        };
        let job = self.inner.judge.do_it(make).await;
        let job =
            job.ok_or_else(|| Failure::internal("The papers could not be made: a fault of the program."))?;
        let given = Arc::new(Given { of, day, job, set: Turn::default() });
        if KEPT_MAX <= kept.len() {
            kept.clear();
        }
        kept.insert(link.id.clone(), Arc::clone(&given));
        Ok(given)
    }

    /// Notes that somebody looked by a link, once a minute at the most.
    pub(crate) async fn note_look(&self, link: &Link) {
        let is_new = {
            let mut noted = self.inner.given.noted.lock().unwrap_or_else(PoisonError::into_inner);
            noted.retain(|_, since| since.elapsed() < NOTED);
            let is_new = !noted.contains_key(&link.id);
            if is_new {
                noted.insert(link.id.clone(), Instant::now());
            }
            is_new
        };
        if is_new {
            self.note(store::Act::LookedByLink, store::Actor::default(), &link.id).await;
        }
    }
}
