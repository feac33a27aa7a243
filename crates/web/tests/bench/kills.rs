//! Two programs on one server, one of them killed at any moment while it is written to and while a laptop exchanges with
//! it: nothing is lost, nothing is there twice.

use crate::away::{add, config, decided, errand, opened, picture, put};
use sqlx::{AssertSqlSafe, Connection, Executor, PgConnection};
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};
use store::{Form, Store};
use web::{Config, Errand};

const SERVER: &str = "PANELWRIGHT_TEST_POSTGRES";
const FOLDER: &str = "PANELWRIGHT_TEST_KILLED_FOLDER";
const DATABASE: &str = "PANELWRIGHT_TEST_KILLED_DATABASE";
const PORT: &str = "PANELWRIGHT_TEST_KILLED_PORT";
const SHARED: &str = "shared";

/// The child's half: serves, and writes itself, until it is killed. It does nothing unless it was started by the other.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn child() {
    let (Ok(folder), Ok(database), Ok(port)) =
        (std::env::var(FOLDER), std::env::var(DATABASE), std::env::var(PORT))
    else {
        return;
    };
    let port: u16 = port.parse().expect("a port");
    let own = Config { database: Some(database), port, ..config(Path::new(&folder)) };
    let served = web::start(own).await.expect("it is served");
    println!("code {}", served.bench().invite().await.expect("an invitation").code);
    for n in 0.. {
        let fact = decided(&format!("child {} {n}", std::process::id()), vec![]);
        let entry = format!("c{}-{n}", std::process::id());
        served.bench().store().append(SHARED, &entry, None, &[fact]).await.expect("stored");
        println!("ack {entry}");
    }
}

struct Running {
    child: Child,
    code: String,
    told: Arc<Mutex<Vec<String>>>,
}

fn start(folder: &Path, database: &str, port: u16) -> Running {
    let mut child = Command::new(std::env::current_exe().expect("this test"))
        .args(["kills::child", "--exact", "--nocapture", "--test-threads=1"])
        .env(FOLDER, folder)
        .env(DATABASE, database)
        .env(PORT, port.to_string())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the child starts");
    let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    let code = lines
        .by_ref()
        .map_while(Result::ok)
        .find_map(|line| Some(line.split_once("code ")?.1.trim().to_owned()))
        .expect("the child serves");
    let told: Arc<Mutex<Vec<String>>> = Arc::default();
    let into = Arc::clone(&told);
    std::thread::spawn(move || {
        for line in lines.map_while(Result::ok) {
            if let Some(entry) = line.strip_prefix("ack ") {
                into.lock().expect("not poisoned").push(entry.to_owned());
            }
        }
    });
    Running { child, code, told }
}

impl Running {
    /// Entries that it acknowledged before it died.
    fn kill(mut self) -> Vec<String> {
        self.child.kill().expect("killed");
        self.child.wait().expect("gone");
        // What it told last is on its way.
        std::thread::sleep(Duration::from_millis(30));
        std::mem::take(&mut *self.told.lock().expect("not poisoned"))
    }
}

async fn sql(server: &str, statement: String) {
    let mut connection = PgConnection::connect(server).await.expect("the named server answers");
    connection.execute(AssertSqlSafe(statement)).await.expect("it does that");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn a_program_killed_during_writes_and_exchanges_loses_and_doubles_nothing() {
    let Ok(server) = std::env::var(SERVER) else {
        println!("left out: {SERVER} names no server");
        return;
    };
    let n_kills = if std::env::var_os("RUN_SLOW").is_some() { 100 } else { 5 };
    let schema = format!("k{}", std::process::id());
    sql(&server, format!("CREATE SCHEMA {schema}")).await;
    let join = if server.contains('?') { '&' } else { '?' };
    let database = format!("{server}{join}options=-csearch_path%3D{schema}");

    let (folder, away) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let survivor = Config { database: Some(database.clone()), ..config(folder.path()) };
    let survivor = web::start(survivor).await.expect("it is served");
    let shop = survivor.bench().store().clone();
    let laptop = Store::open(away.path()).await.expect("it opens");
    let port =
        std::net::TcpListener::bind("127.0.0.1:0").and_then(|free| free.local_addr()).expect("free").port();
    let address = format!("127.0.0.1:{port}");
    add(&shop, SHARED, "opened", &[opened(SHARED, "an invented place")]).await;

    let stop = Arc::new(AtomicBool::new(false));
    let began = Instant::now();
    let first = start(folder.path(), &database, port);
    // A code serves once, so it is used before anybody dies.
    let joined = web::exchange(&laptop, &errand(&address, Some(first.code.clone())), |_| {}).await;
    joined.expect("joined");
    // The laptop goes on exchanging: a job more each time.
    let (n_trips, n_cuts) = (Arc::new(AtomicUsize::new(0)), Arc::new(AtomicUsize::new(0)));
    let trips = {
        let (laptop, stop, address) = (laptop.clone(), Arc::clone(&stop), address.clone());
        let (n_trips, n_cuts) = (Arc::clone(&n_trips), Arc::clone(&n_cuts));
        tokio::spawn(async move {
            while !stop.load(Ordering::Relaxed) {
                let n = n_trips.load(Ordering::Relaxed);
                let job = format!("trip-{n}");
                let mut facts = vec![opened(&job, "an invented place")];
                facts
                    .extend((0..300).map(|at| decided(&format!("{n}.{at} {}", "words ".repeat(40)), vec![])));
                facts.push(put(&laptop, &job, picture(n as u64, 48)).await);
                add(&laptop, &job, "trip", &facts).await;
                // As patient as the command is.
                let errand = Errand { patience: Duration::from_secs(300), ..errand(&address, None) };
                let report = web::exchange(&laptop, &errand, |_| {}).await;
                let report = report.expect("exchanged, whoever dies meanwhile");
                assert!(report.not_taken.is_empty() && report.other_jobs.is_empty(), "{report:?}");
                n_cuts.fetch_add(report.n_cuts, Ordering::Relaxed);
                n_trips.fetch_add(1, Ordering::Relaxed);
            }
        })
    };
    let own = {
        let (shop, stop) = (shop.clone(), Arc::clone(&stop));
        tokio::spawn(async move {
            let mut n = 0;
            while !stop.load(Ordering::Relaxed) {
                let fact = decided(&format!("survivor {n}"), vec![]);
                shop.append(SHARED, &format!("s-{n}"), None, &[fact]).await.expect("stored");
                n += 1;
                tokio::time::sleep(Duration::from_millis(5)).await;
            }
            n
        })
    };
    let mut acknowledged: BTreeSet<String> = BTreeSet::new();
    let mut running = first;
    for kill in 0..n_kills {
        tokio::time::sleep(Duration::from_millis(150 + (kill * 97) % 400)).await;
        acknowledged.extend(tokio::task::spawn_blocking(move || running.kill()).await.expect("no panic"));
        let (folder, database) = (folder.path().to_owned(), database.clone());
        running =
            tokio::task::spawn_blocking(move || start(&folder, &database, port)).await.expect("no panic");
    }
    stop.store(true, Ordering::Relaxed);
    trips.await.expect("no panic");
    let n_own = own.await.expect("no panic");
    acknowledged.extend(running.kill());

    let stored = shop.stored_after(SHARED, 0).await.expect("read");
    let entries: Vec<&String> = stored.iter().map(|one| &one.entry).collect();
    let different: BTreeSet<&String> = entries.iter().copied().collect();
    assert_eq!(entries.len(), different.len(), "an entry is there twice");
    let own: Vec<String> = (0..n_own).map(|n| format!("s-{n}")).collect();
    for entry in acknowledged.iter().chain(&own) {
        assert!(different.contains(entry), "acknowledged entry {entry} is lost");
    }
    let mut n_facts = 0;
    for n in 0..n_trips.load(Ordering::Relaxed) {
        let job = format!("trip-{n}");
        let there = shop.stored_after(&job, 0).await.expect("read");
        let revisions: Vec<i64> = there.iter().map(|one| one.revision).collect();
        assert_eq!(revisions, (1..=302).collect::<Vec<i64>>(), "{job}: without a gap, nothing twice");
        let (here, there) = (laptop.job_names(&job).await, shop.job_names(&job).await);
        assert_eq!(here.expect("read"), there.expect("read"), "{job}");
        let photo = shop.photos(&job).await.expect("read").remove(0).sha256;
        shop.photo(&job, &photo, Form::Original).await.expect("whole");
        n_facts += 302;
    }
    println!(
        "{n_kills} kills in {:.0} s: {} exchanges of {n_facts} facts and as many photos completed over {} broken calls; {} \
         entries acknowledged by those killed and {n_own} by the survivor, {} stored; none lost, none twice",
        began.elapsed().as_secs_f64(),
        n_trips.load(Ordering::Relaxed),
        n_cuts.load(Ordering::Relaxed),
        acknowledged.len(),
        stored.len(),
    );
    assert!(0 < n_cuts.load(Ordering::Relaxed) && !acknowledged.is_empty());
    laptop.close().await;
    survivor.stop().await;
    sql(&server, format!("DROP SCHEMA {schema} CASCADE")).await;
}
