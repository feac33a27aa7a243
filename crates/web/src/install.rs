//! Papers of the new panel: made from the facts when they are asked for; they need no judgement.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::papers::{PRESS, set, unset};
use axum::extract::{Path, State};
use axum::response::Response;

/// Gives one of them.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Path((job, file)): Path<(String, String)>,
) -> Result<Response, Failure> {
    let view = bench.view(&job).await?;
    let day = bench.day();
    set(move || {
        let job = view.settled.job.as_ref().ok_or_else(Failure::not_found)?;
        study::install::install_paper(job, day, &PRESS, &file).map_err(unset)?.ok_or_else(Failure::not_found)
    })
    .await
}
