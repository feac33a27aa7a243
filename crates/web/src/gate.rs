//! The gate: every request passes here. Wrong names, foreign origins and devices that have not joined stop.

use crate::bench::Bench;
use crate::failure::{Failure, is_script};
use crate::guard::foreign;
use crate::rights::need_of;
use axum::extract::{Request, State};
use axum::http::Method;
use axum::http::header::HOST;
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use pages::Need;

/// Lets a request through with its [`Member`](crate::members::Member), or answers it.
pub(crate) async fn gate(State(bench): State<Bench>, mut request: Request, next: Next) -> Response {
    match admit(&bench, &mut request).await {
        Ok(()) => next.run(request).await,
        Err(Stop::Failure(failure)) => failure.into_response(),
        Err(Stop::Join) => Redirect::to("/join").into_response(),
    }
}

enum Stop {
    Failure(Failure),
    Join,
}

impl From<Failure> for Stop {
    fn from(failure: Failure) -> Self {
        Stop::Failure(failure)
    }
}

async fn admit(bench: &Bench, request: &mut Request) -> Result<(), Stop> {
    let host = host_of(request).filter(|host| bench.inner.hosts.knows(host)).map(str::to_owned);
    let Some(host) = host else {
        return Err(Failure::foreign("The bench does not answer to this name.").into());
    };
    let changes = !matches!(*request.method(), Method::GET | Method::HEAD);
    if changes && foreign(request.headers(), &host, bench.inner.setup.https) {
        return Err(Failure::foreign("This form was not sent from a page of the bench.").into());
    }
    // An address that states no need is given to nobody.
    let need = need_of(request).ok_or_else(Failure::not_found)?;
    let member = bench.member(request.headers()).await?;
    match member {
        Some(member) if member.role.may(need) => {
            request.extensions_mut().insert(member);
            Ok(())
        }
        Some(member) => Err(Failure::not_for(member.role, need).into()),
        None if need == Need::Open => Ok(()),
        None if !changes && wants_page(request) => Err(Stop::Join),
        None => Err(Failure::not_joined().into()),
    }
}

/// The name that was asked for: of the address in HTTP/2, of the header before.
pub(crate) fn host_of(request: &Request) -> Option<&str> {
    match request.uri().authority() {
        Some(authority) => Some(authority.as_str()),
        None => request.headers().get(HOST)?.to_str().ok(),
    }
}

/// Does a person look, who can be led to the page where one joins? A script must hear that it is not let in: its
/// pages and what they keep go then.
fn wants_page(request: &Request) -> bool {
    let headers = request.headers();
    let by_person = match headers.get("sec-fetch-mode") {
        Some(mode) => mode == "navigate",
        None => headers
            .get("accept")
            .is_none_or(|accept| accept.to_str().is_ok_and(|kinds| kinds.contains("html"))),
    };
    by_person && !is_script(headers) && !headers.contains_key("x-live") && !headers.contains_key("x-keep")
}
