//! A question answered.

use crate::ask::{Ask, What};
use crate::chain;
use crate::fold::{Jobs, context, fold};
use crate::judging::{begin, first_look, is_judged, judge, judged_of, rehearse};
use crate::paper;
use crate::shelf::{Ground, Shelf};
use pages::{Fields, JobLine, JobView, Judged, Route};
use record::Fact;
use serde::Serialize;
use study::BoardLine;

/// Stands on every page that a phone made by itself.
const JUDGED_HERE: &str = "No contact with the bench: this page was made, and the panel judged, on this phone, from the facts that it keeps.";

/// Minutes from which a clock that is off is told of.
const CLOCK_OFF_MIN: u64 = 30;

/// An answer.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Answer {
    /// As of HTTP: 200, 404 where there is no such page or paper, 422 where a form cannot be taken, 501 where the
    /// question is not for a phone, 500 where it cannot be answered.
    pub status: u16,
    /// The page or paper.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub body: String,
    /// Media type of the body.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub media_type: &'static str,
    /// Revision of the job that the page shows.
    pub revision: i64,
    /// Is the judgement of these very facts at hand?
    pub judged: bool,
    /// Is a first look at these very facts at hand, and no judgement of them yet?
    pub first: bool,
    /// The job that the form belongs to.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub job: String,
    /// Where to go on after the form.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub go: String,
    /// The facts that the form comes to, each a line as the bench stores it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub facts: Vec<String>,
    /// What is wrong with the form: field, message.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub errors: Vec<(String, String)>,
    /// Why it cannot be answered.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why: String,
}

/// Answers a question in JSON, in JSON.
pub fn answer_json(text: &str, shelf: &mut Shelf) -> String {
    answer_json_with(text, &[], shelf)
}

/// Answers a question in JSON, in JSON, with the chains that were run elsewhere where it asks to conclude from them.
pub fn answer_json_with(text: &str, chains: &[Vec<u8>], shelf: &mut Shelf) -> String {
    let answer = match serde_json::from_str::<Ask>(text) {
        Ok(ask) => try_to(&ask, chains, shelf).unwrap_or_else(failed),
        Err(error) => failed(format!("the question cannot be read: {error}")),
    };
    serde_json::to_string(&answer).unwrap_or_else(|_| "{\"status\":500}".to_owned())
}

/// Answers a question.
pub fn answer(ask: &Ask, shelf: &mut Shelf) -> Answer {
    try_to(ask, &[], shelf).unwrap_or_else(failed)
}

fn failed(why: String) -> Answer {
    Answer { status: 500, why, ..Answer::default() }
}

fn try_to(ask: &Ask, chains: &[Vec<u8>], shelf: &mut Shelf) -> Result<Answer, String> {
    let ground = shelf.ground(&ask.desk)?;
    let mut jobs = fold(ask, &ground, shelf)?;
    if ask.what == What::Read {
        return Ok(read(ask, jobs));
    }
    if ask.what == What::Paper {
        let of = job_of(&ask.path);
        let view = jobs.views.iter_mut().map(|(view, _)| view).find(|view| Some(&view.name) == of.as_ref());
        let Some(view) = view else { return Ok(missing()) };
        if let Some(answer) = paper::give_unjudged(ask, view, &ground) {
            return Ok(answer);
        }
        judge(ask, view, &ground, shelf)?;
        view.judged = judged_of(ask, view, shelf);
        return Ok(paper::give(ask, view));
    }
    let Some(route) = Route::of_path(&ask.path) else { return Ok(missing()) };
    if matches!(route, Route::Devices | Route::Join) {
        return Ok(Answer { status: 501, why: "this page needs the bench".to_owned(), ..Answer::default() });
    }
    for (view, _) in &mut jobs.views {
        if route.job() == Some(&view.name) {
            match ask.what {
                What::Judge => judge(ask, view, &ground, shelf)?,
                // Why it cannot be judged is known without a chain.
                What::Begin if view.ready().is_err() => judge(ask, view, &ground, shelf)?,
                What::Begin if is_judged(ask, view, shelf) => {}
                What::Begin => begin(ask, view, shelf)?,
                What::Conclude => chain::conclude(ask, view, chains, shelf)?,
                What::Rehearse => rehearse(ask, view, &ground, shelf)?,
                What::First => first_look(ask, view, &ground, shelf)?,
                What::Page | What::Read | What::Paper => {}
            }
        }
        view.judged = judged_of(ask, view, shelf);
    }
    let view =
        route.job().and_then(|job| jobs.views.iter().map(|(view, _)| view).find(|view| view.name == job));
    if route.job().is_some() && view.is_none() {
        return Ok(missing());
    }
    let judged = view.is_none_or(|view| match &view.judged {
        Judged::Waiting => false,
        Judged::NotPossible(_) => true,
        Judged::Done { current, .. } => *current,
    });
    let first = view.is_some_and(|view| view.judged.first_look().is_some());
    let revision = view.map_or(0, |view| view.revision);
    if matches!(ask.what, What::Judge | What::Begin | What::Conclude | What::Rehearse | What::First) {
        return Ok(Answer { status: 200, revision, judged, first, ..Answer::default() });
    }
    let lines = lines(&jobs);
    let board = board(&jobs, &ground);
    let cx = context(ask, &ground, &lines, view, &board);
    let page = pages::show(&route, &Fields::from_pairs(ask.query.iter().cloned()), &cx);
    let page = pages::with_remark(page, &remark(ask));
    Ok(Answer {
        status: 200,
        body: page.html,
        media_type: "text/html; charset=utf-8",
        revision,
        judged,
        first,
        ..Answer::default()
    })
}

fn remark(ask: &Ask) -> String {
    let off = ask.clock_min.unsigned_abs();
    if off < CLOCK_OFF_MIN {
        return JUDGED_HERE.to_owned();
    }
    let way = if ask.clock_min < 0 { "behind" } else { "ahead of" };
    format!(
        "{JUDGED_HERE} This phone’s clock was {} h {} min {way} the bench’s: times that it puts on entries are wrong by that.",
        off / 60,
        off % 60
    )
}

fn missing() -> Answer {
    Answer { status: 404, why: "this phone does not keep it".to_owned(), ..Answer::default() }
}

/// The job of an address, whether or not a page is there.
pub(crate) fn job_of(path: &str) -> Option<String> {
    let mut parts = path.split('/').filter(|part| !part.is_empty());
    let (Some("jobs"), Some(job)) = (parts.next(), parts.next()) else { return None };
    Route::of_path(&format!("/jobs/{job}")).and_then(|route| route.job().map(str::to_owned))
}

fn read(ask: &Ask, jobs: Jobs) -> Answer {
    let last = ask.queue.last().map(|queued| queued.n);
    if let Some(refused) = jobs.refused.into_iter().find(|refused| Some(refused.n) == last) {
        let errors = refused.errors.into_iter().map(|error| (error.field, error.message)).collect();
        return Answer { status: 422, errors, ..Answer::default() };
    }
    match jobs.last {
        Some(entry) => Answer {
            status: 200,
            facts: entry.facts.iter().map(Fact::to_json).collect(),
            job: entry.job,
            go: entry.go,
            ..Answer::default()
        },
        None => missing(),
    }
}

/// The job whose judgement a question is about.
pub(crate) fn judged_job(ask: &Ask, shelf: &mut Shelf) -> Result<JobView, String> {
    let ground = shelf.ground(&ask.desk)?;
    let of = job_of(&ask.path);
    let views = fold(ask, &ground, shelf)?.views;
    let view = views.into_iter().map(|(view, _)| view).find(|view| Some(&view.name) == of.as_ref());
    view.ok_or_else(|| "this phone does not keep it".to_owned())
}

fn lines(jobs: &Jobs) -> Vec<JobLine> {
    jobs.views.iter().map(|(view, changed)| JobLine::of(view, view.facts.len(), *changed)).collect()
}

fn board(jobs: &Jobs, ground: &Ground) -> Vec<BoardLine> {
    let mut lines = Vec::new();
    for (view, _) in &jobs.views {
        lines.extend(view.board_lines(&ground.policy));
    }
    study::sort_board(&mut lines);
    lines
}
