//! Measures pages over many jobs: `many_jobs JOBS [postgres://…]`. Every job is a copy of an invented case of the demo.

use axum::body::{Body, to_bytes};
use axum::http::Request;
use model::Date;
use std::time::{Duration, Instant};
use store::{Options, Store};
use study::Settings;
use tower::ServiceExt;
use web::{Bench, Setup};

const CASE: &str = include_str!("../../../cases/2-overload.toml");
const DAY: Date = Date::constant(2025, 12, 1);
const ASKED: usize = 100;
const WRITERS: usize = 32;

#[tokio::main]
async fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut words = std::env::args().skip(1);
    let n_jobs: usize = words.next().ok_or("how many jobs?")?.parse()?;
    let folder = std::env::temp_dir().join(format!("panelwright-many-jobs-{}", std::process::id()));
    let database = words.next();
    let store = Store::open_as(&folder, Options { database, ..Options::default() }).await?;
    let facts = record::read_job("case", CASE, DAY).facts;
    let began = Instant::now();
    let mut tasks = Vec::new();
    for lane in 0..WRITERS {
        let (store, facts) = (store.clone(), facts.clone());
        tasks.push(tokio::spawn(async move {
            for at in (lane..n_jobs).step_by(WRITERS) {
                store.append(&format!("J-{at}"), "case", None, &facts).await?;
            }
            Ok::<(), store::Error>(())
        }));
    }
    for task in tasks {
        task.await??;
    }
    println!("{n_jobs} jobs, {} facts: stored in {:.1?}", n_jobs * facts.len(), began.elapsed());

    let setup = Setup {
        settings: Settings::on(DAY),
        day: Some(DAY),
        names: vec!["bench.example".to_owned()],
        address: "http://bench.example".to_owned(),
        https: false,
        authority: None,
    };
    let bench = Bench::new(store.clone(), setup)?;
    let router = web::router(bench.clone());
    let now = store::now_ms();
    let code = store.invite(now, now + 60_000).await?.code;
    let joined = store.join(&code, "measuring", now, now + 3_600_000).await?;
    let ask = async |path: &str| -> Result<(Duration, usize), Box<dyn std::error::Error>> {
        let request = Request::get(path).header("host", "bench.example");
        let request = request.header("cookie", format!("bench={}", joined.token)).body(Body::empty())?;
        let began = Instant::now();
        let answer = router.clone().oneshot(request).await?;
        let status = answer.status();
        let length = to_bytes(answer.into_body(), usize::MAX).await?.len();
        if !status.is_success() {
            return Err(format!("{path}: {status}").into());
        }
        Ok((began.elapsed(), length))
    };
    println!("first look at the board, every job folded: {:.1?}", ask("/board").await?.0);
    for path in ["/board", "/", "/jobs/J-*", "/questions", "/score"] {
        let (mut times, mut length) = (Vec::new(), 0);
        for at in 0..ASKED {
            let job = (at * 7_919) % n_jobs;
            let (time, bytes) = ask(&path.replace('*', &job.to_string())).await?;
            times.push(time);
            length = bytes;
        }
        times.sort();
        let of = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
        println!("{path}: p50 {:.1?}, p99 {:.1?}, {length} bytes, {ASKED} times", of(0.5), of(0.99));
    }
    bench.close();
    store.close().await;
    std::fs::remove_dir_all(&folder)?;
    Ok(())
}
