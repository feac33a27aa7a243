//! Changes of a job as they happen, as server-sent events.

use crate::bench::{Bench, Event};
use crate::failure::Failure;
use crate::members::Member;
use axum::Extension;
use axum::extract::{Path, State};
use axum::http::header::{CACHE_CONTROL, HeaderName};
use axum::response::sse::{self, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use serde_json::json;
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::broadcast::error::RecvError;
use tokio::sync::watch;

/// How often a quiet stream says that it is alive.
const PING: Duration = Duration::from_secs(15);

/// Opens the stream. It begins with where the job is now, so that nothing between page and stream is missed, and ends
/// when the device is shut out, its time is over, or the bench closes.
pub(crate) async fn stream(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    Path(job): Path<String>,
) -> Result<Response, Failure> {
    let permit = Arc::clone(&bench.inner.streams).try_acquire_owned().map_err(|_| Failure::busy())?;
    let mut events = bench.inner.events.subscribe();
    let mut shut_out = bench.inner.members.shut_out();
    let mut closing = bench.inner.closing.subscribe();
    let mut now = bench.now(&job).await?;
    let left_ms = u64::try_from(member.expires - store::now_ms()).unwrap_or(0);
    let stream = async_stream::stream! {
        let _permit = permit;
        let over = tokio::time::sleep(Duration::from_millis(left_ms));
        tokio::pin!(over);
        yield event(&now);
        loop {
            tokio::select! {
                biased;
                device = shut_out.recv() => match device {
                    Ok(device) if device != member.id => {}
                    _ => return,
                },
                () = closed(&mut closing) => return,
                () = &mut over => return,
                told = events.recv() => match told {
                    Ok(told) if told.job == job => yield event(&told),
                    Ok(_) => {}
                    Err(RecvError::Lagged(_)) => {
                        if let Ok(fresh) = bench.now(&job).await {
                            now = fresh;
                        }
                        yield event(&now);
                    }
                    Err(RecvError::Closed) => return,
                },
            }
        }
    };
    let sse = Sse::new(stream).keep_alive(KeepAlive::new().interval(PING).text("ping"));
    let unbuffered = HeaderName::from_static("x-accel-buffering");
    Ok(([(CACHE_CONTROL, "no-store"), (unbuffered, "no")], sse).into_response())
}

/// Waits until the bench closes.
async fn closed(closing: &mut watch::Receiver<bool>) {
    // An error says that the bench is gone, which is the same.
    let _ = closing.wait_for(|closing| *closing).await;
}

fn event(told: &Event) -> Result<sse::Event, Infallible> {
    let data = json!({ "revision": told.revision, "judged": told.judged, "first": told.first });
    Ok(sse::Event::default().event("change").data(data.to_string()))
}

impl Bench {
    /// Where a job is now.
    async fn now(&self, job: &str) -> Result<Event, Failure> {
        let view = self.view(job).await?;
        self.judge_if_stale(&view);
        let judged = self.inner.judge.latest(job).is_some_and(|done| done.revision == view.revision);
        let first = view.judged.first_look().is_some();
        Ok(Event { job: job.to_owned(), revision: view.revision, judged, first })
    }
}
