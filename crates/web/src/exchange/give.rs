//! What the shop has: jobs, sums over their names, names, facts.

use super::FACTS_MAX_BYTES;
use super::wire::{After, Asked, Jobs, Names, OfJob, Sums, Wanted};
use crate::bench::Bench;
use crate::failure::Failure;
use crate::members::Member;
use crate::trouble::trouble;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::{Extension, Json};

/// Jobs in one answer.
const JOBS_AT_ONCE: usize = 500;

/// Most jobs whose sums are asked for at once: each is read.
pub(super) const SUMS_AT_ONCE: usize = 50;

/// Jobs with their revisions.
pub(crate) async fn jobs(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    Query(asked): Query<After>,
) -> Result<Json<Jobs>, Failure> {
    bench.inner.exchanges.asks(&member);
    let jobs = bench.inner.store.jobs_after(&asked.after, JOBS_AT_ONCE + 1).await;
    let mut jobs = jobs.map_err(|error| trouble(&error))?;
    let more = JOBS_AT_ONCE < jobs.len();
    jobs.truncate(JOBS_AT_ONCE);
    Ok(Json(Jobs { jobs, more }))
}

/// A sum over the names of each job.
pub(crate) async fn sums(
    State(bench): State<Bench>,
    Json(asked): Json<Asked>,
) -> Result<Json<Sums>, Failure> {
    if SUMS_AT_ONCE < asked.jobs.len() {
        let message = format!("At most {SUMS_AT_ONCE} jobs are compared at once.");
        return Err(Failure::new(StatusCode::UNPROCESSABLE_ENTITY, "Too many", message, ""));
    }
    let mut sums = Vec::new();
    for job in &asked.jobs {
        let names = bench.inner.store.job_names(job).await.map_err(|error| trouble(&error))?;
        sums.push(names.map(|names| names.sum()));
    }
    Ok(Json(Sums { sums }))
}

/// The names of a job; none where there is no such job.
pub(crate) async fn names(
    State(bench): State<Bench>,
    Query(asked): Query<OfJob>,
) -> Result<Json<Names>, Failure> {
    let names = bench.inner.store.job_names(&asked.job).await.map_err(|error| trouble(&error))?;
    Ok(Json(names.map(Names::from).unwrap_or_default()))
}

/// Facts by name, a line each, as many as fit into one answer.
pub(crate) async fn wanted(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    Json(asked): Json<Wanted>,
) -> Result<String, Failure> {
    let answer = lines(&bench, &asked).await?;
    bench.inner.exchanges.gave_facts(&member, &(&asked.job, &asked.facts), answer.lines().count());
    Ok(answer)
}

async fn lines(bench: &Bench, asked: &Wanted) -> Result<String, Failure> {
    let mut answer = String::new();
    // Asked for in small parts: most of a long list does not fit.
    for names in asked.facts.chunks(100) {
        let mut lines =
            bench.inner.store.lines_of(&asked.job, names).await.map_err(|error| trouble(&error))?;
        for name in names {
            let Some(line) = lines.remove(name) else { continue };
            if !answer.is_empty() && FACTS_MAX_BYTES < answer.len() + line.len() {
                return Ok(answer);
            }
            answer.push_str(&line);
            answer.push('\n');
        }
    }
    Ok(answer)
}
