//! Pages over all jobs: predicted against found, the owner's questions, and both as a table.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::members::Member;
use crate::page::{Ground, made};
use crate::sent::query;
use crate::summary::Summary;
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{Html, IntoResponse, Response};
use pages::{ExperienceGround, Route, ScoreGround};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use study::Settings;
use study::shop::{Answer, Faced, JobNotes};

/// Jobs that were judged as they were before their first opening, by revision.
#[derive(Default)]
pub(crate) struct Facing {
    kept: Mutex<BTreeMap<String, Kept>>,
    running: AtomicBool,
}

/// Revision, and what was said and found.
type Kept = (i64, Arc<Vec<Faced>>);

impl Facing {
    fn of(&self, job: &str, revision: i64) -> Option<Arc<Vec<Faced>>> {
        let kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.get(job).filter(|(of, _)| *of == revision).map(|(_, faced)| Arc::clone(faced))
    }
}

/// Predicted against found.
pub(crate) async fn score(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let ground = Ground::of(&bench, &Route::Score, Some(&member), request.headers()).await?;
    let score = bench.score(member.role.may(ExperienceGround::NEED)).await?;
    let fields = query(request.uri());
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
    let (answers, n_jobs) = bench.answers().await?;
    let page = made(move || pages::questions_page(&answers, n_jobs, &ground.context())).await?;
    Ok(Html(page.html).into_response())
}

/// The same as a table.
pub(crate) async fn table(State(bench): State<Bench>) -> Result<Response, Failure> {
    let (answers, _) = bench.answers().await?;
    let headers = [
        (CONTENT_TYPE, "text/csv; charset=utf-8"),
        (CONTENT_DISPOSITION, "attachment; filename=\"panelwright-questions.csv\""),
    ];
    Ok((headers, study::shop::answers_csv(&answers)).into_response())
}

impl Bench {
    async fn answers(&self) -> Result<(Vec<Answer>, usize), Failure> {
        let summaries = self.summaries().await?;
        let notes: Vec<&JobNotes> = summaries.iter().filter_map(|summary| summary.notes.as_ref()).collect();
        Ok((study::shop::answers(&notes, self.day()), notes.len()))
    }

    /// What is scored so far; has the rest judged.
    async fn score(&self, may_change: bool) -> Result<ScoreGround, Failure> {
        let summaries = self.summaries().await?;
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
        let mut ground = ScoreGround { experience, ..ScoreGround::default() };
        let mut waiting = Vec::new();
        for summary in &summaries {
            let Some(notes) = &summary.notes else { continue };
            ground.healthy.extend(notes.healthy.iter().cloned());
            if notes.opened.is_empty() {
                continue;
            }
            match self.inner.facing.of(&notes.job, summary.revision()) {
                Some(faced) if faced.is_empty() => ground.not_judged.push(notes.job.clone()),
                Some(faced) => ground.faced.extend(faced.iter().cloned()),
                None => waiting.push(Arc::clone(summary)),
            }
        }
        ground.waiting = waiting.len();
        if !waiting.is_empty() && !self.inner.facing.running.swap(true, Ordering::AcqRel) {
            let bench = self.clone();
            tokio::spawn(async move {
                for summary in waiting {
                    if *bench.inner.closing.borrow() {
                        break;
                    }
                    bench.face(&summary).await;
                }
                bench.inner.facing.running.store(false, Ordering::Release);
            });
        }
        Ok(ground)
    }

    async fn face(&self, summary: &Summary) {
        let Some(notes) = &summary.notes else { return };
        let Ok(view) = self.view(&notes.job).await else { return };
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
        let faced = Arc::new(faced.flatten().unwrap_or_default());
        let mut kept = self.inner.facing.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.insert(notes.job.clone(), (summary.revision(), faced));
    }
}
