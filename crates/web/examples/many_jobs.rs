//! Measures pages over many jobs: `many_jobs JOBS [postgres://…] [read] [short]`. Some invented jobs are stored and judged as usual,
//! and multiplied within the database with their summaries. With `read` the summaries are not multiplied: the program reads
//! all jobs itself, as at the first start after an update. With `short` nineteen jobs of twenty have only their first
//! eight facts, to save disk; those are not looked at. Without an address a SQLite file is used. A database
//! that is filled already is only measured.

use axum::body::{Body, to_bytes};
use axum::http::Request;
use model::Date;
use sqlx::{AssertSqlSafe, Connection, Executor};
use std::time::{Duration, Instant};
use store::{Options, Store};
use study::Settings;
use tower::ServiceExt;
use web::{Bench, Setup};

type Failed = Box<dyn std::error::Error>;

const EXAMPLE: &str = include_str!("../../../docs/worked-example/job.toml");
const DAY: Date = Date::constant(2026, 12, 1);
const ASKED: usize = 200;
/// Jobs that are stored and judged as usual.
const TEMPLATES: usize = 24;
const TOWNS: [&str; 6] = ["Quenmarsh", "Ashby Weir", "Thornlow", "Pell Harbour", "Oxmoor", "Sallow Green"];
/// What the example lacks so that what it opened counts.
const PROOF: &str = r#"[[proof]]
at = 2025-12-09T08:55
part = "main/lower"
tester = "tester 1"
live_before = 121.2
live_after = 121.3
volts = { "A-B" = 0, "A-neutral" = 0, "B-neutral" = 0.1, "A-ground" = 0, "B-ground" = 0, "neutral-ground" = 0 }
"#;

/// The templates, and the name of a copy.
const OF: &str = "job >= 'P-' AND job < 'P-~'";
const COPY: &str = "'T' || substr(job, 2) || '-' || i";

/// Jobs as they are copied: one statement a table, the same on both databases.
const COPIES: [(&str, &str); 4] = [
    ("jobs", "{copy}, revision, created - i * 3600000, changed - i * 3600000 - 600000, forgotten"),
    ("facts", "{copy}, fact, revision, received, entry, device, json"),
    ("receipts", "{copy}, entry, fingerprint, stored, revision, received"),
    ("summary_faced", "{copy}, {stamp}, revision, made_by, faced"),
];

/// Facts that are copied where disk is saved.
const SHORT: &str = "(i % 20 = 0 OR revision <= 8)";

/// The summaries as they are copied.
const SUMMARIES: [(&str, &str); 3] = [
    (
        "summaries",
        "{copy}, revision, changed - i * 3600000 - 600000, made_by, day, ahead, place, town, invented, \
         lower({copy} || ' ' || place || ' ' || town), (i + length(place)) % 6, judged, judged_day, judged_by",
    ),
    (
        "summary_notes",
        "{copy}, {stamp}, revision, changed - i * 3600000 - 600000, invented, \
         replace(notes, '\"job\":\"' || job || '\"', '\"job\":\"' || {copy} || '\"'), past",
    ),
    ("summary_due", "day, {copy}, line, due, (i + line) % 6"),
];

#[tokio::main]
async fn main() -> Result<(), Failed> {
    let mut words = std::env::args().skip(1);
    let n_jobs: usize = words.next().ok_or("how many jobs?")?.parse()?;
    let words: Vec<String> = words.collect();
    let reads = words.iter().any(|word| word == "read");
    let short = words.iter().any(|word| word == "short");
    let database = words.into_iter().find(|word| word.contains("://"));
    let folder = std::env::temp_dir().join(format!("panelwright-many-jobs-{}", std::process::id()));
    let options = Options { database: database.clone(), ..Options::default() };
    let store = Store::open_as(&folder, options.clone()).await?;
    if TEMPLATES < store.n_jobs().await? {
        println!("the jobs that are there are taken");
        store.close().await;
        return measure(&folder, options, (n_jobs / TEMPLATES).max(1)).await;
    }
    let n_facts = templates(&store).await?;
    // The program judges the templates as they were before their openings.
    let bench = Bench::new(store.clone(), setup())?;
    let browser = Browser::join(&bench).await?;
    let began = Instant::now();
    while browser.ask("/score").await?.2.contains("being judged") {
        tokio::time::sleep(Duration::from_millis(500)).await;
    }
    println!("{TEMPLATES} jobs, {n_facts} facts, stored and judged in {:.1?}", began.elapsed());
    bench.close();
    store.close().await;

    let began = Instant::now();
    let copies = (n_jobs / TEMPLATES).max(1);
    multiply(&folder, database.as_deref(), copies, !reads, short).await?;
    let n = (copies + 1) * TEMPLATES;
    let of = if short { "at most " } else { "" };
    println!("{n} jobs, {of}{} facts, written in {:.1?}", n_facts * (copies + 1), began.elapsed());

    if reads {
        let store = Store::open_as(&folder, options.clone()).await?;
        let bench = Bench::new(store.clone(), setup())?;
        let browser = Browser::join(&bench).await?;
        let began = Instant::now();
        let (time, ..) = browser.ask("/board").await?;
        println!("board at once, while all jobs are read for the first time: {time:.1?}");
        while browser.ask("/board").await?.2.contains("still being read") {
            tokio::time::sleep(Duration::from_secs(2)).await;
        }
        println!("every job read for the first time: {:.1?}", began.elapsed());
        bench.close();
        store.close().await;
    }

    measure(&folder, options, copies).await
}

/// Starts again and asks for pages.
async fn measure(folder: &std::path::Path, options: Options, copies: usize) -> Result<(), Failed> {
    let began = Instant::now();
    let store = Store::open_as(folder, options).await?;
    let opened = began.elapsed();
    let bench = Bench::new(store.clone(), setup())?;
    let browser = Browser::join(&bench).await?;
    println!("started again: opened in {opened:.1?}");
    let started = Instant::now();
    for path in ["/board", "/", "/questions", "/score"] {
        println!("first look at {path} after the start: {:.1?}", browser.ask(path).await?.0);
    }
    let mut longest = Duration::ZERO;
    loop {
        let (time, _, page) = browser.ask("/questions").await?;
        longest = longest.max(time);
        if !page.contains("not counted yet") {
            break;
        }
        tokio::time::sleep(Duration::from_millis(500)).await;
    }
    println!(
        "all jobs counted {:.1?} after the start; looks meanwhile {longest:.1?} at the longest",
        started.elapsed()
    );
    let next = browser.next("/board").await?;
    let more = browser.next("/").await?;
    let job = |at: usize| format!("/jobs/T-{:02}-{}", at % TEMPLATES, full(at, copies));
    let pages: [(&str, &dyn Fn(usize) -> String); 12] = [
        ("board", &|_| "/board".to_owned()),
        ("board, second page", &|_| next.clone()),
        ("jobs", &|_| "/".to_owned()),
        ("jobs, second page", &|_| more.clone()),
        ("board by urgency", &|_| "/board?by=urgency".to_owned()),
        ("jobs by urgency", &|_| "/?by=urgency".to_owned()),
        ("jobs of a town by urgency", &|at| {
            let town = TOWNS[at % TOWNS.len()].split(' ').next().unwrap_or_default();
            format!("/?find={town}&by=urgency")
        }),
        ("jobs of a town", &|at| {
            format!("/?find={}", TOWNS[at % TOWNS.len()].split(' ').next().unwrap_or_default())
        }),
        ("one job found by its name", &|at| {
            format!("/?find=t-{:02}-{}", at % TEMPLATES, 1 + (at * 7_919) % copies)
        }),
        ("one job", &job),
        ("questions", &|_| "/questions".to_owned()),
        ("predicted and found", &|_| "/score".to_owned()),
    ];
    for (name, path) in pages {
        let (mut times, mut length) = (Vec::new(), 0);
        for at in 0..ASKED {
            let (time, bytes, _) = browser.ask(&path(at)).await?;
            times.push(time);
            length = bytes;
        }
        times.sort();
        let of = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
        println!(
            "{name}: p50 {:.1?}, p99 {:.1?}, longest {:.1?}, {length} bytes",
            of(0.5),
            of(0.99),
            of(1.0)
        );
    }
    // A fact arrives: what is counted is counted again.
    for path in ["/questions", "/score"] {
        decide(&store, &format!("T-01-{}", full(path.len(), copies)), path).await?;
        let (time, _, page) = browser.ask(path).await?;
        let whole = if page.contains("not counted yet") { ", not whole" } else { "" };
        println!("{path} after a fact arrived: {time:.1?}{whole}");
    }
    println!("memory: {}", memory());
    println!("load: {}", std::fs::read_to_string("/proc/loadavg").unwrap_or_default().trim());
    bench.close();
    store.close().await;
    std::fs::remove_dir_all(folder)?;
    Ok(())
}

/// A copy with all facts of its template: with `short`, one in twenty.
fn full(at: usize, copies: usize) -> usize {
    let whole = copies / 20;
    if whole == 0 { 1 } else { 20 * (1 + (at * 7_919) % whole) }
}

/// Stores the templates: the worked example in other years, towns and streets.
async fn templates(store: &Store) -> Result<usize, Failed> {
    let (before, after) = EXAMPLE.split_once("[[opening]]").ok_or("it has openings")?;
    let mut n_facts = 0;
    for at in 0..TEMPLATES {
        let mut text = format!("{before}{PROOF}\n[[opening]]{after}");
        for year in [2026, 2025] {
            text = text.replace(&format!("{year}-"), &format!("{}-", year - at % 4));
        }
        text = text
            .replace("Quenmarsh", TOWNS[at % TOWNS.len()])
            .replace("9 Kiln Row", &format!("{} Kiln Row", at + 1));
        let facts = record::read_job("example", &text, DAY).facts;
        n_facts += facts.len();
        store.append(&format!("P-{at:02}"), "example", None, &facts).await?;
    }
    Ok(n_facts)
}

async fn decide(store: &Store, job: &str, id: &str) -> Result<(), Failed> {
    // Measured again, it is another fact.
    let id = format!("{}-{}", id.trim_start_matches('/'), store::now_ms());
    let line = format!(
        r#"{{"v":1,"id":"{id}","at":"2026-11-30T10:00:00","by":"JD","body":{{"kind":"decision","words":"not now","declined":true}}}}"#
    );
    let appended = store.append(job, &id, None, &[record::Fact::from_json(&line)?]).await?;
    assert_eq!(appended.new, 1);
    Ok(())
}

/// Copies the templates within the database.
async fn multiply(
    folder: &std::path::Path,
    database: Option<&str>,
    copies: usize,
    summaries: bool,
    short: bool,
) -> Result<(), Failed> {
    sqlx::any::install_default_drivers();
    let file = format!("sqlite:{}?mode=rw", folder.join("panelwright.sqlite").display());
    let mut connection = sqlx::AnyConnection::connect(database.unwrap_or(&file)).await?;
    let sql = |sql: String| AssertSqlSafe(sql);
    if database.is_some() {
        connection.execute("SET synchronous_commit = off").await?;
    } else {
        connection.execute("PRAGMA synchronous = OFF").await?;
    }
    // In parts, so that the log of the database does not hold all of it at once.
    const PART: usize = 100;
    for from in (1..=copies).step_by(PART) {
        let to = (from + PART - 1).min(copies);
        for (table, columns) in COPIES.iter().chain(SUMMARIES.iter().filter(|_| summaries)) {
            let stamp =
                format!("(SELECT MAX(stamp) FROM {table}) + i * 100 + CAST(substr(job, 3, 2) AS BIGINT)");
            let columns = columns.replace("{stamp}", &stamp).replace("{copy}", COPY);
            let which = if short && *table == "facts" { SHORT } else { "true" };
            let series = format!(
                "WITH RECURSIVE n(i) AS (SELECT CAST({from} AS BIGINT) UNION ALL SELECT i + 1 FROM n WHERE i < {to})"
            );
            let copy = format!(
                "INSERT INTO {table} {series} SELECT {columns} FROM {table}, n WHERE {OF} AND {which}"
            );
            (&mut connection).execute(sql(copy)).await?;
        }
    }
    if database.is_some() {
        connection.execute("VACUUM ANALYZE").await?;
    } else {
        connection.execute("ANALYZE").await?;
    }
    connection.close().await?;
    Ok(())
}

fn setup() -> Setup {
    Setup {
        settings: Settings::on(DAY),
        day: Some(DAY),
        names: vec!["bench.example".to_owned()],
        address: "http://bench.example".to_owned(),
        https: false,
        authority: None,
    }
}

/// Memory of this process, as the system counts it.
fn memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = |name: &str| status.lines().find(|line| line.starts_with(name)).unwrap_or_default().to_owned();
    format!("{}, {}", line("VmRSS"), line("VmHWM"))
}

/// A browser that asks for one page after the other.
struct Browser {
    router: axum::Router,
    token: String,
}

impl Browser {
    async fn join(bench: &Bench) -> Result<Browser, Failed> {
        let now = store::now_ms();
        let code = bench.store().invite(now, now + 60_000).await?.code;
        let token = bench.store().join(&code, "measuring", now, now + 36_000_000).await?.token;
        Ok(Browser { router: web::router(bench.clone()), token })
    }

    async fn ask(&self, path: &str) -> Result<(Duration, usize, String), Failed> {
        let request = Request::get(path).header("host", "bench.example");
        let request = request.header("cookie", format!("bench={}", self.token)).body(Body::empty())?;
        let began = Instant::now();
        let answer = self.router.clone().oneshot(request).await?;
        let status = answer.status();
        let body = to_bytes(answer.into_body(), usize::MAX).await?;
        let time = began.elapsed();
        if !status.is_success() {
            return Err(format!("{path}: {status}").into());
        }
        Ok((time, body.len(), String::from_utf8_lossy(&body).into_owned()))
    }

    /// Address of the page after the first one of a list.
    async fn next(&self, path: &str) -> Result<String, Failed> {
        let (.., html) = self.ask(path).await?;
        let before = html.split_once(">Next page<").ok_or("there is no second page")?.0;
        let address = before.rsplit_once("href=\"").ok_or("a link")?.1;
        Ok(address.trim_end_matches('"').replace("&amp;", "&"))
    }
}
