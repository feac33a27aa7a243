//! Facts, in parts that are small enough for a poor line; each part is stored before the next one goes.

use super::AtJob;
use super::line::{ExchangeError, Line, encoded};
use super::report::Report;
use crate::exchange::FACTS_MAX_BYTES;
use crate::exchange::wire::{Names, Taken, Wanted};
use record::Fact;
use std::collections::BTreeSet;
use store::Kind;

/// Facts in one part, at most.
const FACTS_AT_ONCE: usize = 200;

/// Names that `one` has and `other` has not.
fn lacking(one: &Names, other: &Names) -> Vec<String> {
    let known: BTreeSet<&String> = other.facts.iter().collect();
    one.facts.iter().filter(|name| !known.contains(name)).cloned().collect()
}

/// Names of the facts that make a job forgotten.
fn forgetting(names: &Names) -> Names {
    let facts = names.facts.iter().filter(|name| name.starts_with("forgotten-")).cloned().collect();
    Names { facts, photos: Vec::new() }
}

/// What became of a job that one side was asked to forget.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Forgot {
    /// Neither side was asked, or both know.
    Nothing,
    /// Both know now.
    Told,
    /// The shop does not take it from this machine: nothing else of the job may go over then.
    Refused,
}

/// Tells each side that the other was asked to forget the job.
pub(super) async fn forget(at: &mut AtJob<'_>, here: &Names, there: &Names) -> Result<Forgot, ExchangeError> {
    let (here, there) = (forgetting(here), forgetting(there));
    if here == there {
        return Ok(Forgot::Nothing);
    }
    let n_refused = at.report.not_taken.len();
    send(at, &here, &there).await?;
    fetch(at, &here, &there).await?;
    Ok(if at.report.not_taken.len() == n_refused { Forgot::Told } else { Forgot::Refused })
}

/// Sends what the shop lacks.
pub(super) async fn send(at: &mut AtJob<'_>, here: &Names, there: &Names) -> Result<(), ExchangeError> {
    let AtJob { store, line, job, report } = at;
    let address = format!("/exchange/facts?job={}", encoded(job));
    let mut text = String::new();
    let mut n = 0;
    for names in lacking(here, there).chunks(FACTS_AT_ONCE) {
        for (_, fact) in store.lines_of(job, names).await? {
            if n == FACTS_AT_ONCE || (0 < n && FACTS_MAX_BYTES < text.len() + fact.len()) {
                part(line, &address, job, std::mem::take(&mut text), report)?;
                n = 0;
            }
            text.push_str(&fact);
            text.push('\n');
            n += 1;
        }
    }
    if 0 < n { part(line, &address, job, text, report) } else { Ok(()) }
}

fn part(
    line: &mut Line,
    address: &str,
    job: &str,
    text: String,
    report: &mut Report,
) -> Result<(), ExchangeError> {
    match line.post::<Taken>(address, "text/plain; charset=utf-8", text.as_bytes()) {
        Ok(taken) => {
            report.n_facts_sent += taken.stored;
            for (fact, why) in taken.refused {
                report.refuse(job, fact, format!("the shop does not take it: {why}"));
            }
            for fact in taken.differ {
                report.refuse(job, fact, "the shop has another entry of this name; each side keeps its own");
            }
            Ok(())
        }
        // As a whole, as for a reader: the other jobs go on.
        Err(ExchangeError::Refused { why, .. }) => {
            report.refuse(job, format!("{} entries", text.lines().count()), why);
            Ok(())
        }
        Err(error) => Err(error),
    }
}

/// Takes what is lacking here.
pub(super) async fn fetch(at: &mut AtJob<'_>, here: &Names, there: &Names) -> Result<(), ExchangeError> {
    let AtJob { store, line, job, report } = at;
    let mut wanted = lacking(there, here);
    while !wanted.is_empty() {
        let facts = wanted.iter().take(FACTS_AT_ONCE).cloned().collect();
        let asked = Wanted { job: job.to_owned(), facts };
        let text = line.post_text("/exchange/wanted", &asked)?;
        let mut arrived = Vec::new();
        for fact in text.lines() {
            match Fact::from_json(fact) {
                Ok(fact) => arrived.push(fact),
                Err(error) => {
                    let name = serde_json::from_str::<serde_json::Value>(fact).ok();
                    let name = name.and_then(|fact| Some(fact.get("id")?.as_str()?.to_owned()));
                    report.refuse(
                        job,
                        name.unwrap_or_default(),
                        format!("this program cannot read it: {error}"),
                    );
                }
            }
        }
        // Whatever came is not asked for again, and what the shop no longer gives neither.
        let n = text.lines().count().max(1).min(wanted.len());
        let n = if text.is_empty() { FACTS_AT_ONCE.min(wanted.len()) } else { n };
        wanted.drain(..n);
        match store.take_in(job, None, arrived).await {
            Ok((n, differ)) => {
                report.n_facts_fetched += n;
                for fact in differ {
                    report.refuse(job, fact, "another entry of this name is here; each side keeps its own");
                }
            }
            Err(error) if error.kind() == Kind::Asked => {
                report.refuse(job, "entries of the shop", error.to_string());
                return Ok(());
            }
            Err(error) => return Err(error.into()),
        }
    }
    Ok(())
}
