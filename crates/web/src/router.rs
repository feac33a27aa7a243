//! Addresses and the layers before them.

use crate::bench::Bench;
use crate::failure::{Failure, dress};
use crate::gate::gate;
use crate::meter::METER_MAX_BYTES;
use crate::sent::{FILE_MAX_BYTES, FILES_MAX, FORM_MAX_BYTES};
use crate::{
    assets, cards, entry, exchange, experience, export, guard, install, join, light, links, lists, live,
    meter, offer, offline, page, papers, people, permit, phone, photo, policy, prices, shop, watch,
};
use axum::Router;
use axum::extract::{DefaultBodyLimit, State};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use std::time::Duration;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::{RequestBodyTimeoutLayer, TimeoutLayer};

/// Longest time for an answer to a page or a form; a paper may wait for a judgement.
const ANSWER: Duration = Duration::from_secs(90);

/// Longest time for photos to arrive and be taken in.
const UPLOAD: Duration = Duration::from_secs(600);

/// Longest silence while a request arrives.
const SILENCE: Duration = Duration::from_secs(30);

/// The bench as a service.
pub fn router(bench: Bench) -> Router {
    let meters = Router::new()
        .route("/jobs/{job}/meter", get(page::give).post(meter::take))
        .layer(DefaultBodyLimit::max(METER_MAX_BYTES + FORM_MAX_BYTES));
    let prices = Router::new()
        .route("/prices", get(page::give).post(prices::take))
        .layer(DefaultBodyLimit::max(prices::SHOP_MAX_BYTES));
    let uploads = Router::new()
        .route("/jobs/{job}/photos", get(page::give).post(photo::take))
        .layer(DefaultBodyLimit::max(FILES_MAX * FILE_MAX_BYTES + FORM_MAX_BYTES))
        .merge(meters)
        .merge(prices)
        .layer(TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, UPLOAD));
    let mut rest = Router::new()
        .route("/", get(lists::jobs))
        .route("/new", get(page::give).post(entry::take))
        .route("/guide", get(page::give))
        .route("/board", get(lists::board))
        .route("/cards", get(page::give).post(cards::take))
        .route("/policy", get(page::give).post(policy::take))
        .route("/score", get(shop::score).post(experience::take))
        .route("/questions", get(shop::questions))
        .route("/questions.csv", get(shop::table))
        .route("/questions.parquet", get(shop::columns))
        .route("/prices/{file}", get(prices::give))
        .route("/board.ics", get(lists::calendar))
        .route("/join", get(page::give).post(join::join))
        .route("/devices", get(page::give).post(join::devices))
        .route("/signin", get(page::give).post(people::sign::sign_in))
        .route("/welcome", get(page::give).post(people::sign::welcome))
        .route("/me", get(people::own::give).post(people::own::take))
        .route("/people", get(people::list::give).post(people::list::take))
        .route("/audit", get(people::audit::give))
        .route("/jobs/{job}/links", get(links::give).post(links::take))
        .route("/see/{token}", get(links::see))
        .route("/see/{token}/{file}", get(links::paper))
        .route("/token", get(join::token))
        .route("/light", post(light::choose))
        .route("/health", get(watch::health))
        .route("/metrics", get(watch::metrics))
        .route("/authority.crt", get(authority))
        .route("/offline.json", get(offline::list))
        .route("/phone.json", get(phone::desk))
        .route("/jobs/{job}/facts.json", get(phone::facts))
        .route("/jobs/{job}/live", get(live::stream))
        .route("/jobs/{job}/photos/{photo}/{form}", get(photo::give))
        .route("/jobs/{job}/papers/{file}", get(papers::give))
        .route("/jobs/{job}/permit/{file}", get(permit::give))
        .route("/jobs/{job}/install/{file}", get(install::give))
        .route("/jobs/{job}/offer/{file}", get(offer::give))
        .route("/jobs/{job}/export", get(export::give))
        .route("/jobs/{job}", get(page::give))
        .route("/jobs/{job}/{*rest}", get(page::give).post(entry::take));
    for name in assets::names() {
        rest = rest.route(&format!("/{name}"), get(assets::give));
    }
    let rest = rest
        .layer(DefaultBodyLimit::max(FORM_MAX_BYTES))
        .layer(TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, ANSWER));
    rest.merge(uploads)
        .merge(exchange::routes())
        .fallback(|| async { Failure::not_found() })
        .layer(RequestBodyTimeoutLayer::new(SILENCE))
        .layer(from_fn_with_state(bench.clone(), gate))
        .layer(from_fn(dress))
        .layer(CompressionLayer::new())
        .layer(from_fn(guard::secure))
        .layer(from_fn_with_state(bench.clone(), watch::observe))
        .with_state(bench)
}

/// The certificate of the bench's own authority, for phones to install.
pub(crate) async fn authority(State(bench): State<Bench>) -> Result<Response, Failure> {
    let Some(certificate) = &bench.inner.setup.authority else { return Err(Failure::not_found()) };
    let headers = [
        (CONTENT_TYPE, "application/x-x509-ca-cert"),
        (CONTENT_DISPOSITION, "attachment; filename=\"panelwright-authority.crt\""),
    ];
    Ok((headers, certificate.clone()).into_response())
}
