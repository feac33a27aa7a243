//! The exchange: two benches compare what they have, and each gets what it lacks. Facts are known by name and never
//! change, so that is a union of two sets, and may break off and go on at any place.
//!
//! The shop answers ([`routes`]); a laptop that was away asks ([`client`]). What goes over the line is in [`wire`].

pub(crate) mod client;
mod counted;
mod give;
pub(crate) mod page;
mod parts;
mod photo;
mod take;
mod wire;

pub(crate) use counted::{Counts, Exchanges};

use crate::bench::Bench;
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::StatusCode;
use axum::routing::{get, post};
use std::time::Duration;
use tower_http::timeout::TimeoutLayer;

/// Most bytes of facts that are sent at once: some seconds of a poor line.
pub(crate) const FACTS_MAX_BYTES: usize = 96 * 1024;

/// Most bytes of anything but a photo that the shop reads: one fact may be longer than [`FACTS_MAX_BYTES`] alone.
const BODY_MAX_BYTES: usize = 2 * 1024 * 1024;

/// Longest time for an answer.
const ANSWER: Duration = Duration::from_secs(90);

/// Longest time for a piece of a photo. What arrived until then is kept.
const PIECE: Duration = Duration::from_secs(600);

/// What the shop answers.
pub(crate) fn routes() -> Router<Bench> {
    let photos = Router::new()
        .route("/exchange/photo", get(photo::give).post(photo::take))
        .layer(TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, PIECE));
    Router::new()
        .route("/exchange", get(page::give).post(page::take))
        .route("/exchange/jobs", get(give::jobs))
        .route("/exchange/sums", post(give::sums))
        .route("/exchange/names", get(give::names))
        .route("/exchange/wanted", post(give::wanted))
        .route("/exchange/offset", get(photo::offset))
        .route("/exchange/facts", post(take::facts))
        .route("/exchange/done", post(counted::done))
        .layer(DefaultBodyLimit::max(BODY_MAX_BYTES))
        .layer(TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, ANSWER))
        .merge(photos)
}
