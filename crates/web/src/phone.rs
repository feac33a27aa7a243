//! What a phone needs to make pages and judgements by itself: the settings, the list of jobs, and the facts of each.

use crate::assets;
use crate::bench::Bench;
use crate::clock;
use crate::entry::json_of;
use crate::failure::Failure;
use crate::members::Member;
use crate::sent::query;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Path, Request, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde_json::json;

/// Jobs of which a phone is told: of those it keeps the newest and those that were opened on it.
const JOBS: i64 = 500;

/// Settings and jobs. `desk` is handed to the module as it is.
pub(crate) async fn desk(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
) -> Result<Response, Failure> {
    let policy = bench.in_force().await?;
    let (shop, past) = (bench.shop().await?, bench.past().await?);
    let setup = &bench.inner.setup;
    let mut jobs = Vec::new();
    for line in bench.inner.store.newest_jobs(JOBS).await.map_err(|error| trouble(&error))? {
        let changed = clock::civil(line.changed);
        jobs.push(json!({ "job": line.job, "revision": line.revision, "changed": changed }));
    }
    // A policy that was given on the command line is known here by its rules alone; a phone would judge by another.
    let why = match (assets::module(), policy.locked) {
        (None, _) => "This program was built without the part that judges on a phone.",
        (Some(_), true) => "The policy was given on the command line; a phone does not have it.",
        (Some(_), false) => "",
    };
    let answer = json!({
        "version": assets::version(),
        "module": assets::module().filter(|_| why.is_empty()),
        "why": why,
        "now": clock::now(),
        "jobs": jobs,
        "desk": {
            "name": member.name,
            "day": setup.day,
            "seed": setup.settings.seed.to_string(),
            "sweeps": setup.settings.n_sweeps,
            "chains": setup.settings.n_chains,
            "policy": policy.text,
            "policy_origin": policy.origin,
            "policy_locked": policy.locked,
            "experience": policy.counted.experience.write(),
            "prices": shop.book.write(),
            "prices_origin": shop.origin,
            "earlier_prices": shop.earlier.iter().map(|one| json!([one.number, one.made, one.title])).collect::<Vec<_>>(),
            "notice": shop.notice,
            "cards": shop.cards.write(),
            "cards_origin": shop.cards_origin,
            "past": past,
            "refusals": bench.book().own_refusals(),
            "address": setup.address,
        },
    });
    Ok(json_of(StatusCode::OK, answer.to_string()))
}

/// The facts of a job that arrived after a revision, `?after=`, each as the line that is stored.
pub(crate) async fn facts(
    State(bench): State<Bench>,
    Path(job): Path<String>,
    request: Request,
) -> Result<Response, Failure> {
    let after = query(request.uri()).text("after").and_then(|after| after.parse().ok()).unwrap_or(0);
    if bench.inner.store.revision(&job).await.map_err(|error| trouble(&error))?.is_none() {
        return Err(Failure::no_job(&job));
    }
    let stored = bench.inner.store.stored_after(&job, after).await.map_err(|error| trouble(&error))?;
    let revision = stored.last().map_or(after, |stored| stored.revision);
    let lines: Vec<String> = stored.iter().map(|stored| stored.fact.to_json()).collect();
    let answer = json!({ "revision": revision, "after": after, "facts": lines });
    Ok(json_of(StatusCode::OK, answer.to_string()))
}
