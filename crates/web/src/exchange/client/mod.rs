//! The laptop's side: it asks the shop what it has, job by job, sends what the shop lacks and takes what it lacks
//! itself. Whatever breaks off goes on at the next try, or the next time.

mod conflict;
mod facts;
mod joined;
mod line;
mod photos;
mod report;

pub use line::{Errand, ExchangeError};
pub use report::{Conflict, NotTaken, Report};

use super::Counts;
use super::give::SUMS_AT_ONCE;
use super::wire::{Asked, Jobs, Names, Sums};
use facts::Forgot;
use joined::Agreed;
use line::Line;
use std::collections::{BTreeMap, BTreeSet};
use store::{Act, Actor, Store};

/// Exchanges with a shop. `tell` hears in a few words what is done. Must be called within a Tokio runtime of several
/// threads: it waits for the line.
///
/// # Errors
/// The shop does not let this machine in, or cannot be reached for longer than the errand is patient. What was
/// exchanged until then is stored on both sides, and the next exchange goes on from there.
pub async fn exchange(
    store: &Store,
    errand: &Errand,
    mut tell: impl FnMut(&str),
) -> Result<Report, ExchangeError> {
    let mut line = Line::open(store.folder(), errand)?;
    let mut report = Report::default();
    let done = all_jobs(store, &mut line, errand, &mut report, &mut tell).await;
    if done.is_ok() {
        line.says_done();
    }
    let counts = Counts {
        facts_in: report.n_facts_fetched,
        facts_out: report.n_facts_sent,
        photos_in: report.n_photos_fetched,
        photos_out: report.n_photos_sent,
        ended: done.is_ok(),
    };
    let by = Actor { person: &errand.by.0, device: &errand.by.1 };
    let noted = store.note(Act::ExchangedWithShop, by, &counts.to_text(), store::now_ms()).await;
    done?;
    noted?;
    report.n_cuts = line.n_cuts;
    Ok(report)
}

async fn all_jobs(
    store: &Store,
    line: &mut Line,
    errand: &Errand,
    report: &mut Report,
    tell: &mut impl FnMut(&str),
) -> Result<(), ExchangeError> {
    let there = all_there(line)?;
    let here = all_here(store).await?;
    let wanted = |job: &&String| errand.jobs.is_empty() || errand.jobs.contains(job);
    let names: BTreeSet<&String> = there.keys().chain(here.keys()).filter(wanted).collect();
    let mut agreed = Agreed::read(store.folder(), errand);
    let same_as_agreed = |job: &String| {
        let known = agreed.revision(job);
        !errand.every_job
            && known.is_some()
            && there.get(job).copied() == known
            && here.get(job).copied() == known
    };
    let doubtful: Vec<String> =
        names.iter().filter(|job| !same_as_agreed(job)).map(|job| (*job).clone()).collect();
    report.n_jobs = names.len();
    tell(&format!("{} jobs, {} of them to be compared", names.len(), doubtful.len()));
    for jobs in doubtful.chunks(SUMS_AT_ONCE) {
        let asked = Asked { jobs: jobs.to_vec() };
        let sums: Sums = line.post_json("/exchange/sums", &asked)?;
        for (job, sum) in jobs.iter().zip(sums.sums) {
            let own = store.job_names(job).await?;
            if own.as_ref().map(store::JobNames::sum) != sum {
                tell(job);
                report.n_differed += 1;
                one_job(store, line, errand, job, report).await?;
            }
            // Only what is the same on both sides now, at one revision, need not be asked about the next time.
            if !report.is_open(job)
                && let Some(revision) = store.revision(job).await?
            {
                agreed.note(job, revision);
            }
        }
        agreed.write()?;
    }
    Ok(())
}

/// What every step of one job works with.
struct AtJob<'a> {
    store: &'a Store,
    line: &'a mut Line,
    job: &'a str,
    report: &'a mut Report,
}

async fn one_job(
    store: &Store,
    line: &mut Line,
    errand: &Errand,
    job: &str,
    report: &mut Report,
) -> Result<(), ExchangeError> {
    let (here, there) = (names_here(store, job).await?, names_there(line, job)?);
    if conflict::is_another_job(&here, &there) && !errand.same.iter().any(|same| same == job) {
        report.other_jobs.push(job.to_owned());
        return Ok(());
    }
    let before = conflict::of(store, job).await?;
    let mut at = AtJob { store, line, job, report };
    // A job that one side was asked to forget is forgotten on the other before anything else goes over.
    let (here, there) = match facts::forget(&mut at, &here, &there).await? {
        Forgot::Told => (names_here(store, job).await?, names_there(at.line, job)?),
        Forgot::Nothing => (here, there),
        Forgot::Refused => return Ok(()),
    };
    facts::send(&mut at, &here, &there).await?;
    facts::fetch(&mut at, &here, &there).await?;
    photos::send(&mut at, &here, &there).await?;
    photos::fetch(&mut at, &here, &there).await?;
    let after = conflict::of(store, job).await?;
    report.conflicts.extend(after.into_iter().filter(|conflict| !before.contains(conflict)));
    Ok(())
}

fn names_there(line: &mut Line, job: &str) -> Result<Names, ExchangeError> {
    line.get_json(&format!("/exchange/names?job={}", line::encoded(job)))
}

async fn names_here(store: &Store, job: &str) -> Result<Names, ExchangeError> {
    Ok(store.job_names(job).await?.map(Names::from).unwrap_or_default())
}

fn all_there(line: &mut Line) -> Result<BTreeMap<String, i64>, ExchangeError> {
    let mut all = BTreeMap::new();
    let mut after = String::new();
    loop {
        let page: Jobs = line.get_json(&format!("/exchange/jobs?after={}", line::encoded(&after)))?;
        let last = page.jobs.iter().map(|(job, _)| job.clone()).next_back();
        all.extend(page.jobs);
        match last {
            Some(last) if page.more => after = last,
            _ => return Ok(all),
        }
    }
}

async fn all_here(store: &Store) -> Result<BTreeMap<String, i64>, ExchangeError> {
    let mut all = BTreeMap::new();
    let mut after = String::new();
    loop {
        let jobs = store.jobs_after(&after, 500).await?;
        let Some((last, _)) = jobs.last() else { return Ok(all) };
        after.clone_from(last);
        all.extend(jobs);
    }
}
