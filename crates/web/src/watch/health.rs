//! Is the bench ready? The database answers, and there is room on the disk.

use crate::bench::Bench;
use crate::entry::said;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use std::path::Path;
use std::time::Duration;

/// Longest wait for the database.
const PATIENCE: Duration = Duration::from_secs(3);

/// Room below which nothing more should be sent here, bytes: some photos and the log of the database.
const ROOM_BYTES: u64 = 100 * 1024 * 1024;

/// `ok`, or 503 and what is in the way: no name and no path, for anybody may ask.
pub(crate) async fn health(State(bench): State<Bench>) -> Response {
    let store = &bench.inner.store;
    let answers = matches!(tokio::time::timeout(PATIENCE, store.answers()).await, Ok(Ok(())));
    let room = free_bytes(store.folder()).is_none_or(|free| ROOM_BYTES <= free);
    match (answers, room) {
        (true, true) => "ok\n".into_response(),
        (false, _) => said(StatusCode::SERVICE_UNAVAILABLE, "the database does not answer\n"),
        (true, false) => said(StatusCode::SERVICE_UNAVAILABLE, "the disk is nearly full\n"),
    }
}

/// Room on the disk of a folder for a program without rights of its own, bytes; `None` where the system does not say.
pub(super) fn free_bytes(folder: &Path) -> Option<u64> {
    #[cfg(unix)]
    {
        let told = rustix::fs::statvfs(folder).ok()?;
        Some(told.f_bavail.saturating_mul(told.f_frsize))
    }
    #[cfg(not(unix))]
    {
        let _ = folder;
        None
    }
}
