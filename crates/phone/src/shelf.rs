//! What was folded and judged before, so that the next page comes at once. Without it every answer is the same.

use crate::ask::Desk;
use model::assessment::Assessment;
use pages::JobView;
use std::collections::BTreeMap;
use std::rc::Rc;
use study::cards::Cards;
use study::code::Book;
use study::shop::Experience;
use study::{Begun, EarlierBook, Policy, PriceBook, Shop, Warm};

/// Jobs whose folds and judgements are kept.
const KEPT_MAX: usize = 8;

/// Jobs of which the draws of their last judgement are kept: some ten megabytes each.
const WARM_MAX: usize = 2;

/// What was computed before.
#[derive(Debug, Default)]
pub struct Shelf {
    ground: Option<Rc<Ground>>,
    folded: BTreeMap<String, Folded>,
    judged: BTreeMap<String, Done>,
    /// First looks that wait for the whole judgement.
    first: BTreeMap<String, First>,
    /// The judgement that was begun last, and what it is of.
    begun: Option<(String, Begun)>,
}

/// Policy, code book and what is the shop's, read.
#[derive(Debug)]
pub(crate) struct Ground {
    of: Desk,
    pub(crate) shop: Shop,
    pub(crate) policy: Policy,
    pub(crate) book: Book,
    pub(crate) experience: Experience,
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
    /// Its draws, and where its chains stood.
    pub(crate) warm: Option<Warm>,
}

/// A first look after new facts.
#[derive(Debug)]
pub(crate) struct First {
    /// What it is of, as of a judgement.
    pub(crate) of: String,
    /// `None`: one was tried, and its chains disagreed.
    pub(crate) look: Option<Assessment>,
}

/// What is the shop's.
fn shop(desk: &Desk) -> Result<Shop, String> {
    let mut shop = Shop::default();
    if !desk.prices.is_empty() {
        shop.book = PriceBook::read(&desk.prices)
            .map_err(|_| "the shop’s price book cannot be read by this phone’s program".to_owned())?;
        shop.origin.clone_from(&desk.prices_origin);
    }
    if let Some(text) = &desk.cards {
        shop.cards = Cards::read(text)
            .map_err(|_| "the shop’s address cards cannot be read by this phone’s program".to_owned())?;
        shop.cards_origin.clone_from(&desk.cards_origin);
    }
    let earlier = desk.earlier_prices.iter().cloned();
    shop.earlier = earlier.map(|(number, made, title)| EarlierBook { number, made, title }).collect();
    (shop.notice, shop.past) = (desk.notice.clone(), desk.past.clone());
    Ok(shop)
}

impl Shelf {
    /// Policy and code book of a desk.
    ///
    /// # Errors
    /// They come from a newer program.
    pub(crate) fn ground(&mut self, desk: &Desk) -> Result<Rc<Ground>, String> {
        if let Some(ground) = &self.ground
            && ground.of == *desk
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
        let experience = Experience::parse(&desk.experience)
            .map_err(|_| "what the shop counted cannot be read by this phone’s program".to_owned())?;
        let ground = Rc::new(Ground { of: desk.clone(), shop: shop(desk)?, policy, book, experience });
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

    pub(crate) fn begun(&self, of: &str) -> Option<&Begun> {
        self.begun.as_ref().filter(|(begun_of, _)| begun_of == of).map(|(_, begun)| begun)
    }

    pub(crate) fn keep_begun(&mut self, of: String, begun: Begun) {
        self.begun = Some((of, begun));
    }

    pub(crate) fn judged(&self, job: &str) -> Option<&Done> {
        self.judged.get(job)
    }

    pub(crate) fn keep_judged(&mut self, job: &str, done: Done) {
        if KEPT_MAX <= self.judged.len() && !self.judged.contains_key(job) {
            self.judged.clear();
        }
        let others = self.judged.iter_mut().filter(|(name, done)| *name != job && done.warm.is_some());
        let mut others: Vec<&mut Done> = others.map(|(_, done)| done).collect();
        if done.warm.is_some() && WARM_MAX <= others.len() {
            // Their next judgement has no first look.
            others.iter_mut().for_each(|done| done.warm = None);
        }
        self.first.remove(job);
        self.judged.insert(job.to_owned(), done);
    }

    pub(crate) fn first(&self, job: &str) -> Option<&First> {
        self.first.get(job)
    }

    pub(crate) fn keep_first(&mut self, job: &str, first: First) {
        if KEPT_MAX <= self.first.len() && !self.first.contains_key(job) {
            self.first.clear();
        }
        self.first.insert(job.to_owned(), first);
    }
}
