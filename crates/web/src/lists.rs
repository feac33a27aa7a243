//! The list of jobs and the board, a page at a time, and the board as a calendar file.

use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use crate::members::Member;
use crate::page::{Ground, made};
use crate::policy::InForce;
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
    let by_urgency = pages::by_urgency(&fields);
    let after = fields.text("after");
    let mut ground = Ground::of(&bench, &Route::Jobs, Some(&member), request.headers()).await?;
    let n_unread = bench.freshen().await?;
    let mut listed = bench.listed(&search, by_urgency, after).await?;
    let more = JOBS < listed.len();
    listed.truncate(JOBS);
    let last = listed.last().filter(|_| more).map(|one| {
        let band = one.urgency.as_ref().filter(|_| by_urgency).map(|mark| format!("{}~", mark.band));
        format!("{}{}~{}", band.unwrap_or_default(), one.job.changed, one.job.job)
    });
    let in_force = bench.in_force().await?;
    let leaf = Leaf {
        search: Some(search),
        by_urgency,
        is_later: after.is_some(),
        next: last.unwrap_or_default(),
        n_unread,
        n_late: 0,
    };
    ground.jobs = listed.into_iter().map(|one| bench.line(one, &in_force)).collect();
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
    let by_urgency = pages::by_urgency(&fields);
    let after = fields.text("after");
    let mut ground = Ground::of(&bench, &Route::Board, Some(&member), request.headers()).await?;
    let n_unread = bench.freshen().await?;
    let mut lines = bench.due(by_urgency, after).await?;
    let today = ground.now.date().to_string();
    let n_late = bench.inner.store.n_due_before(&today).await.map_err(|error| trouble(&error))?;
    let more = LINES < lines.len();
    lines.truncate(LINES);
    let last = lines.last().filter(|_| more).map(|one| {
        let band = if by_urgency { format!("{}~", one.band) } else { String::new() };
        format!("{band}{}~{}~{}", one.day, one.line, one.job)
    });
    let next = last.unwrap_or_default();
    let leaf = Leaf { search: None, by_urgency, is_later: after.is_some(), next, n_unread, n_late };
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
    let read = |line: &DueLine| {
        let urgency = study::shop::urgency_of_band(line.band);
        Some(BoardLine { urgency, ..study::shop::line_of_text(&line.job, &line.due)? })
    };
    lines.iter().filter_map(read).collect()
}

impl Bench {
    /// Jobs after a line in one of the two orders, one more than a page has. An address of the other order is the first page.
    async fn listed(
        &self,
        search: &str,
        by_urgency: bool,
        after: Option<&str>,
    ) -> Result<Vec<Listed>, Failure> {
        let store = &self.inner.store;
        let listed = if by_urgency {
            let mut parts = after.unwrap_or_default().splitn(3, '~');
            let mut number = || parts.next()?.parse().ok();
            let (band, changed) = (number(), number());
            let after = band.zip(changed).zip(parts.next());
            let after = after.map(|((band, changed), job)| (band, changed, job));
            store.list_by_urgency(search, after, one_more(JOBS)).await
        } else {
            let after = after.and_then(|after| after.split_once('~'));
            let after = after.and_then(|(changed, job)| Some((changed.parse().ok()?, job)));
            store.list(search, after, one_more(JOBS)).await
        };
        listed.map_err(|error| trouble(&error))
    }

    /// Lines of the board after one in one of the two orders.
    async fn due(&self, by_urgency: bool, after: Option<&str>) -> Result<Vec<DueLine>, Failure> {
        let store = &self.inner.store;
        let parts: Vec<&str> =
            after.map(|after| after.splitn(3 + usize::from(by_urgency), '~').collect()).unwrap_or_default();
        let lines = match (by_urgency, parts.as_slice()) {
            (true, [band, day, line, job]) => {
                let after = band.parse().ok().zip(line.parse().ok());
                let after = after.map(|(band, line)| (band, *day, *job, line));
                store.due_by_urgency(after, one_more(LINES)).await
            }
            (true, _) => store.due_by_urgency(None, one_more(LINES)).await,
            (false, [day, line, job]) => {
                store.due(line.parse().ok().map(|line| (*day, *job, line)), one_more(LINES)).await
            }
            (false, _) => store.due(None, one_more(LINES)).await,
        };
        lines.map_err(|error| trouble(&error))
    }

    fn line(&self, listed: Listed, by: &InForce) -> JobLine {
        let (mark, revision) = (listed.urgency.as_ref(), listed.job.revision);
        let (urgency, as_of) = self.urgency_of(&listed.job.job, revision, mark, by);
        let changed = clock::civil(listed.job.changed);
        let mut line = JobLine::unread(listed.job.job, listed.job.n_facts, changed);
        (line.urgency, line.as_of) = (urgency, as_of);
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
