//! The quote for an option and the sheet of the day, made from the facts when they are asked for.

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
    let (day, book) = (bench.day(), bench.book());
    let mut shop = (*bench.shop().await?).clone();
    shop.past = bench.past().await?;
    set(move || {
        let job = view.settled.job.as_ref().ok_or_else(Failure::not_found)?;
        study::offer_paper(job, &shop, &book, day, &PRESS, &file)
            .map_err(unset)?
            .ok_or_else(Failure::not_found)
    })
    .await
}
