//! The second port under HTTPS: what a phone needs before it trusts the certificate, and the way to the bench.

use crate::bench::Bench;
use crate::failure::{Failure, dress};
use crate::gate::host_of;
use crate::{assets, guard, page, router};
use axum::Router;
use axum::extract::{Request, State};
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;

/// Only guide and certificate; everything else leads to the bench on its own port. Nothing here knows a device.
pub(crate) fn plain_router(bench: Bench, port: u16) -> Router {
    let mut routes =
        Router::new().route("/guide", get(page::give)).route("/authority.crt", get(router::authority));
    for name in assets::names().filter(|name| *name != "sw.js") {
        routes = routes.route(&format!("/{name}"), get(assets::give));
    }
    routes
        .fallback(move |request: Request| async move { onward(&request, port) })
        .layer(from_fn_with_state(bench.clone(), known_host))
        .layer(from_fn(dress))
        .layer(from_fn(guard::secure))
        .with_state(bench)
}

async fn known_host(State(bench): State<Bench>, request: Request, next: Next) -> Response {
    if host_of(&request).is_some_and(|host| bench.inner.hosts.knows(host)) {
        return next.run(request).await;
    }
    Failure::foreign("The bench does not answer to this name.").into_response()
}

fn onward(request: &Request, port: u16) -> Response {
    let host = host_of(request).unwrap_or("localhost");
    let name = guard::without_port(host);
    let path = request.uri().path_and_query().map_or("/", |path| path.as_str());
    Redirect::temporary(&format!("https://{name}:{port}{path}")).into_response()
}
