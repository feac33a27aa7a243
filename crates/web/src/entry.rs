//! Entries: a form becomes facts, once, however often it is sent.

use crate::bench::Bench;
use crate::failure::{Failure, Said, errors_json, is_script};
use crate::guard::hash_hex;
use crate::members::Member;
use crate::page::{Ground, made, refused, route_of};
use crate::sent::Sent;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::response::{Html, IntoResponse, Redirect, Response};
use pages::{Entry, FieldError, Refusal, Route};
use record::{Body, Fact};
use serde_json::json;
use store::Appended;

/// Takes the form of a page.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let route = route_of(&request)?;
    let headers = request.headers().clone();
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    let entry = entry_name(&route, &sent, &[])?;
    let script = is_script(&headers);
    if let Some(answer) = bench.answered(&route, &entry, &sent, script).await? {
        return Ok(answer);
    }
    let ground = Ground::of(&bench, &route, Some(&member), &headers).await?;
    let fields = sent.fields();
    let by_phone = sent.first(FACTS).map(|lines| of_phone(&route, lines));
    if let (Route::New, Some(Ok(entry))) = (&route, &by_phone)
        && ground.jobs.iter().any(|line| line.job == entry.job)
    {
        return Ok(refused_json(&job_taken(&entry.job)));
    }
    let (read, ground, fields, route) = made(move || {
        let read = by_phone.unwrap_or_else(|| pages::read(&route, &fields, &ground.context()));
        (read, ground, fields, route)
    })
    .await?;
    let stored = match read {
        Ok(Entry { job, facts, go }) => {
            let stored = bench.inner.store.append(&job, &entry, Some(&member.id), &facts).await;
            stored.map(|appended| (appended, go)).map_err(Unstored::Store)
        }
        Err(refusal) => Err(Unstored::Form(refusal)),
    };
    let unstored = match stored {
        Ok((appended, go)) => return Ok(taken(appended, &go, script)),
        Err(unstored) => unstored,
    };
    // The same form sent twice at once: one was read before the other was stored, and reads differently after.
    if let Some(answer) = bench.answered(&route, &entry, &sent, script).await? {
        return Ok(answer);
    }
    match unstored {
        Unstored::Store(error) => Err(trouble(&error)),
        Unstored::Form(refusal) if script => Ok(refused_json(&refusal)),
        Unstored::Form(refusal) => {
            let page = refused(route, fields, refusal, ground).await?;
            Ok(said(StatusCode::UNPROCESSABLE_ENTITY, Html(page.html)))
        }
    }
}

/// The field with the facts that a phone made of the form while it had no contact: what was judged there is stored.
const FACTS: &str = "facts";

/// Most facts of one form.
const FACTS_MAX: usize = 500;

/// An entry that a phone has read already: its facts, one a line.
fn of_phone(route: &Route, lines: &str) -> Result<Entry, Refusal> {
    let wrong = |message: String| Refusal { errors: vec![FieldError { field: String::new(), message }] };
    let mut facts = Vec::new();
    for line in lines.lines().take(FACTS_MAX + 1) {
        facts.push(Fact::from_json(line).map_err(|error| wrong(format!("A fact cannot be read: {error}.")))?);
    }
    if facts.is_empty() || FACTS_MAX < facts.len() {
        return Err(wrong(format!("A form has 1 to {FACTS_MAX} facts, not {}.", facts.len())));
    }
    let begun = facts.iter().find_map(|fact| match &fact.body {
        Body::Job(opened) => Some(opened.job.clone()),
        _ => None,
    });
    match route.job().map(str::to_owned).or(begun) {
        Some(job) => Ok(Entry { go: Route::Bench(job.clone()).to_string(), job, facts }),
        None => Err(wrong("No fact of the form begins a job.".to_owned())),
    }
}

fn job_taken(job: &str) -> Refusal {
    let message = format!("There is a job {job} already: choose another name, or leave it empty.");
    Refusal { errors: vec![FieldError { field: "job".to_owned(), message }] }
}

/// Why an entry was not stored.
enum Unstored {
    Form(Refusal),
    Store(store::Error),
}

impl Bench {
    /// The answer to an entry that was stored before.
    pub(crate) async fn answered(
        &self,
        route: &Route,
        entry: &str,
        sent: &Sent,
        script: bool,
    ) -> Result<Option<Response>, Failure> {
        let found = self.inner.store.receipt(route.job(), entry).await.map_err(|error| trouble(&error))?;
        Ok(found.map(|(job, appended)| {
            let go = sent.first("go").map(str::to_owned).unwrap_or_else(|| Route::Bench(job).to_string());
            taken(appended, &onward(route, &go), script)
        }))
    }
}

/// The name under which an entry is stored: of the id in the form and of everything that was sent with it. Sent twice,
/// it has the same name; sent after going back and changing a figure, it is another entry.
pub(crate) fn entry_name(route: &Route, sent: &Sent, photos: &[String]) -> Result<String, Failure> {
    let id = sent.first("entry").map(str::trim).unwrap_or_default();
    let fine = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_' | '.');
    if id.is_empty() || 64 < id.len() || !id.chars().all(fine) {
        let message = "The form carries no name of its entry, so it could be stored twice.";
        let hint = "Open the form again from the job.";
        return Err(Failure::new(StatusCode::UNPROCESSABLE_ENTITY, "Not a form of ours", message, hint));
    }
    let mut whole = format!("{id}\0{route}\0");
    for (name, value) in
        sent.pairs.iter().filter(|(name, _)| !matches!(name.as_str(), "csrf" | "entry" | FACTS))
    {
        whole.push_str(&format!("{}:{name}={}:{value}", name.len(), value.len()));
    }
    for photo in photos {
        whole.push_str(photo);
    }
    // The first letters stay readable beside the facts; the hash tells apart.
    let (start, hash) = (&id[..id.len().min(24)], hash_hex("panelwright entry", &whole));
    Ok(format!("{start}.{}", &hash[..32]))
}

/// The answer to an entry that was stored.
pub(crate) fn taken(appended: Appended, go: &str, script: bool) -> Response {
    if !script {
        return Redirect::to(go).into_response();
    }
    let answer = json!({
        "stored": appended.new,
        "already": appended.already,
        "revision": appended.revision,
        "go": go,
    });
    json_of(StatusCode::OK, answer.to_string())
}

/// The answer to a form with mistakes, for our scripts.
pub(crate) fn refused_json(refusal: &Refusal) -> Response {
    said(
        StatusCode::UNPROCESSABLE_ENTITY,
        ([(CONTENT_TYPE, "application/json")], errors_json(&refusal.errors)),
    )
}

/// An answer that says itself what is wrong, so that it is not put in other words.
pub(crate) fn said(status: StatusCode, body: impl IntoResponse) -> Response {
    let mut response = (status, body).into_response();
    response.extensions_mut().insert(Said);
    response
}

pub(crate) fn json_of(status: StatusCode, json: String) -> Response {
    (status, [(CONTENT_TYPE, "application/json")], json).into_response()
}

/// Where to go on after an entry that was stored before: within the same job.
fn onward(route: &Route, go: &str) -> String {
    let path = go.split(['?', '#']).next().unwrap_or(go);
    let target = Route::of_path(path).filter(|_| go.starts_with('/') && !go.starts_with("//"));
    match (target, route.job()) {
        (Some(target), Some(job)) if target.job() == Some(job) => go.to_owned(),
        (Some(Route::Bench(job)), None) => Route::Bench(job).to_string(),
        (_, Some(job)) => Route::Bench(job.to_owned()).to_string(),
        _ => "/".to_owned(),
    }
}
