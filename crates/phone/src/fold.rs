//! Kept facts and waiting forms to a job as it will stand: each form is read as the bench will read it.

use crate::ask::{Ask, HeldJob, Queued};
use crate::shelf::{Folded, Ground, Shelf};
use jiff::civil::DateTime;
use model::Date;
use pages::{Context, Entry, FieldError, Fields, JobLine, JobView, Judged, Light, PolicyText, Route, Viewer};
use record::Fact;
use std::collections::BTreeSet;

/// A waiting form that cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Refused {
    pub(crate) n: u64,
    pub(crate) errors: Vec<FieldError>,
}

/// The jobs of a question.
pub(crate) struct Jobs {
    pub(crate) views: Vec<(JobView, DateTime)>,
    pub(crate) refused: Vec<Refused>,
    /// What the last waiting form came to.
    pub(crate) last: Option<Entry>,
}

/// The day to judge for.
pub(crate) fn day(ask: &Ask) -> Date {
    ask.desk.day.unwrap_or_else(|| ask.now.date())
}

/// Folds the jobs of a question, those that a waiting form begins included.
///
/// # Errors
/// A kept fact cannot be read: it comes from a newer program.
pub(crate) fn fold(ask: &Ask, ground: &Ground, shelf: &mut Shelf) -> Result<Jobs, String> {
    let mut jobs = Jobs { views: Vec::new(), refused: Vec::new(), last: None };
    let mut work: Vec<Work> = Vec::new();
    for held in &ask.jobs {
        work.push(Work::of(held, ask, shelf)?);
    }
    let lines: Vec<JobLine> = Vec::new();
    for queued in &ask.queue {
        jobs.last = None;
        let path = queued.action.split('?').next().unwrap_or_default();
        let Some(route) = Route::of_path(path) else { continue };
        let own = route.job().and_then(|job| work.iter().position(|work| work.view.name == job));
        if own.is_some_and(|own| work[own].taken.contains(&queued.n)) {
            continue;
        }
        // A form of a job that is not at hand is not of this question.
        if route.job().is_some() && own.is_none() {
            continue;
        }
        let fields = Fields::from_pairs(queued.fields.iter().cloned());
        let view = own.map(|own| &work[own].view);
        let cx = context(ask, ground, &lines, view, &[]);
        match pages::read(&route, &fields, &cx) {
            Ok(entry) => {
                let at = own.unwrap_or_else(|| begun(&entry.job, &mut work));
                work[at].take(queued, &entry, ask);
                jobs.last = Some(entry);
            }
            Err(refusal) => jobs.refused.push(Refused { n: queued.n, errors: refusal.errors }),
        }
    }
    for done in work {
        shelf.keep(&done.view.name, Folded { base: done.base, taken: done.taken, view: done.view.clone() });
        jobs.views.push((done.view, done.changed));
    }
    Ok(jobs)
}

/// The place of the job that a form begins.
fn begun(job: &str, work: &mut Vec<Work>) -> usize {
    if let Some(at) = work.iter().position(|work| work.view.name == job) {
        return at;
    }
    let settled = record::settle(&[], None);
    let view =
        JobView { name: job.to_owned(), facts: Vec::new(), settled, revision: 0, judged: Judged::Waiting };
    work.push(Work { view, base: String::new(), taken: Vec::new(), changed: DateTime::MIN });
    work.len() - 1
}

/// A job being folded.
struct Work {
    view: JobView,
    /// What the kept facts are: their ids and the day.
    base: String,
    /// Forms that are in the view.
    taken: Vec<u64>,
    changed: DateTime,
}

impl Work {
    fn of(held: &HeldJob, ask: &Ask, shelf: &Shelf) -> Result<Work, String> {
        let mut base = format!("{}\n{}\n", day(ask), held.facts.len());
        // The lines are the facts: equal lines, equal fold.
        held.facts.iter().for_each(|line| base.push_str(line));
        let waiting: BTreeSet<u64> = ask.queue.iter().map(|queued| queued.n).collect();
        if let Some(folded) = shelf.folded(&held.job)
            && folded.base == base
            && folded.taken.iter().all(|n| waiting.contains(n))
        {
            let (view, taken) = (folded.view.clone(), folded.taken.clone());
            return Ok(Work { view, base, taken, changed: held.changed });
        }
        let mut facts = Vec::new();
        for line in &held.facts {
            facts.push(Fact::from_json(line).map_err(|error| {
                format!("a fact of the job {} cannot be read by this phone’s program: {error}", held.job)
            })?);
        }
        let settled = record::settle(&facts, Some(day(ask)));
        let revision = facts.len() as i64;
        let view = JobView { name: held.job.clone(), facts, settled, revision, judged: Judged::Waiting };
        Ok(Work { view, base, taken: Vec::new(), changed: held.changed })
    }

    fn take(&mut self, queued: &Queued, entry: &Entry, ask: &Ask) {
        let known: BTreeSet<_> = self.view.facts.iter().map(|fact| fact.id().clone()).collect();
        let new = entry.facts.iter().filter(|fact| !known.contains(fact.id())).cloned();
        self.view.facts.extend(new);
        self.view.settled = record::settle(&self.view.facts, Some(day(ask)));
        self.view.revision = self.view.facts.len() as i64;
        self.taken.push(queued.n);
        self.changed = self.changed.max(ask.now);
    }
}

/// The ground of a page.
pub(crate) fn context<'a>(
    ask: &'a Ask,
    ground: &'a Ground,
    jobs: &'a [JobLine],
    job: Option<&'a JobView>,
    board: &'a [study::BoardLine],
) -> Context<'a> {
    let desk = &ask.desk;
    Context {
        now: ask.now,
        viewer: Viewer { name: &desk.name },
        light: Light::of_word(&desk.light),
        csrf: &desk.csrf,
        entry: &ask.entry,
        jobs,
        job,
        devices: &[],
        invitation: None,
        board,
        policy: &ground.policy,
        policy_text: PolicyText {
            text: &desk.policy,
            origin: &desk.policy_origin,
            locked: desk.policy_locked,
        },
        book: &ground.book,
    }
}
