//! Two visits together: what was read again at the same place, and which readings a later visit has overtaken.
//!
//! A joint keeps its resistance for a day, not for a year. So a judgement weighs, of every place that was read again, only
//! the readings of the last visit; the earlier ones are held against them here. Two readings show a direction. No date is
//! told from it: no published law of years to failure of plug-on stabs was found.

mod drop;
mod limits;
mod readings;
mod rise;
mod visits;

use crate::conclude::place_words;
use crate::priors::{Instrument, Priors, PriorsError};
use limits::Limits;
use model::Note;
use model::job::Job;
use model::trend::{Change, Compared, Trend, Visited};
use model::working::Input;
use readings::{Read, What, reads};
use std::collections::BTreeMap;
use visits::Visits;

/// Every place that was read at two visits or more: its last visit held against its first; empty where there was one visit.
/// And the job as it is to be judged: without the readings that a later visit has overtaken.
///
/// # Errors
/// [`PriorsError`] where a data file of the program is broken.
pub(crate) fn trends(job: &Job, priors: &Priors) -> Result<(Vec<Trend>, Job, Vec<Note>), PriorsError> {
    let limits = Limits::built_in()?;
    let visits = Visits::of(job, &limits);
    let (kept, notes) = visits.without_overtaken(job);
    let held = Held { limits: &limits, instrument: &priors.instrument, job };
    let mut of_place: BTreeMap<_, Vec<Read<'_>>> = BTreeMap::new();
    for read in reads(job, &visits) {
        of_place.entry(read.key()).or_default().push(read);
    }
    let mut trends: Vec<Trend> =
        of_place.values().filter_map(|reads| between(&held, &visits, reads)).collect();
    // What grew stands first.
    trends.sort_by_key(|trend| match trend.change {
        Change::More => 0,
        Change::Less => 1,
        Change::NotShown => 2,
        Change::NotComparable(_) => 3,
    });
    Ok((trends, kept, notes))
}

/// What holding two readings against one another needs.
#[derive(Clone, Copy)]
struct Held<'a> {
    limits: &'a Limits,
    instrument: &'a Instrument,
    job: &'a Job,
}

/// The first and the last visit to one place, by the two readings whose loads are most alike.
fn between(held: &Held<'_>, visits: &Visits, reads: &[Read<'_>]) -> Option<Trend> {
    let first = reads.iter().map(|read| read.visit).min()?;
    let last = reads.iter().map(|read| read.visit).max().filter(|last| first < *last)?;
    let at = |visit: usize| reads.iter().filter(move |read| read.visit == visit);
    let unlike = |one: &Read<'_>, other: &Read<'_>| match (one.current_a, other.current_a) {
        (Some(a), Some(b)) if 0.0 < a && 0.0 < b => libm::fabs(libm::log(a / b)),
        _ => f64::INFINITY,
    };
    let pairs = at(first).flat_map(|one| at(last).map(move |other| (one, other)));
    let (first, last) = pairs.min_by(|a, b| unlike(a.0, a.1).total_cmp(&unlike(b.0, b.1)))?;
    let mut trend = match (first.what, last.what) {
        (What::Drop { value_v: before }, What::Drop { value_v: now }) => {
            drop::held_against(held, (first, before), (last, now))
        }
        (What::Rise(before), What::Rise(now)) => rise::held_against(held, (first, before), (last, now)),
        _ => return None,
    };
    trend.sentence = format!("{}: {}", path_words(held.job, last), trend.sentence);
    if let Some(told) = visits.worked_between(held.job, first, last) {
        trend.sentence = format!("{} {told}", trend.sentence);
    }
    Some(trend)
}

/// Where it was read, in words; with several panels, in which.
fn path_words(job: &Job, read: &Read<'_>) -> String {
    let words = match read.what {
        What::Drop { .. } => format!("drop from {} to {}", place_words(read.from), place_words(read.place)),
        What::Rise(_) => place_words(read.place),
    };
    match &job.installation.panels[..] {
        [_] => words,
        _ => format!("{words} of panel {}", read.place.panel()),
    }
}

/// A trend of which nothing is said yet.
fn begun(compared: Compared, first: (&Read<'_>, String), last: (&Read<'_>, String)) -> Trend {
    let visited = |(read, reading): (&Read<'_>, String)| Visited {
        fact: read.seen.fact.clone(),
        day: read.day,
        reading,
    };
    Trend {
        compared,
        place: last.0.place.clone(),
        slot: last.0.slot().cloned(),
        first: visited(first),
        last: visited(last),
        factor: None,
        change: Change::NotShown,
        sentence: String::new(),
        working: None,
    }
}

/// A trend that cannot be told, with the reasons.
fn told(mut trend: Trend, why: Vec<String>) -> Trend {
    trend.sentence = format!(
        "{} on {}, {} on {}. They cannot be held against one another: {}.",
        trend.first.reading,
        trend.first.day,
        trend.last.reading,
        trend.last.day,
        why.join("; ")
    );
    trend.change = Change::NotComparable(why);
    trend
}

fn input(symbol: &str, meaning: &str, value: &str, from: &str) -> Input {
    let own = str::to_owned;
    Input { symbol: own(symbol), meaning: own(meaning), value: own(value), from: own(from) }
}

#[cfg(test)]
mod tests;
