//! The list of jobs and the board, a page at a time, and the board as a calendar file.

use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use crate::members::Member;
use crate::page::{Ground, made};
use crate::sent::query;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{Html, IntoResponse, Response};
use pages::{JobLine, Leaf, Route};
use store::{DueLine, Listed};
use study::BoardLine;

/// Jobs on one page of the list: a few screens of a phone.
const JOBS: usize = 30;

/// Lines on one page of the board.
const LINES: usize = 50;

/// Lines of the calendar file: what a phone's calendar takes without choking.
const CALENDAR: usize = 5_000;

/// The list of jobs.
pub(crate) async fn jobs(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let fields = query(request.uri());
    let search = fields.text("find").unwrap_or_default().to_owned();
    let after = fields.text("after").and_then(|after| after.split_once('~'));
    let after = after.and_then(|(changed, job)| Some((changed.parse().ok()?, job)));
    let mut ground = Ground::of(&bench, &Route::Jobs, Some(&member), request.headers()).await?;
    let n_unread = bench.freshen().await?;
    let mut listed =
        bench.inner.store.list(&search, after, one_more(JOBS)).await.map_err(|error| trouble(&error))?;
    let more = JOBS < listed.len();
    listed.truncate(JOBS);
    let last = listed.last().filter(|_| more).map(|one| format!("{}~{}", one.job.changed, one.job.job));
    let leaf = Leaf {
        search: Some(search),
        is_later: after.is_some(),
        next: last.unwrap_or_default(),
        n_unread,
        n_late: 0,
    };
    ground.jobs = listed.into_iter().map(|one| bench.line(one)).collect();
    let page = made(move || pages::jobs_page(&leaf, &ground.context())).await?;
    Ok(Html(page.html).into_response())
}

/// The board.
pub(crate) async fn board(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let fields = query(request.uri());
    let after = fields.text("after").map(|after| after.splitn(3, '~').collect::<Vec<_>>());
    let after = match after.as_deref() {
        Some([day, line, job]) => line.parse().ok().map(|line| (*day, *job, line)),
        _ => None,
    };
    let mut ground = Ground::of(&bench, &Route::Board, Some(&member), request.headers()).await?;
    let n_unread = bench.freshen().await?;
    let mut lines = bench.inner.store.due(after, one_more(LINES)).await.map_err(|error| trouble(&error))?;
    let today = ground.now.date().to_string();
    let n_late = bench.inner.store.n_due_before(&today).await.map_err(|error| trouble(&error))?;
    let more = LINES < lines.len();
    lines.truncate(LINES);
    let last = lines.last().filter(|_| more).map(|one| format!("{}~{}~{}", one.day, one.line, one.job));
    let leaf =
        Leaf { search: None, is_later: after.is_some(), next: last.unwrap_or_default(), n_unread, n_late };
    ground.board = read(&lines);
    let page = made(move || pages::board_page(&leaf, &ground.context())).await?;
    Ok(Html(page.html).into_response())
}

/// The calendar file.
pub(crate) async fn calendar(State(bench): State<Bench>) -> Result<Response, Failure> {
    bench.freshen().await?;
    let lines = bench.inner.store.due(None, CALENDAR as i64).await.map_err(|error| trouble(&error))?;
    let text = study::board_calendar(&read(&lines), clock::utc(), Some(&bench.inner.setup.address));
    let headers = [
        (CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (CONTENT_DISPOSITION, "attachment; filename=\"panelwright-board.ics\""),
    ];
    Ok((headers, text).into_response())
}

/// One more tells whether there is a next page.
fn one_more(n: usize) -> i64 {
    n as i64 + 1
}

fn read(lines: &[DueLine]) -> Vec<BoardLine> {
    lines.iter().filter_map(|line| study::shop::line_of_text(&line.job, &line.due)).collect()
}

impl Bench {
    fn line(&self, listed: Listed) -> JobLine {
        let urgency = self.inner.judge.urgency(&listed.job.job);
        let changed = clock::civil(listed.job.changed);
        let mut line = JobLine::unread(listed.job.job, listed.job.n_facts, changed);
        line.urgency = urgency;
        if let Some((place, town, invented)) = listed.known {
            (line.place, line.town, line.invented) = (place, town, invented);
        }
        line
    }

    /// The line of a job by its name, where there is one.
    pub(crate) async fn line_of(&self, job: &str) -> Result<Option<JobLine>, Failure> {
        let revision = self.inner.store.revision(job).await.map_err(|error| trouble(&error))?;
        let n_facts = revision.and_then(|revision| usize::try_from(revision).ok());
        Ok(n_facts.map(|n_facts| JobLine::unread(job.to_owned(), n_facts, clock::now())))
    }
}
