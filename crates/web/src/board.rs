//! What is due in all jobs, and the same as a calendar file.

use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use axum::extract::State;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use study::BoardLine;

impl Bench {
    /// The board, earliest first.
    pub(crate) async fn board(&self) -> Result<Vec<BoardLine>, Failure> {
        let mut lines = Vec::new();
        for summary in self.summaries().await? {
            lines.extend(summary.board.iter().cloned());
        }
        study::sort_board(&mut lines);
        Ok(lines)
    }
}

/// The calendar file.
pub(crate) async fn calendar(State(bench): State<Bench>) -> Result<Response, Failure> {
    let lines = bench.board().await?;
    let text = study::board_calendar(&lines, clock::utc(), Some(&bench.inner.setup.address));
    let headers = [
        (CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (CONTENT_DISPOSITION, "attachment; filename=\"panelwright-board.ics\""),
    ];
    Ok((headers, text).into_response())
}
