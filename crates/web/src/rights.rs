//! What every address needs: pages say it themselves, all others stand in a table. An address that says nothing is
//! given to nobody.

use crate::assets;
use axum::extract::{MatchedPath, Request};
use axum::http::Method;
use pages::{Need, Route};

/// Addresses that are no pages, as the router has them: what looking at them needs, and what sending to them.
pub(crate) const OTHERS: &[(&str, Need, Need)] = &[
    ("/token", Need::Look, Need::Look),
    ("/light", Need::Open, Need::Open),
    ("/health", Need::Open, Need::Open),
    // Only to this machine or with a token: the page itself looks.
    ("/metrics", Need::Open, Need::Open),
    ("/exchange/jobs", Need::Look, Need::Look),
    ("/exchange/sums", Need::Look, Need::Look),
    ("/exchange/names", Need::Look, Need::Look),
    ("/exchange/wanted", Need::Look, Need::Look),
    ("/exchange/offset", Need::Look, Need::Look),
    ("/exchange/photo", Need::Look, Need::Record),
    ("/exchange/facts", Need::Record, Need::Record),
    ("/exchange/done", Need::Look, Need::Look),
    ("/authority.crt", Need::Open, Need::Open),
    ("/board.ics", Need::Look, Need::Look),
    ("/questions.csv", Need::Look, Need::Look),
    ("/questions.parquet", Need::Look, Need::Look),
    ("/offline.json", Need::Look, Need::Look),
    ("/phone.json", Need::Look, Need::Look),
    ("/jobs/{job}/facts.json", Need::Look, Need::Look),
    ("/jobs/{job}/live", Need::Look, Need::Look),
    ("/jobs/{job}/photos/{photo}/{form}", Need::Look, Need::Look),
    ("/jobs/{job}/papers/{file}", Need::Look, Need::Look),
    ("/jobs/{job}/permit/{file}", Need::Look, Need::Look),
    ("/jobs/{job}/install/{file}", Need::Look, Need::Look),
    ("/jobs/{job}/export", Need::Look, Need::Look),
    ("/jobs/{job}/offer/{file}", Need::Look, Need::Look),
    ("/prices/{file}", Need::Look, Need::Look),
    // The secret in the address is what is needed; it opens its papers and nothing else.
    ("/see/{token}", Need::Open, Need::Open),
    ("/see/{token}/{file}", Need::Open, Need::Open),
];

/// What a request needs; `None` where nothing is stated.
pub(crate) fn need_of(request: &Request) -> Option<Need> {
    let sends = !matches!(*request.method(), Method::GET | Method::HEAD);
    let path = request.uri().path();
    // Nothing is there: who has joined is told so.
    let Some(matched) = request.extensions().get::<MatchedPath>() else { return Some(Need::Look) };
    if assets::names().any(|name| path.strip_prefix('/') == Some(name)) {
        return Some(Need::Open);
    }
    if let Some((_, look, send)) = OTHERS.iter().find(|(other, ..)| *other == matched.as_str()) {
        return Some(if sends { *send } else { *look });
    }
    match Route::of_path(path) {
        Some(route) => Some(route.need(sends)),
        // The rest below a job that is no page: there is nothing to give.
        None if matched.as_str().contains("{*") => Some(Need::Look),
        None => None,
    }
}
