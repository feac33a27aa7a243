//! What was folded and judged before, so that the next page comes at once. Without it every answer is the same.

use crate::ask::Desk;
use model::assessment::Assessment;
use pages::JobView;
use std::collections::BTreeMap;
use std::rc::Rc;
use study::Policy;
use study::code::Book;

/// Jobs whose folds and judgements are kept.
const KEPT_MAX: usize = 8;

/// What was computed before.
#[derive(Debug, Default)]
pub struct Shelf {
    ground: Option<Rc<Ground>>,
    folded: BTreeMap<String, Folded>,
    judged: BTreeMap<String, Done>,
}

/// Policy and code book, read.
#[derive(Debug)]
pub(crate) struct Ground {
    policy_text: String,
    refusals: Option<String>,
    pub(crate) policy: Policy,
    pub(crate) book: Book,
}

/// A job folded.
#[derive(Debug)]
pub(crate) struct Folded {
    pub(crate) base: String,
    pub(crate) taken: Vec<u64>,
    pub(crate) view: JobView,
}

/// A judgement, or why there is none.
#[derive(Debug)]
pub(crate) struct Done {
    /// What it is of: facts, day, settings.
    pub(crate) of: String,
    pub(crate) outcome: Result<Assessment, String>,
}

impl Shelf {
    /// Policy and code book of a desk.
    ///
    /// # Errors
    /// They come from a newer program.
    pub(crate) fn ground(&mut self, desk: &Desk) -> Result<Rc<Ground>, String> {
        if let Some(ground) = &self.ground
            && ground.policy_text == desk.policy
            && ground.refusals == desk.refusals
        {
            return Ok(Rc::clone(ground));
        }
        let policy = Policy::parse("the shop's policy", &desk.policy)
            .map_err(|error| format!("the shop’s policy cannot be read by this phone’s program: {error}"))?;
        let book = match &desk.refusals {
            None => Book::built_in(),
            Some(text) => Book::with_refusals(text)
                .map_err(|_| "the shop’s code book cannot be read by this phone’s program".to_owned())?,
        };
        let (policy_text, refusals) = (desk.policy.clone(), desk.refusals.clone());
        let ground = Rc::new(Ground { policy_text, refusals, policy, book });
        self.ground = Some(Rc::clone(&ground));
        Ok(ground)
    }

    pub(crate) fn folded(&self, job: &str) -> Option<&Folded> {
        self.folded.get(job)
    }

    pub(crate) fn keep(&mut self, job: &str, folded: Folded) {
        if KEPT_MAX <= self.folded.len() && !self.folded.contains_key(job) {
            self.folded.clear();
        }
        self.folded.insert(job.to_owned(), folded);
    }

    pub(crate) fn judged(&self, job: &str) -> Option<&Done> {
        self.judged.get(job)
    }

    pub(crate) fn keep_judged(&mut self, job: &str, done: Done) {
        if KEPT_MAX <= self.judged.len() && !self.judged.contains_key(job) {
            self.judged.clear();
        }
        self.judged.insert(job.to_owned(), done);
    }
}
