//! Pages over all jobs: predicted against found, the owner's questions, and both as a table.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::gathered::Answered;
use crate::members::Member;
use crate::page::{Ground, made};
use crate::sent::query;
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{Html, IntoResponse, Response};
use pages::{ExperienceGround, Route, ScoreGround, asked_reading};
use std::sync::atomic::{AtomicBool, Ordering};
use study::Settings;
use study::shop::{FACED_VERSION, faced_text};

/// Is somebody judging jobs as they were before their first opening?
#[derive(Default)]
pub(crate) struct Facing {
    running: AtomicBool,
}

/// Predicted against found.
pub(crate) async fn score(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let ground = Ground::of(&bench, &Route::Score, Some(&member), request.headers()).await?;
    let fields = query(request.uri());
    let score = bench.score(member.role.may(ExperienceGround::NEED), asked_reading(&fields)).await?;
    let page = made(move || pages::score_page(&score, &fields, &ground.context())).await?;
    Ok(Html(page.html).into_response())
}

/// The owner's questions.
pub(crate) async fn questions(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let ground = Ground::of(&bench, &Route::Questions, Some(&member), request.headers()).await?;
    let Answered { answers, n_jobs, n_unread } = bench.answers().await?;
    let page = made(move || pages::questions_page(&answers, n_jobs, n_unread, &ground.context())).await?;
    Ok(Html(page.html).into_response())
}

/// The same as a table.
pub(crate) async fn table(State(bench): State<Bench>) -> Result<Response, Failure> {
    let answers = bench.all_answers().await?;
    let headers = [
        (CONTENT_TYPE, "text/csv; charset=utf-8"),
        (CONTENT_DISPOSITION, "attachment; filename=\"panelwright-questions.csv\""),
    ];
    Ok((headers, study::shop::answers_csv(&answers)).into_response())
}

/// The same for programs that read columns.
pub(crate) async fn columns(State(bench): State<Bench>) -> Result<Response, Failure> {
    let answers = bench.all_answers().await?;
    let headers = [
        (CONTENT_TYPE, "application/vnd.apache.parquet"),
        (CONTENT_DISPOSITION, "attachment; filename=\"panelwright-questions.parquet\""),
    ];
    Ok((headers, study::shop::answers_parquet(&answers)).into_response())
}

impl Bench {
    /// What is scored so far; has the rest judged.
    async fn score(&self, may_change: bool, asked: Option<(f64, f64, f64)>) -> Result<ScoreGround, Failure> {
        let by = self.in_force().await?;
        let counting = &self.inner.counting;
        let experience = ExperienceGround {
            experience: by.counted.experience.clone(),
            origin: by.counted.origin.clone(),
            locked: !self.inner.setup.settings.experience.is_empty(),
            counting: counting.running(),
            failed: counting.failed(),
            may_change,
        };
        let now = self.scored(asked).await?;
        if 0 < now.n_waiting && !self.inner.facing.running.swap(true, Ordering::AcqRel) {
            let bench = self.clone();
            tokio::spawn(async move {
                for (job, revision) in bench.to_be_faced().await {
                    if *bench.inner.closing.borrow() {
                        break;
                    }
                    bench.face(&job, revision).await;
                }
                bench.inner.facing.running.store(false, Ordering::Release);
            });
        }
        Ok(ScoreGround {
            scored: now.scored,
            ranked: now.ranked,
            waiting: now.n_waiting,
            n_unread: now.n_unread,
            experience,
        })
    }

    /// Judges a job as it was before its first opening, and keeps what was said and found.
    async fn face(&self, job: &str, revision: i64) {
        let Ok(view) = self.view(job).await else { return };
        if view.revision != revision {
            // It is judged as soon as its newer facts are counted.
            return;
        }
        let Ok(in_force) = self.in_force().await else { return };
        let settings = Settings { policy: in_force.policy.clone(), ..self.inner.setup.settings.clone() };
        let faced = self
            .inner
            .judge
            .do_it(move |run| {
                let job = view.settled.job.as_ref()?;
                study::shop::face(&view.name, &view.facts, job, &settings, run).ok()
            })
            .await;
        let text = faced_text(&faced.flatten().unwrap_or_default());
        // What could not be kept is judged again at the next look.
        let _ = self.inner.store.put_faced(job, revision, &FACED_VERSION.to_string(), &text).await;
    }
}
