//! What somebody outside the shop gets by a link: a page and its papers. No cookie is read or given, and every other
//! address goes by the cookie alone, so a link opens nothing else.

use crate::bench::Bench;
use crate::clock;
use crate::entry::said;
use crate::failure::Failure;
use crate::papers::answer;
use crate::trouble::trouble;
use axum::extract::{Path, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, HeaderName, REFERRER_POLICY};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{Html, IntoResponse, Response};
use pages::{SeeGround, SeePaper};
use store::Link;

/// No script at all, and nothing that could carry the address away.
const POLICY: &str = "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'none'; base-uri 'none'; \
     frame-ancestors 'none'";

/// Gives the page of a link.
pub(crate) async fn page(State(bench): State<Bench>, Path(token): Path<String>) -> Response {
    closed(see(&bench, &token).await)
}

/// Gives a paper of a link.
pub(crate) async fn paper(
    State(bench): State<Bench>,
    Path((token, file)): Path<(String, String)>,
) -> Response {
    closed(file_of(&bench, &token, &file).await)
}

async fn see(bench: &Bench, token: &str) -> Result<Response, Failure> {
    let link = bench.link(token).await?;
    let given = bench.given(&link).await?;
    bench.note_look(&link).await;
    let judged = given.job.as_ref().and_then(|(_, assessment)| assessment.as_ref());
    let paper = |(kind, file): (&str, String)| {
        let (title, words) = about(kind, &file);
        SeePaper { address: format!("/see/{token}/{file}"), title, words }
    };
    let ground = SeeGround {
        id: link.id.clone(),
        invented: given.job.as_ref().is_some_and(|(job, _)| job.invented),
        urgency: judged.filter(|_| link.paper.is_empty()).map(|judged| judged.verdict.urgency),
        day: given.day,
        expires: clock::civil(link.expires),
        papers: given.files(&link).into_iter().map(paper).collect(),
    };
    let mut response = Html(pages::see_page(&ground).html).into_response();
    response.headers_mut().insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY));
    Ok(response)
}

async fn file_of(bench: &Bench, token: &str, file: &str) -> Result<Response, Failure> {
    let link = bench.link(token).await?;
    let given = bench.given(&link).await?;
    let document = given.file(&link, file).await?;
    bench.note_look(&link).await;
    Ok(answer(&document))
}

impl Bench {
    /// The link of a secret. That there was one once is nobody's business.
    async fn link(&self, token: &str) -> Result<Link, Failure> {
        let found = self.inner.store.link_by_token(token, store::now_ms()).await;
        found.map_err(|error| trouble(&error))?.ok_or_else(Failure::not_found)
    }
}

/// With the headers of everything that a link opens; what went wrong is said on a page that leads nowhere.
fn closed(answer: Result<Response, Failure>) -> Response {
    let mut response = answer.unwrap_or_else(|failure| {
        let failed = failure.into_response().status();
        let status = if failed == StatusCode::NOT_FOUND { failed } else { StatusCode::SERVICE_UNAVAILABLE };
        let mut page = said(status, Html(pages::unseen_page(status == StatusCode::NOT_FOUND).html));
        page.headers_mut().insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY));
        page
    });
    let headers = response.headers_mut();
    headers.insert(REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    headers.insert(HeaderName::from_static("x-robots-tag"), HeaderValue::from_static("noindex, nofollow"));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("private, no-store"));
    response
}

/// What a paper is.
fn about(kind: &str, file: &str) -> (String, &'static str) {
    let as_text =
        |title: &str| if file.ends_with(".txt") { format!("{title}, as text") } else { title.to_owned() };
    match kind {
        "letter" => (as_text("Letter to the owner"), "In plain words, with every choice."),
        "record" => (as_text("Technical record"), "Every fact and figure with its working."),
        _ => ("Drawing of a panel".to_owned(), "With the findings numbered as in the letter."),
    }
}
