//! People: signing in and out, inviting, roles, and what was done by whom.

pub(crate) mod audit;
pub(crate) mod list;
pub(crate) mod own;
mod password;
pub(crate) mod sign;

pub(crate) use password::Passwords;

use crate::bench::Bench;
use crate::entry::said;
use crate::failure::{Failure, errors_json, is_script};
use crate::members::Member;
use axum::http::header::CONTENT_TYPE;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{Html, IntoResponse, Response};
use pages::{FieldError, Page, Refusal};
use store::{Act, Actor};

impl Member {
    /// As the audit trail names who did it.
    pub(crate) fn actor(&self) -> Actor<'_> {
        Actor { person: &self.person, device: &self.id }
    }
}

impl Bench {
    /// Notes what was done. The trail must not keep a person from leaving or looking, so a failure is told on the terminal.
    pub(crate) async fn note(&self, act: Act, by: Actor<'_>, object: &str) {
        if let Err(error) = self.inner.store.note(act, by, object, store::now_ms()).await {
            eprintln!("panelwright: {error}; {}", error.hint());
        }
    }
}

/// A mistake in one field.
pub(crate) fn wrong(field: &str, message: impl Into<String>) -> Refusal {
    Refusal { errors: vec![FieldError { field: field.to_owned(), message: message.into() }] }
}

/// A form of these pages again, with what is wrong: as a page, or to a script.
pub(crate) fn refused(headers: &HeaderMap, refusal: &Refusal, page: Page) -> Response {
    let status = StatusCode::UNPROCESSABLE_ENTITY;
    if is_script(headers) {
        return said(status, ([(CONTENT_TYPE, "application/json")], errors_json(&refusal.errors)));
    }
    said(status, ([("cache-control", "no-store")], Html(page.html)))
}

/// A page that no browser keeps.
pub(crate) fn unkept(page: Page) -> Response {
    ([("cache-control", "no-store")], Html(page.html)).into_response()
}

/// Neither of the acts of a page.
pub(crate) fn no_act() -> Failure {
    let hint = "Open the page again.";
    Failure::new(StatusCode::UNPROCESSABLE_ENTITY, "Not possible", "This form says nothing to do.", hint)
}
