//! Counts and durations by route template, in the text format that monitors of the Prometheus kind read. For this
//! machine and whoever has the token, and for nobody else.

use super::health::free_bytes;
use super::log::{Event, log};
use crate::bench::Bench;
use crate::failure::Failure;
use crate::guard::{hash_hex, same};
use crate::members::{COOKIE_NAME, cookie};
use axum::extract::{ConnectInfo, MatchedPath, Request, State};
use axum::http::header::{AUTHORIZATION, CONTENT_TYPE};
use axum::http::{HeaderMap, Method};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::net::SocketAddr;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Mutex, OnceLock, PoisonError};
use std::time::Instant;

/// Upper ends of the classes of durations, seconds.
const CLASSES_S: [f64; 11] = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0];

/// What is counted.
#[derive(Default)]
pub(crate) struct Watch {
    routes: Mutex<BTreeMap<(&'static str, String), Durations>>,
    statuses: Mutex<BTreeMap<(&'static str, String, u16), u64>>,
    photo_bytes: AtomicU64,
    logs: AtomicBool,
    token: OnceLock<String>,
}

#[derive(Default)]
struct Durations {
    n: u64,
    sum_s: f64,
    /// Of each class alone.
    classes: [u64; CLASSES_S.len()],
}

impl Watch {
    /// Whether a line is written for each request, and the token that lets a monitor elsewhere in.
    pub(crate) fn set(&self, logs: bool, token: Option<String>) {
        self.logs.store(logs, Ordering::Relaxed);
        if let Some(token) = token.filter(|token| !token.is_empty()) {
            let _ = self.token.set(token);
        }
    }

    /// Bytes of photos that arrived by exchange.
    pub(crate) fn photo_bytes(&self, n: usize) {
        self.photo_bytes.fetch_add(n as u64, Ordering::Relaxed);
    }

    fn count(&self, method: &'static str, route: &str, status: u16, seconds: f64) {
        let mut routes = self.routes.lock().unwrap_or_else(PoisonError::into_inner);
        let durations = routes.entry((method, route.to_owned())).or_default();
        durations.n += 1;
        durations.sum_s += seconds;
        if let Some(class) = CLASSES_S.iter().position(|end| seconds <= *end) {
            durations.classes[class] += 1;
        }
        drop(routes);
        let mut statuses = self.statuses.lock().unwrap_or_else(PoisonError::into_inner);
        *statuses.entry((method, route.to_owned(), status)).or_default() += 1;
    }
}

/// Counts a request, and logs it where that is wanted. Outermost of the layers, so that it sees every answer.
pub(crate) async fn observe(State(bench): State<Bench>, request: Request, next: Next) -> Response {
    let began = Instant::now();
    let method = word(request.method());
    let route = template(&request);
    let device = device(request.headers());
    let response = next.run(request).await;
    let (status, took) = (response.status().as_u16(), began.elapsed());
    let watch = &bench.inner.watch;
    watch.count(method, &route, status, took.as_secs_f64());
    if watch.logs.load(Ordering::Relaxed) {
        log(&Event { method, route: &route, status, ms: took.as_millis(), device: device.as_deref() });
    }
    response
}

/// Methods by a fixed set of words: what a stranger makes up must not become a label.
fn word(method: &Method) -> &'static str {
    match method.as_str() {
        "GET" => "GET",
        "HEAD" => "HEAD",
        "POST" => "POST",
        _ => "other",
    }
}

/// The address without anything that names a job, a person or a place.
fn template(request: &Request) -> String {
    let Some(matched) = request.extensions().get::<MatchedPath>() else { return "none".to_owned() };
    let Some(start) = matched.as_str().strip_suffix("/{*rest}") else { return matched.as_str().to_owned() };
    // Which page of a job: the word after the job is one of our own where the address is a page at all.
    let path = request.uri().path();
    let page = pages::Route::of_path(path).and_then(|_| path.split('/').nth(3));
    let page = page.filter(|page| page.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-'));
    format!("{start}/{}", page.unwrap_or("none"))
}

/// A short hash of the secret of a device: it tells two apart and leads to neither.
fn device(headers: &HeaderMap) -> Option<String> {
    let token = cookie(headers, COOKIE_NAME)?;
    Some(hash_hex("panelwright log", token).chars().take(8).collect())
}

/// The counts.
pub(crate) async fn metrics(State(bench): State<Bench>, request: Request) -> Result<Response, Failure> {
    if !may_see(&bench, &request) {
        return Err(Failure::not_found());
    }
    let text = text(&bench);
    Ok(([(CONTENT_TYPE, "text/plain; version=0.0.4; charset=utf-8")], text).into_response())
}

/// From this machine itself, not through a proxy on it, or with the token.
fn may_see(bench: &Bench, request: &Request) -> bool {
    let headers = request.headers();
    let shown = headers.get(AUTHORIZATION).and_then(|shown| shown.to_str().ok());
    let shown = shown.and_then(|shown| shown.strip_prefix("Bearer "));
    if let (Some(token), Some(shown)) = (bench.inner.watch.token.get(), shown) {
        return same(token, shown);
    }
    is_here(request)
}

/// Does it come from this machine itself, not through a proxy on it?
pub(crate) fn is_here(request: &Request) -> bool {
    let headers = request.headers();
    let handed_on = ["forwarded", "x-forwarded-for", "via"].iter().any(|name| headers.contains_key(*name));
    let from = request.extensions().get::<ConnectInfo<SocketAddr>>();
    from.is_some_and(|ConnectInfo(from)| from.ip().to_canonical().is_loopback()) && !handed_on
}

fn text(bench: &Bench) -> String {
    let watch = &bench.inner.watch;
    let mut out = String::new();
    head(&mut out, "panelwright_build_info", "gauge", "The program.");
    line(&mut out, &format!("panelwright_build_info{{version=\"{}\"}} 1", env!("CARGO_PKG_VERSION")));

    head(&mut out, "panelwright_requests_total", "counter", "Requests by route template and status.");
    let statuses = watch.statuses.lock().unwrap_or_else(PoisonError::into_inner);
    for ((method, route, status), n) in &*statuses {
        let labels = format!("method=\"{method}\",route=\"{route}\",status=\"{status}\"");
        line(&mut out, &format!("panelwright_requests_total{{{labels}}} {n}"));
    }
    drop(statuses);

    head(&mut out, "panelwright_request_seconds", "histogram", "Time until the answer begins.");
    let routes = watch.routes.lock().unwrap_or_else(PoisonError::into_inner);
    for ((method, route), durations) in &*routes {
        let labels = format!("method=\"{method}\",route=\"{route}\",");
        histogram(&mut out, "panelwright_request_seconds", &labels, durations);
    }
    drop(routes);

    head(
        &mut out,
        "panelwright_store_commit_seconds",
        "histogram",
        "Time of a commit, until it is on the disk.",
    );
    let (n, sum_s, classes) = bench.inner.store.commit_times().up_to(&CLASSES_S);
    histogram(&mut out, "panelwright_store_commit_seconds", "", &Durations { n, sum_s, classes });

    let (running, waiting) = bench.inner.judge.queue();
    head(&mut out, "panelwright_judge_jobs", "gauge", "Jobs that are being judged, and that wait for it.");
    line(&mut out, &format!("panelwright_judge_jobs{{state=\"running\"}} {running}"));
    line(&mut out, &format!("panelwright_judge_jobs{{state=\"waiting\"}} {waiting}"));

    head(&mut out, "panelwright_exchange_photo_bytes_total", "counter", "Bytes of photos taken by exchange.");
    let bytes = watch.photo_bytes.load(Ordering::Relaxed);
    line(&mut out, &format!("panelwright_exchange_photo_bytes_total {bytes}"));

    if let Some(bytes) = free_bytes(bench.inner.store.folder()) {
        head(&mut out, "panelwright_disk_free_bytes", "gauge", "Room on the disk of the data folder.");
        line(&mut out, &format!("panelwright_disk_free_bytes {bytes}"));
    }
    out
}

fn head(out: &mut String, name: &str, kind: &str, help: &str) {
    line(out, &format!("# HELP {name} {help}"));
    line(out, &format!("# TYPE {name} {kind}"));
}

fn histogram(out: &mut String, name: &str, labels: &str, durations: &Durations) {
    let mut n = 0;
    for (end, of_class) in CLASSES_S.iter().zip(durations.classes) {
        n += of_class;
        line(out, &format!("{name}_bucket{{{labels}le=\"{end}\"}} {n}"));
    }
    line(out, &format!("{name}_bucket{{{labels}le=\"+Inf\"}} {}", durations.n));
    let only = labels.trim_end_matches(',');
    let only = if only.is_empty() { String::new() } else { format!("{{{only}}}") };
    line(out, &format!("{name}_sum{only} {}", durations.sum_s));
    line(out, &format!("{name}_count{only} {}", durations.n));
}

fn line(out: &mut String, text: &str) {
    // Writing into a text does not fail.
    let _ = writeln!(out, "{text}");
}
