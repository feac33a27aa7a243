//! The bench: everything that requests share.

use crate::clock;
use crate::experience::Counting;
use crate::gathered::Gathered;
use crate::guard::{Buckets, Hosts};
use crate::judge::Judge;
use crate::kept::Kept;
use crate::members::Members;
use crate::papers::Papers;
use crate::policy::InForce;
use crate::shop::Facing;
use crate::summary::Summaries;
use crate::views::Views;
use model::Date;
use std::fmt;
use std::sync::Arc;
use std::time::Instant;
use store::Store;
use study::Settings;
use study::code::Book;
use tokio::sync::{Semaphore, broadcast, watch};

/// Uploads of photos that are taken in at once; each may hold its photos in memory.
const UPLOADS: usize = 4;

/// Photos that are decoded at once.
const DARKROOM: usize = 2;

/// Streams of changes that are open at once.
const STREAMS: usize = 400;

/// Events that a slow stream may lag behind.
const EVENTS: usize = 1024;

/// Jobs that are judged when the bench opens.
const JUDGED_AT_START: i64 = 5;

/// Jobs that are told of anew where the word of what changed was lost, the last ones; others are told of when they are
/// looked at.
const TOLD_AGAIN: i64 = 200;

/// How a bench is set up.
#[derive(Debug, Clone)]
pub struct Setup {
    /// What judgements are asked with; its day counts only where `day` is set.
    pub settings: Settings,
    /// The day to judge for; without one the machine's own, as it changes.
    pub day: Option<Date>,
    /// Names under which the bench answers, besides the machine's addresses.
    pub names: Vec<String>,
    /// Address that other devices open, without a slash at its end.
    pub address: String,
    /// Is it served over HTTPS?
    pub https: bool,
    /// Certificate of the bench's own authority, PEM, where there is one.
    pub authority: Option<String>,
}

/// The bench. A clone is the same bench.
#[derive(Clone)]
pub struct Bench {
    pub(crate) inner: Arc<Inner>,
}

pub(crate) struct Inner {
    pub(crate) store: Store,
    pub(crate) setup: Setup,
    pub(crate) hosts: Hosts,
    /// The policy in force.
    pub(crate) policy: Kept<InForce>,
    /// What is the shop's, without its past jobs.
    pub(crate) shop: Kept<study::Shop>,
    pub(crate) book: Arc<Book>,
    pub(crate) tries: Buckets,
    pub(crate) members: Members,
    pub(crate) passwords: crate::people::Passwords,
    pub(crate) given: crate::links::GivenOut,
    pub(crate) views: Views,
    pub(crate) summaries: Summaries,
    pub(crate) gathered: Gathered,
    pub(crate) facing: Facing,
    pub(crate) exchanging: crate::exchange::page::Exchanging,
    pub(crate) exchanges: crate::exchange::Exchanges,
    pub(crate) counting: Counting,
    pub(crate) judge: Judge,
    pub(crate) watch: crate::watch::Watch,
    pub(crate) papers: Papers,
    pub(crate) events: broadcast::Sender<Event>,
    pub(crate) closing: watch::Sender<bool>,
    pub(crate) uploads: Semaphore,
    pub(crate) darkroom: Arc<Semaphore>,
    pub(crate) streams: Arc<Semaphore>,
}

/// Something changed that open pages show.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Event {
    /// The job.
    pub(crate) job: String,
    /// Its revision.
    pub(crate) revision: i64,
    /// Is the judgement of this revision there?
    pub(crate) judged: bool,
    /// Is a first look at this revision there, and no judgement yet?
    pub(crate) first: bool,
}

impl Bench {
    /// A bench on a store. Must be called within a Tokio runtime: it listens to the store from now on.
    ///
    /// # Errors
    /// The machine gives no threads to judge with.
    pub fn new(store: Store, setup: Setup) -> Result<Bench, std::io::Error> {
        Bench::with_book(store, setup, Book::built_in())
    }

    /// As [`Bench::new`], with the shop's own code book.
    ///
    /// # Errors
    /// The machine gives no threads to judge with.
    pub fn with_book(store: Store, setup: Setup, book: Book) -> Result<Bench, std::io::Error> {
        let (events, _) = broadcast::channel(EVENTS);
        let (closing, _) = watch::channel(false);
        let inner = Inner {
            hosts: Hosts::new(&setup.names),
            policy: Kept::default(),
            shop: Kept::default(),
            book: Arc::new(book),
            tries: Buckets::new(Instant::now()),
            members: Members::default(),
            passwords: crate::people::Passwords::new(),
            given: crate::links::GivenOut::default(),
            views: Views::default(),
            summaries: Summaries::default(),
            gathered: Gathered::default(),
            facing: Facing::default(),
            exchanging: crate::exchange::page::Exchanging::default(),
            exchanges: crate::exchange::Exchanges::default(),
            counting: Counting::default(),
            judge: Judge::new()?,
            watch: crate::watch::Watch::default(),
            papers: Papers::default(),
            events,
            closing,
            uploads: Semaphore::new(UPLOADS),
            darkroom: Arc::new(Semaphore::new(DARKROOM)),
            streams: Arc::new(Semaphore::new(STREAMS)),
            store,
            setup,
        };
        let bench = Bench { inner: Arc::new(inner) };
        bench.listen();
        Ok(bench)
    }

    /// The store.
    pub fn store(&self) -> &Store {
        &self.inner.store
    }

    /// Ends all open streams, so that the server can stop.
    pub fn close(&self) {
        self.inner.closing.send_replace(true);
    }

    /// The code book.
    pub(crate) fn book(&self) -> Arc<Book> {
        Arc::clone(&self.inner.book)
    }

    /// The day that judgements are made for.
    pub(crate) fn day(&self) -> Date {
        self.inner.setup.day.unwrap_or_else(clock::today)
    }

    /// Passes every change of the store on to open pages, and has the job judged again.
    fn listen(&self) {
        let bench = self.clone();
        let mut changes = self.inner.store.subscribe();
        self.listen_elsewhere();
        self.follow();
        let mut closing = self.inner.closing.subscribe();
        tokio::spawn(async move {
            // What was worked on last will be looked at first.
            for line in bench.inner.store.newest_jobs(JUDGED_AT_START).await.unwrap_or_default() {
                bench.judge(&line.job);
            }
            loop {
                let change = tokio::select! {
                    change = changes.recv() => change,
                    _ = closing.wait_for(|closing| *closing) => return,
                };
                match change {
                    Ok(store::Change { job, revision }) => bench.announce(job, revision),
                    Err(broadcast::error::RecvError::Lagged(_)) => {
                        for line in bench.inner.store.newest_jobs(TOLD_AGAIN).await.unwrap_or_default() {
                            bench.announce(line.job, line.revision);
                        }
                    }
                    Err(broadcast::error::RecvError::Closed) => return,
                }
            }
        });
    }

    /// Forgets what is remembered here when another program on the same database changes it.
    fn listen_elsewhere(&self) {
        let bench = self.clone();
        let mut elsewhere = self.inner.store.subscribe_elsewhere();
        tokio::spawn(async move {
            loop {
                let told = elsewhere.recv().await;
                if bench.is_closing() || matches!(told, Err(broadcast::error::RecvError::Closed)) {
                    return;
                }
                if !matches!(told, Ok(store::Elsewhere::Access)) {
                    bench.policy_changed().await;
                }
                if !matches!(told, Ok(store::Elsewhere::Policy)) {
                    bench.inner.members.forget_all();
                }
            }
        });
    }

    fn is_closing(&self) -> bool {
        *self.inner.closing.borrow()
    }

    fn announce(&self, job: String, revision: i64) {
        self.judge(&job);
        // Nobody listens where no page is open.
        let _ = self.inner.events.send(Event { job, revision, judged: false, first: false });
    }
}

impl fmt::Debug for Bench {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Bench").field("store", &self.inner.store).finish_non_exhaustive()
    }
}
