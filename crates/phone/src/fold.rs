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
    for queued in &ask.queue {
        jobs.last = None;
        match &queued.facts {
            Some(lines) => {
                let facts = facts(lines, &queued.job)?;
                begun(&queued.job, &mut work).add(queued.n, facts, ask);
            }
            None => read(queued, ask, ground, &mut work, &mut jobs),
        }
    }
    for mut done in work {
        done.settle(ask);
        shelf.keep(&done.view.name, Folded { base: done.base, taken: done.taken, view: done.view.clone() });
        jobs.views.push((done.view, done.changed));
    }
    Ok(jobs)
}

/// Reads a waiting form as the bench will.
fn read(queued: &Queued, ask: &Ask, ground: &Ground, work: &mut Vec<Work>, jobs: &mut Jobs) {
    let path = queued.action.split('?').next().unwrap_or_default();
    let Some(route) = Route::of_path(path) else { return };
    let own = route.job().and_then(|job| work.iter().position(|work| work.view.name == job));
    // A form of a job that is not at hand is not of this question.
    if own.is_some_and(|own| work[own].taken.contains(&queued.n)) || (route.job().is_some() && own.is_none())
    {
        return;
    }
    if let Some(own) = own {
        work[own].settle(ask);
    }
    let lines: Vec<JobLine> =
        work.iter().map(|work| JobLine::unread(work.view.name.clone(), 0, work.changed)).collect();
    let fields = Fields::from_pairs(queued.fields.iter().cloned());
    let view = own.map(|own| &work[own].view);
    match pages::read(&route, &fields, &context(ask, ground, &lines, view, &[])) {
        Ok(entry) => {
            begun(&entry.job, work).add(queued.n, entry.facts.clone(), ask);
            jobs.last = Some(entry);
        }
        Err(refusal) => jobs.refused.push(Refused { n: queued.n, errors: refusal.errors }),
    }
}

fn facts(lines: &[String], job: &str) -> Result<Vec<Fact>, String> {
    let read = |line: &String| {
        Fact::from_json(line).map_err(|error| {
            format!("a fact of the job {job} cannot be read by this phone’s program: {error}")
        })
    };
    lines.iter().map(read).collect()
}

/// The job of this name, begun where it is not there yet.
fn begun<'a>(job: &str, work: &'a mut Vec<Work>) -> &'a mut Work {
    let at = work.iter().position(|work| work.view.name == job).unwrap_or_else(|| {
        let (settled, judged) = (record::settle(&[], None), Judged::Waiting);
        let view = JobView { name: job.to_owned(), facts: Vec::new(), settled, revision: 0, judged };
        let (base, taken) = (String::new(), Vec::new());
        work.push(Work { view, base, taken, changed: DateTime::MIN, is_settled: true });
        work.len() - 1
    });
    &mut work[at]
}

/// A job being folded.
struct Work {
    view: JobView,
    /// What the kept facts are: their lines and the day.
    base: String,
    /// Forms that are in the view.
    taken: Vec<u64>,
    changed: DateTime,
    is_settled: bool,
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
            return Ok(Work { view, base, taken, changed: held.changed, is_settled: true });
        }
        let facts = facts(&held.facts, &held.job)?;
        let settled = record::settle(&[], None);
        let view = JobView { name: held.job.clone(), facts, settled, revision: 0, judged: Judged::Waiting };
        Ok(Work { view, base, taken: Vec::new(), changed: held.changed, is_settled: false })
    }

    /// Adds the facts of a form; those that are there already are not added again, as in the store.
    fn add(&mut self, n: u64, facts: Vec<Fact>, ask: &Ask) {
        if self.taken.contains(&n) {
            return;
        }
        let known: BTreeSet<_> = self.view.facts.iter().map(|fact| fact.id().clone()).collect();
        self.view.facts.extend(facts.into_iter().filter(|fact| !known.contains(fact.id())));
        self.taken.push(n);
        self.changed = self.changed.max(ask.now);
        self.is_settled = false;
    }

    fn settle(&mut self, ask: &Ask) {
        self.view.revision = self.view.facts.len() as i64;
        if !std::mem::replace(&mut self.is_settled, true) {
            self.view.facts = record::forget::as_forgotten(std::mem::take(&mut self.view.facts));
            self.view.settled = record::settle(&self.view.facts, Some(day(ask)));
        }
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
        shop: &ground.shop,
    }
}
