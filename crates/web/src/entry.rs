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
use jiff::civil::DateTime;
use pages::{Entry, Fields, Refusal, Route};
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
    let mut ground = Ground::of(&bench, &route, Some(&member), &headers).await?;
    let fields = sent.fields();
    if let (Route::New, Some(job)) = (&route, fields.text("job")) {
        // Is the name taken?
        ground.jobs.extend(bench.line_of(job.trim()).await?);
    }
    let by_phone = sent.first(FACTS).map(str::to_owned);
    let (read, ground, fields, route) = made(move || {
        let read = pages::read(&route, &fields, &ground.context());
        let read = read.map(|entry| as_judged(entry, by_phone.as_deref().unwrap_or_default()));
        (read, ground, fields, route)
    })
    .await?;
    let stored = match read {
        Ok(Entry { job, facts, go }) => {
            // Whichever form it came by.
            let need = facts.iter().map(|fact| pages::need_of_fact(&fact.body)).max();
            if let Some(need) = need.filter(|need| !member.role.may(*need)) {
                return Err(Failure::not_for(member.role, need));
            }
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
        Unstored::Form(refusal) => again(script, route, fields, refusal, ground).await,
    }
}

/// The field with the facts that a phone made of the form while it had no contact.
const FACTS: &str = "facts";

/// The entry with the facts that the phone judged by, one a line, where they say what the form says. They differ in
/// what they replace and in what they had to add, for the phone did not know what others recorded meanwhile. Whatever
/// says something else is not taken: then the form is what counts.
fn as_judged(entry: Entry, lines: &str) -> Entry {
    let sent: Result<Vec<Fact>, _> = lines.lines().map(Fact::from_json).collect();
    match sent {
        Ok(facts) if !facts.is_empty() && says(&entry.facts) == says(&facts) => Entry { facts, ..entry },
        _ => entry,
    }
}

/// What facts say: when, by whom, what. A load state or an exposure that goes along with something else is left out.
fn says(facts: &[Fact]) -> Vec<(DateTime, Option<&str>, &Body)> {
    let goes_along = |body: &Body| matches!(body, Body::State(_) | Body::Exposure(_));
    let alone = facts.iter().all(|fact| goes_along(&fact.body));
    let said = facts.iter().filter(|fact| alone || !goes_along(&fact.body));
    said.map(|fact| (fact.at, fact.by.as_deref(), &fact.body)).collect()
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
/// A form that was refused: to a script what is wrong, to a person the page again with it.
pub(crate) async fn again(
    script: bool,
    route: Route,
    fields: Fields,
    refusal: Refusal,
    ground: Ground,
) -> Result<Response, Failure> {
    if script {
        return Ok(refused_json(&refusal));
    }
    let page = refused(route, fields, refusal, ground).await?;
    Ok(said(StatusCode::UNPROCESSABLE_ENTITY, Html(page.html)))
}

fn refused_json(refusal: &Refusal) -> Response {
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
