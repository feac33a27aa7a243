//! Papers, made when they are asked for, from the judgement of all facts.

use crate::bench::Bench;
use crate::failure::Failure;
use axum::extract::{Path, State};
use axum::http::HeaderValue;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE, X_FRAME_OPTIONS};
use axum::response::{IntoResponse, Response};
use model::Date;
use pages::Route;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, LazyLock};
use std::time::Duration;
use study::{Document, Press};
use tokio::sync::Mutex;

/// How long a paper waits for its judgement.
const PATIENCE: Duration = Duration::from_secs(60);

/// Jobs whose papers are kept.
const KEPT_MAX: usize = 16;

/// What is kept loads nothing and runs nothing.
const SANDBOX: &str =
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox; frame-ancestors 'none'";

/// As [`SANDBOX`], for PDF: the viewers of browsers do not open one in a sandbox.
const OF_PDF: &str = "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; img-src 'self' data:; frame-ancestors 'none'";

/// Reading the fonts takes a while; once is enough.
pub(crate) static PRESS: LazyLock<Press> = LazyLock::new(Press::new);

/// The papers that were made.
#[derive(Default)]
pub(crate) struct Papers {
    /// One is set at a time.
    kept: Mutex<BTreeMap<String, Kept>>,
}

#[derive(Clone)]
struct Kept {
    of: (i64, Date, i64),
    documents: Arc<Vec<Document>>,
}

/// Gives a paper by its name.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Path((job, file)): Path<(String, String)>,
) -> Result<Response, Failure> {
    let documents = bench.papers(&job).await?;
    // Compared with the names of what was made, never used as a path.
    let document =
        documents.iter().find(|document| document.file_name == file).ok_or_else(Failure::not_found)?;
    Ok(answer(document))
}

/// A paper as it is given: it loads nothing and runs nothing.
pub(crate) fn answer(document: &Document) -> Response {
    let file = &document.file_name;
    let (kind, policy) = match file.rsplit('.').next() {
        Some("pdf") => ("application/pdf", OF_PDF),
        Some("svg") => ("image/svg+xml", SANDBOX),
        _ => ("text/plain; charset=utf-8", SANDBOX),
    };
    let disposition = HeaderValue::from_str(&format!("inline; filename=\"{file}\""));
    let headers = [
        (CONTENT_TYPE, HeaderValue::from_static(kind)),
        (CONTENT_SECURITY_POLICY, HeaderValue::from_static(policy)),
        (CONTENT_DISPOSITION, disposition.unwrap_or(HeaderValue::from_static("inline"))),
        (X_FRAME_OPTIONS, HeaderValue::from_static("DENY")),
    ];
    (headers, document.bytes.clone()).into_response()
}

/// Makes one paper beside the other work, and answers with it.
pub(crate) async fn set(
    make: impl FnOnce() -> Result<Document, Failure> + Send + 'static,
) -> Result<Response, Failure> {
    let made = tokio::task::spawn_blocking(make).await;
    made.map_err(|_| fault())?.map(|document| answer(&document))
}

/// The typesetter would not.
pub(crate) fn unset(error: impl std::fmt::Display) -> Failure {
    Failure::internal(format!("A paper cannot be set: {error}."))
}

fn fault() -> Failure {
    Failure::internal("A paper cannot be set: a fault of the program.")
}

impl Bench {
    /// All papers of a job as it stands.
    pub(crate) async fn papers(&self, job: &str) -> Result<Arc<Vec<Document>>, Failure> {
        let mut kept = self.inner.papers.kept.lock().await;
        let view = self.judged_view(job, PATIENCE).await?;
        let of = (view.revision, self.day(), self.inner.judge.policy());
        if let Some(kept) = kept.get(job).filter(|kept| kept.of == of) {
            return Ok(Arc::clone(&kept.documents));
        }
        let route = Route::Bench(job.to_owned());
        let address = format!("{}{route}", self.inner.setup.address);
        let set = move || {
            let (Some(job), Some(assessment)) = (&view.settled.job, view.judged.assessment()) else {
                return Ok(None);
            };
            study::papers(job, assessment, &PRESS, Some(&address)).map(Some)
        };
        let set = tokio::task::spawn_blocking(|| catch_unwind(AssertUnwindSafe(set))).await;
        let documents = match set {
            Ok(Ok(Ok(Some(documents)))) => Arc::new(documents),
            Ok(Ok(Ok(None))) => return Err(no_judgement()),
            Ok(Ok(Err(error))) => return Err(unset(error)),
            _ => return Err(fault()),
        };
        if KEPT_MAX <= kept.len() {
            kept.clear();
        }
        kept.insert(job.to_owned(), Kept { of, documents: Arc::clone(&documents) });
        Ok(documents)
    }
}

fn no_judgement() -> Failure {
    let message = "There is no judgement of this job yet, so there are no papers.";
    let hint = "The bench of the job says what is missing.";
    Failure::new(axum::http::StatusCode::CONFLICT, "No papers yet", message, hint)
}
