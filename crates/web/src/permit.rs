//! Papers for a permit: made from the facts when they are asked for; they need no judgement.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::papers::{PRESS, set, unset};
use axum::extract::{Path, State};
use axum::response::Response;
use study::code::{Chosen, permit_names, permit_papers};
use study::install::{permit_set, permit_set_names};

/// Gives one of them.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Path((job, file)): Path<(String, String)>,
) -> Result<Response, Failure> {
    let view = bench.view(&job).await?;
    let (day, book) = (bench.day(), bench.book());
    set(move || {
        let job = view.settled.job.as_ref().ok_or_else(Failure::not_found)?;
        let law = Chosen::of(job, &book, None, day);
        let chosen = law.map_err(|error| no_code(&error.to_string()))?;
        let law = chosen.law(&book).map_err(|error| no_code(&error.to_string()))?;
        let of_set = permit_set_names(job).contains(&file);
        if !of_set && !permit_names(&law, job, day).contains(&file) {
            return Err(Failure::not_found());
        }
        let make = if of_set { permit_set } else { permit_papers };
        let documents = make(&law, job, day, &PRESS).map_err(unset)?;
        documents.into_iter().find(|document| document.file_name == file).ok_or_else(Failure::not_found)
    })
    .await
}

fn no_code(why: &str) -> Failure {
    let message = format!("No code holds for this job: {why}.");
    let hint = "Write down the adopted code on the page Code.";
    Failure::new(axum::http::StatusCode::CONFLICT, "No papers yet", message, hint)
}
