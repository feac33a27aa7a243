//! What went wrong with a request, and how that is said: as a page to people, as JSON to our scripts.

use axum::extract::Request;
use axum::http::header::RETRY_AFTER;
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};
use pages::FieldError;
use serde_json::json;
use std::time::Duration;

/// A request that could not be served.
#[derive(Debug, Clone)]
pub(crate) struct Failure {
    status: StatusCode,
    title: &'static str,
    message: String,
    hint: String,
    field: &'static str,
    stale_token: bool,
    retry: Option<Duration>,
}

impl Failure {
    pub(crate) fn new(
        status: StatusCode,
        title: &'static str,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        let (message, hint) = (message.into(), hint.into());
        Failure { status, title, message, hint, field: "", stale_token: false, retry: None }
    }

    /// What happened, in a sentence.
    pub(crate) fn message(&self) -> &str {
        &self.message
    }

    pub(crate) fn not_found() -> Self {
        let message = "There is no page at this address.";
        Failure::new(StatusCode::NOT_FOUND, "Not found", message, "Start again from the list of jobs.")
    }

    pub(crate) fn no_job(job: &str) -> Self {
        let message = format!("There is no job {job} on this bench.");
        Failure::new(StatusCode::NOT_FOUND, "No such job", message, "Start again from the list of jobs.")
    }

    /// Nobody is signed in, or no longer.
    pub(crate) fn not_joined() -> Self {
        let message = "This device has not joined the bench, or was shut out.";
        let hint = "Ask for a code at the machine that serves the bench. What was entered here is kept on this device.";
        Failure::new(StatusCode::UNAUTHORIZED, "Join first", message, hint)
    }

    /// The role may not do that.
    pub(crate) fn not_for(role: pages::Role, need: pages::Need) -> Self {
        let message = match need {
            pages::Need::Qualified => {
                "This step needs a qualified person: parts are live, or are called dead by it."
            }
            pages::Need::Manage => "Devices and policy are for the office and the electrician.",
            _ => "This device may look, and enter nothing.",
        };
        let hint = format!("This device joined as {}. Nothing was stored.", role.word());
        Failure::new(StatusCode::FORBIDDEN, "Not for this role", message, hint)
    }

    /// The token of the form is missing or old.
    pub(crate) fn stale_token() -> Self {
        let message = "This form was made for another visit of this device; nothing was stored.";
        let hint = "Go back, reload the page, and send it again.";
        Failure { stale_token: true, ..Failure::new(StatusCode::FORBIDDEN, "Send it again", message, hint) }
    }

    /// It comes from elsewhere.
    pub(crate) fn foreign(message: &str) -> Self {
        let hint = "Open the bench by the address that the program prints when it starts.";
        Failure::new(StatusCode::FORBIDDEN, "Refused", message, hint)
    }

    pub(crate) fn too_many_tries(wait: Duration) -> Self {
        let seconds = wait.as_secs() + 1;
        let message = format!("Too many tries. The next one is possible in {seconds} seconds.");
        let hint = "Look at what you type meanwhile. A code is used once and lasts ten minutes; a new one is made on the page Devices.";
        let failure = Failure::new(StatusCode::TOO_MANY_REQUESTS, "Wait a little", message, hint);
        Failure { retry: Some(wait), ..failure }
    }

    pub(crate) fn busy() -> Self {
        let message = "Too much is being sent at once; nothing of this was stored.";
        let failure =
            Failure::new(StatusCode::SERVICE_UNAVAILABLE, "Busy", message, "Try again in a few seconds.");
        Failure { retry: Some(Duration::from_secs(3)), ..failure }
    }

    pub(crate) fn internal(message: impl Into<String>) -> Self {
        let hint = "Nothing of this request was stored. Try again; if it stays so, look at the terminal of the program.";
        Failure::new(StatusCode::INTERNAL_SERVER_ERROR, "This did not work", message, hint)
    }

    /// The field it is about.
    pub(crate) fn at(self, field: &'static str) -> Self {
        Failure { field, ..self }
    }

    /// Of an answer that some layer gave with nothing but a status.
    fn of_status(status: StatusCode) -> Self {
        match status {
            StatusCode::NOT_FOUND => Failure::not_found(),
            StatusCode::PAYLOAD_TOO_LARGE => {
                let message = "What was sent is too large; nothing of it was stored.";
                Failure::new(status, "Too large", message, "Forms take 64 kB, photos 25 MB each.")
            }
            StatusCode::REQUEST_TIMEOUT | StatusCode::SERVICE_UNAVAILABLE => Failure::busy(),
            StatusCode::METHOD_NOT_ALLOWED => Failure::new(
                status,
                "Not possible",
                "This page takes no entries.",
                "Open the form again from the job.",
            ),
            StatusCode::UNSUPPORTED_MEDIA_TYPE => {
                let message = "This was not sent as a form.";
                Failure::new(status, "Not a form", message, "Open the form again from the job.")
            }
            _ => {
                let message = status.canonical_reason().unwrap_or("The request cannot be served.");
                Failure::new(status, "This did not work", message, "Start again from the list of jobs.")
            }
        }
    }

    fn json(&self) -> String {
        let said = if self.hint.is_empty() {
            self.message.clone()
        } else {
            format!("{} {}", self.message, self.hint)
        };
        let mut answer = json!({ "errors": [{ "field": self.field, "message": said }] });
        if self.stale_token {
            answer["csrf"] = true.into();
        }
        answer.to_string()
    }
}

impl IntoResponse for Failure {
    /// Only the status and the failure itself: [`dress`] knows who asked and says it in words.
    fn into_response(self) -> Response {
        let mut response = self.status.into_response();
        response.extensions_mut().insert(self);
        response
    }
}

impl From<getrandom::Error> for Failure {
    fn from(_: getrandom::Error) -> Self {
        Failure::internal("The machine gives no random numbers.")
    }
}

/// Marks an answer that says itself what is wrong.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Said;

/// Does one of our scripts ask?
pub(crate) fn is_script(headers: &HeaderMap) -> bool {
    headers.contains_key("x-bench")
}

/// JSON of what is wrong with a form.
pub(crate) fn errors_json(errors: &[FieldError]) -> String {
    let errors: Vec<_> =
        errors.iter().map(|error| json!({ "field": error.field, "message": error.message })).collect();
    json!({ "errors": errors }).to_string()
}

/// Says every failure in words: a page, or JSON where a script asked.
pub(crate) async fn dress(request: Request, next: Next) -> Response {
    let script = is_script(request.headers());
    let response = next.run(request).await;
    let status = response.status();
    let said = response.extensions().get::<Said>().is_some();
    if !(status.is_client_error() || status.is_server_error()) || said {
        return response;
    }
    let failure =
        response.extensions().get::<Failure>().cloned().unwrap_or_else(|| Failure::of_status(status));
    let mut dressed = if script {
        (status, [("content-type", "application/json")], failure.json()).into_response()
    } else {
        let page = pages::failure_page(failure.title, &failure.message, &failure.hint);
        (status, Html(page.html)).into_response()
    };
    for name in ["allow", "connection", "set-cookie"] {
        if let Some(value) = response.headers().get(name) {
            dressed.headers_mut().insert(name, value.clone());
        }
    }
    if let Some(wait) = failure.retry {
        dressed.headers_mut().insert(RETRY_AFTER, HeaderValue::from(wait.as_secs() + 1));
    }
    dressed
}
