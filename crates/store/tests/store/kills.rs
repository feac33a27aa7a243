//! The writer killed at any moment: what it acknowledged is there, and no entry is there in part.

use crate::data::{decided, run};
use record::Fact;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use store::{Form, Options, Store, sha256};

const N_KILLS: usize = 200;
/// The folder begins afresh after so many kills, so that it stays small and its beginning is hit too.
const KILLS_A_FOLDER: usize = 20;
const N_TASKS: usize = 6;
const FOLDER: &str = "PANELWRIGHT_TEST_CHILD_FOLDER";
const JOB: &str = "PANELWRIGHT_TEST_CHILD_JOB";
const DATABASE: &str = "PANELWRIGHT_TEST_CHILD_DATABASE";
/// Longest life of a child after it was started, milliseconds; opening takes a part of it.
const LIFE_MS: u64 = 220;

pub(crate) fn entry(task: usize, n: usize) -> Vec<Fact> {
    (0..=n % 3).map(|part| decided(&format!("{task}.{n}.{part}"), part as i8)).collect()
}

fn photo(task: usize, n: usize) -> Vec<u8> {
    format!("photo {task}.{n} ").repeat(500).into_bytes()
}

/// The child's half: appends until it is killed, and tells what was acknowledged. It does nothing unless it was
/// started by the other half.
#[test]
fn child() {
    let (Ok(folder), Ok(job)) = (std::env::var(FOLDER), std::env::var(JOB)) else { return };
    run(async {
        let options = Options { database: std::env::var(DATABASE).ok(), ..Options::default() };
        let store = Store::open_as(folder, options).await.expect("it opens");
        let mut tasks = Vec::new();
        for task in 0..N_TASKS {
            let (store, job) = (store.clone(), job.clone());
            tasks.push(tokio::spawn(async move {
                for n in 0..3_000 {
                    store.append(&job, &format!("{task}.{n}"), None, &entry(task, n)).await.expect("stored");
                    println!("ack {task} {n}");
                    if n % 20 == task {
                        store.put_photo(&job, "image/jpeg", photo(task, n)).await.expect("stored");
                        println!("photo {task} {n}");
                    }
                }
            }));
        }
        for task in tasks {
            task.await.expect("no panic");
        }
    });
}

/// What a child told before it died: entries and photos. A line that it did not finish counts for nothing.
#[derive(Default)]
pub(crate) struct Told {
    pub(crate) entries: BTreeSet<(usize, usize)>,
    photos: BTreeSet<(usize, usize)>,
}

pub(crate) fn live_and_die(folder: &Path, database: Option<&str>, job: &str, life: Duration) -> Told {
    let mut command = Command::new(std::env::current_exe().expect("this test"));
    if let Some(database) = database {
        command.env(DATABASE, database);
    }
    let mut child = command
        .args(["kills::child", "--exact", "--nocapture", "--test-threads=1"])
        .env(FOLDER, folder)
        .env(JOB, job)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the child starts");
    std::thread::sleep(life);
    let alive = child.try_wait().expect("asked").is_none();
    child.kill().expect("killed");
    let (mut text, mut complaints) = (String::new(), String::new());
    child.stdout.take().expect("piped").read_to_string(&mut text).expect("text");
    child.stderr.take().expect("piped").read_to_string(&mut complaints).expect("text");
    child.wait().expect("gone");
    assert!(alive, "the child died by itself: {complaints}{text}");
    let whole = text.rfind('\n').map_or("", |end| &text[..end]);
    let mut told = Told::default();
    for line in whole.lines() {
        let mut words = line.split(' ');
        let word = words.next();
        let mut number = || words.next().and_then(|word| word.parse::<usize>().ok());
        if let (Some(task), Some(n)) = (number(), number()) {
            match word {
                Some("ack") => told.entries.insert((task, n)),
                Some("photo") => told.photos.insert((task, n)),
                _ => false,
            };
        }
    }
    told
}

/// Opens a folder that was let go. A program that another test is just starting holds every lock of this one until it is
/// under way, so it is tried for a second.
async fn opened(folder: &Path) -> Store {
    let mut tried = Store::open(folder).await;
    for _ in 0..50 {
        if !matches!(tried, Err(store::Error::Locked { .. })) {
            break;
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
        tried = Store::open(folder).await;
    }
    tried.expect("the folder opens, and its database is whole")
}

/// Opening checks the integrity of the file. Returns how many entries are there.
async fn survived(folder: &Path, job: &str, told: &Told) -> usize {
    let store = opened(folder).await;
    let mut entries: BTreeMap<String, Vec<Fact>> = BTreeMap::new();
    for stored in store.stored_after(job, 0).await.expect("read") {
        entries.entry(stored.entry).or_default().push(stored.fact);
    }
    for (task, n) in &told.entries {
        assert!(entries.contains_key(&format!("{task}.{n}")), "{job}: acknowledged entry {task}.{n} is lost");
    }
    for (name, facts) in &entries {
        let (task, n) = name.split_once('.').expect("as named above");
        let wanted = entry(task.parse().expect("a number"), n.parse().expect("a number"));
        assert_eq!(*facts, wanted, "{job}: entry {name} is there in part");
    }
    for (task, n) in &told.photos {
        let bytes = photo(*task, *n);
        let there = store.photo(job, &sha256(&bytes), Form::Original).await.expect("acknowledged photo");
        assert_eq!(there.bytes, bytes);
    }
    for line in store.photos(job).await.expect("read") {
        store.photo(job, &line.sha256, Form::Original).await.expect("a photo that the job knows is whole");
    }
    if let Some((task, n)) = told.entries.last() {
        let again = store.append(job, &format!("{task}.{n}"), None, &entry(*task, *n)).await.expect("known");
        assert!(again.already, "{job}: the receipt of {task}.{n} is lost");
    }
    store.close().await;
    entries.len()
}

#[test]
fn two_hundred_kills_lose_nothing_acknowledged() {
    let started = Instant::now();
    // Seeded: a linear congruential generator, full period (Knuth, MMIX), upper bits used.
    let mut seed: u64 = 2026;
    let mut chance = move |below: u64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) % below
    };
    let mut folder = tempfile::tempdir().expect("a folder");
    let mut jobs: Vec<(String, Told)> = Vec::new();
    let (mut n_told, mut n_photos, mut n_stored, mut n_in_opening) = (0, 0, 0, 0);
    for kill in 0..N_KILLS {
        if kill % KILLS_A_FOLDER == 0 {
            folder = tempfile::tempdir().expect("a folder");
            jobs.clear();
        }
        let job = format!("job-{kill}");
        let told = live_and_die(folder.path(), None, &job, Duration::from_millis(chance(LIFE_MS)));
        n_told += told.entries.len();
        n_photos += told.photos.len();
        n_in_opening += usize::from(told.entries.is_empty());
        n_stored += run(survived(folder.path(), &job, &told));
        jobs.push((job, told));
        if (kill + 1) % KILLS_A_FOLDER == 0 {
            for (job, told) in &jobs {
                run(survived(folder.path(), job, told));
            }
        }
    }
    println!(
        "{N_KILLS} kills in {:.0} s, {n_in_opening} of them before the first acknowledgement: {n_told} entries \
         and {n_photos} photos acknowledged, {n_stored} entries stored, none lost, none in part",
        started.elapsed().as_secs_f64()
    );
    assert!(N_KILLS / 4 < N_KILLS - n_in_opening, "most kills hit a child that was writing");
    assert!(N_KILLS < n_told, "the children wrote");
}
