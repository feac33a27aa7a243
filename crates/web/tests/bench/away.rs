//! A laptop that was away exchanges with the shop, over a line that breaks.

use crate::drops::PoorLine;
use crate::ground::{DAY, settings};
use image::codecs::jpeg::JpegEncoder;
use jiff::civil::date;
use pages::Role;
use record::Fact;
use record::fact::{DecisionMade, JobOpened, PhotoTaken, WorkDone, WorkKind};
use std::path::Path;
use std::time::{Duration, Instant};
use store::{Form, Store};
use web::{Config, Errand, Report, Served};

pub(crate) fn config(data: &Path) -> Config {
    Config {
        database: None,
        photos: None,
        data: data.to_owned(),
        host: std::net::IpAddr::from([127, 0, 0, 1]),
        port: 0,
        https: false,
        names: Vec::new(),
        settings: settings(),
        day: Some(DAY),
        watching: web::Watching::default(),
    }
}

pub(crate) fn opened(job: &str, place: &str) -> Fact {
    let body = JobOpened {
        job: job.to_owned(),
        invented: true,
        place: place.to_owned(),
        town: "Quenmarsh".to_owned(),
        owner: String::new(),
        opened: date(2025, 11, 3),
    };
    Fact::new(date(2025, 11, 3).at(8, 0, 0, 0), Some("JD".to_owned()), vec![], body.into())
}

pub(crate) fn decided(words: &str, supersedes: Vec<model::FactId>) -> Fact {
    let body = DecisionMade { words: words.to_owned(), declined: false };
    Fact::new(date(2025, 11, 4).at(9, 0, 0, 0), Some("JD".to_owned()), supersedes, body.into())
}

fn worked(words: &str) -> Fact {
    let body = WorkDone {
        kind_of_work: WorkKind::Lasting,
        words: words.to_owned(),
        slots: Vec::new(),
        moved_to: Vec::new(),
        expires: None,
        recheck: None,
    };
    Fact::new(date(2025, 11, 4).at(9, 0, 0, 0), Some("JD".to_owned()), vec![], body.into())
}

/// A picture of noise, so that it does not get small; another one for each seed.
pub(crate) fn picture(seed: u64, side: u32) -> Vec<u8> {
    let mut state = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    let picture = image::RgbImage::from_fn(side, side, |_, _| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        image::Rgb([(state >> 33) as u8, (state >> 41) as u8, (state >> 49) as u8])
    });
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 80).encode_image(&picture).expect("a picture");
    bytes
}

pub(crate) async fn put(store: &Store, job: &str, bytes: Vec<u8>) -> Fact {
    let sha256 = store.put_photo(job, "image/jpeg", bytes).await.expect("put").sha256;
    let body = PhotoTaken { sha256, words: "invented".to_owned(), slot: None };
    Fact::new(date(2025, 11, 4).at(10, 0, 0, 0), None, vec![], body.into())
}

pub(crate) async fn add(store: &Store, job: &str, entry: &str, facts: &[Fact]) {
    store.append(job, entry, None, facts).await.expect("stored");
}

pub(crate) fn errand(address: impl std::fmt::Display, code: Option<String>) -> Errand {
    Errand {
        shop: format!("http://{address}"),
        code,
        name: "laptop of JD".to_owned(),
        authority: None,
        jobs: Vec::new(),
        same: Vec::new(),
        every_job: false,
        patience: Duration::from_secs(60),
        by: Default::default(),
    }
}

async fn exchange(store: &Store, errand: &Errand) -> Report {
    web::exchange(store, errand, |_| {}).await.expect("exchanged")
}

async fn code(shop: &Served, role: Role) -> Option<String> {
    Some(shop.bench().invite_as(role).await.expect("an invitation").code)
}

/// Whatever arrived has the forms that pages show, too.
async fn has_all_forms(store: &Store) {
    for (job, _) in store.jobs_after("", 10_000).await.expect("read") {
        for line in store.photos(&job).await.expect("read") {
            assert_eq!(line.forms.len(), Form::ALL.len(), "{job}: {line:?}");
        }
    }
}

/// Everything that both should agree in.
async fn all(store: &Store) -> Vec<(String, Vec<String>, Vec<String>)> {
    let mut all = Vec::new();
    for (job, _) in store.jobs_after("", 10_000).await.expect("read") {
        let mut facts: Vec<String> =
            store.facts(&job).await.expect("read").iter().map(Fact::to_json).collect();
        facts.sort();
        let mut photos = Vec::new();
        for line in store.photos(&job).await.expect("read") {
            for form in &line.forms {
                store.photo(&job, &line.sha256, *form).await.expect("whole");
            }
            photos.push(line.sha256);
        }
        photos.sort();
        all.push((job, facts, photos));
    }
    all
}

/// The first question of an exchange, by the secret of a laptop that has joined, and nothing after it.
fn asks_only_for_the_jobs(shop: std::net::SocketAddr, folder: &Path) {
    use std::io::{Read, Write};
    let mut files = std::fs::read_dir(folder).expect("it is there").map(|entry| entry.expect("read").path());
    let joined = files.find(|path| path.to_string_lossy().contains("joined")).expect("it has joined");
    let joined = std::fs::read_to_string(joined).expect("read");
    let joined: serde_json::Value = serde_json::from_str(&joined).expect("JSON");
    let token = joined["token"].as_str().expect("a token");
    let mut line = std::net::TcpStream::connect(shop).expect("a line");
    write!(
        line,
        "GET /exchange/jobs HTTP/1.1\r\nhost: {shop}\r\ncookie: bench={token}\r\nconnection: close\r\n\r\n"
    )
    .expect("asked");
    let mut answer = String::new();
    line.read_to_string(&mut answer).expect("answered");
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn each_side_gets_what_it_lacks_and_contradictions_are_told() {
    let (here, there) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let laptop = Store::open(here.path()).await.expect("it opens");
    let shop = web::start(config(there.path())).await.expect("it is served");
    let at_shop = shop.bench().store().clone();
    let old = decided("ask the owner", vec![]);
    for store in [&laptop, &at_shop] {
        add(store, "Q-1", "e1", &[opened("Q-1", "14 Example Lane"), old.clone()]).await;
    }
    let photo = put(&laptop, "Q-1", picture(1, 60)).await;
    add(&laptop, "Q-1", "e2", &[photo, decided("leave it", vec![old.id().clone()])]).await;
    add(&at_shop, "Q-1", "e3", &[decided("replace it", vec![old.id().clone()])]).await;
    add(&laptop, "only here", "e1", &[opened("only here", "1 Example Lane")]).await;
    let photo = put(&at_shop, "only there", picture(2, 60)).await;
    add(&at_shop, "only there", "e1", &[opened("only there", "2 Example Lane"), photo]).await;
    // Two houses under one name.
    add(&laptop, "Q-2", "e1", &[opened("Q-2", "3 Example Lane")]).await;
    add(&at_shop, "Q-2", "e1", &[opened("Q-2", "4 Example Lane")]).await;

    let none = errand(shop.address(), None);
    let told = web::exchange(&laptop, &none, |_| {}).await.expect_err("it has not joined");
    assert!(matches!(told, web::ExchangeError::NotJoined { .. }), "{told}");
    let first = exchange(&laptop, &errand(shop.address(), code(&shop, Role::Electrician).await)).await;
    assert_eq!((first.n_facts_sent, first.n_facts_fetched), (3, 3), "{first:?}");
    assert_eq!((first.n_photos_sent, first.n_photos_fetched), (1, 1), "{first:?}");
    assert_eq!(first.other_jobs, ["Q-2"]);
    assert_eq!(at_shop.facts("Q-2").await.expect("read").len(), 1, "left as it is");
    let told = first.conflicts.iter().find(|one| one.why.contains("both correct"));
    assert!(told.is_some_and(|one| one.job == "Q-1" && one.other.is_some()), "{first:?}");

    // Both audit trails tell how much went each way, and by whom.
    let newest = async |store: &Store| store.audit(None, 1).await.expect("read").remove(0);
    let line = newest(&at_shop).await;
    let devices = at_shop.devices().await.expect("read");
    let device = devices.iter().find(|device| device.name == "laptop of JD").expect("it has joined");
    assert_eq!((line.act.as_str(), line.object.as_str()), ("exchanged", "3 3 1 1 ended"));
    assert_eq!(line.device, device.id);
    let line = newest(&laptop).await;
    assert_eq!((line.act.as_str(), line.object.as_str()), ("exchanged-with-shop", "3 3 1 1 ended"));

    // The secret is this machine's alone, and what is the same is not asked about again.
    let folder = here.path().join("exchange");
    for entry in std::fs::read_dir(&folder).expect("it is there") {
        use std::os::unix::fs::PermissionsExt;
        let entry = entry.expect("read");
        assert_eq!(entry.metadata().expect("read").permissions().mode() & 0o777, 0o600, "{entry:?}");
    }
    let again = exchange(&laptop, &none).await;
    assert_eq!((again.n_differed, again.n_facts_sent + again.n_facts_fetched), (1, 0), "{again:?}");
    let same = Errand { same: vec!["Q-2".to_owned()], ..none };
    let third = exchange(&laptop, &same).await;
    assert_eq!((third.n_facts_sent, third.n_facts_fetched), (1, 1), "{third:?}");
    assert!(!third.conflicts.is_empty(), "two openings of one job: {third:?}");
    assert_eq!(all(&laptop).await, all(&at_shop).await);
    let line = newest(&at_shop).await;
    assert_eq!((line.act.as_str(), line.object.as_str()), ("exchanged", "1 1 0 0 ended"));
    // One that begins and is not heard of again has broken off: that is noted at the latest when the program ends.
    asks_only_for_the_jobs(shop.address(), &folder);
    shop.stop().await;
    let at_shop = Store::open(there.path()).await.expect("it opens");
    let line = newest(&at_shop).await;
    assert_eq!((line.act.as_str(), line.object.as_str()), ("exchanged", "0 0 0 0 broke-off"));
    assert_eq!(line.device, device.id);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_a_role_may_not_record_is_refused_one_by_one_and_the_rest_goes_on() {
    let (here, there) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let laptop = Store::open(here.path()).await.expect("it opens");
    let shop = web::start(config(there.path())).await.expect("it is served");
    add(
        &laptop,
        "Q-1",
        "e1",
        &[opened("Q-1", "1 Example Lane"), worked("a new breaker"), decided("wait", vec![])],
    )
    .await;
    let report = exchange(&laptop, &errand(shop.address(), code(&shop, Role::Apprentice).await)).await;
    assert_eq!((report.n_facts_sent, report.not_taken.len()), (2, 1), "{report:?}");
    assert!(report.not_taken[0].what.starts_with("work-"), "{report:?}");
    let facts = shop.bench().store().facts("Q-1").await.expect("read");
    assert_eq!(facts.len(), 2);
    // A reader takes, and sends nothing.
    let reader = tempfile::tempdir().expect("a folder");
    let reads = Store::open(reader.path()).await.expect("it opens");
    add(&reads, "Q-9", "e1", &[opened("Q-9", "9 Example Lane")]).await;
    let report = exchange(&reads, &errand(shop.address(), code(&shop, Role::Reader).await)).await;
    assert_eq!(
        (report.n_facts_sent, report.n_facts_fetched, report.not_taken.len()),
        (0, 2, 1),
        "{report:?}"
    );
    assert!(shop.bench().store().revision("Q-9").await.expect("read").is_none());
    // Who is shut out is out.
    for device in shop.bench().store().devices().await.expect("read") {
        shop.bench().store().revoke(&device.id, 1).await.expect("out");
    }
    tokio::time::sleep(Duration::from_millis(200)).await;
    shop.stop().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn hostile_photos_are_refused_and_leave_nothing() {
    let (here, there) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let laptop = Store::open(here.path()).await.expect("it opens");
    let shop = web::start(config(there.path())).await.expect("it is served");
    add(&laptop, "Q-1", "e1", &[opened("Q-1", "1 Example Lane")]).await;
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>".to_vec();
    let polyglot = [picture(3, 40).as_slice(), b"<script>alert(1)</script>"].concat();
    for bytes in [svg, polyglot, b"PK\x03\x04 an invented archive".to_vec()] {
        laptop.put_photo("Q-1", "image/jpeg", bytes).await.expect("put");
    }
    let report = exchange(&laptop, &errand(shop.address(), code(&shop, Role::Electrician).await)).await;
    // A picture with something behind it is a picture: whatever is made of it is made from the picture alone.
    assert_eq!((report.n_photos_sent, report.not_taken.len()), (1, 2), "{report:?}");
    let lines = shop.bench().store().photos("Q-1").await.expect("read");
    assert_eq!(lines.len(), 1);
    let parts = std::fs::read_dir(there.path().join("exchange")).expect("it is there").count();
    assert_eq!(parts, 0, "no part is left");
    shop.stop().await;
}

/// Counts at the shop.
async fn photo_bytes(shop: &Served) -> u64 {
    let address = shop.address();
    let text = tokio::task::spawn_blocking(move || {
        use std::io::{Read, Write};
        let mut stream = std::net::TcpStream::connect(address).expect("it listens");
        stream
            .write_all(b"GET /metrics HTTP/1.1\r\nhost: localhost\r\nconnection: close\r\n\r\n")
            .expect("it is sent");
        let mut text = String::new();
        stream.read_to_string(&mut text).expect("text");
        text
    })
    .await
    .expect("no panic");
    let line = text.lines().find(|line| line.starts_with("panelwright_exchange_photo_bytes_total"));
    line.and_then(|line| line.split(' ').nth(1)?.parse().ok()).expect("it is counted")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_week_of_facts_and_photos_goes_over_a_line_that_drops() {
    let slow = std::env::var_os("RUN_SLOW").is_some();
    // As it was asked for, or about a tenth of it, cut often enough that photos are hit.
    let (n_facts, n_photos, side, every, rate) = match slow {
        true => (2_000, 300, 420, Duration::from_secs(20), 500_000),
        false => (200, 20, 120, Duration::from_millis(1_200), 50_000),
    };
    let (here, there) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let laptop = Store::open(here.path()).await.expect("it opens");
    let shop = web::start(config(there.path())).await.expect("it is served");
    let at_shop = shop.bench().store().clone();
    let n_jobs = 8;
    let mut length = 0;
    for job in 0..n_jobs {
        let name = format!("Q-{job}");
        let mut facts = vec![opened(&name, "an invented place")];
        for photo in (job..n_photos).step_by(n_jobs) {
            let bytes = picture(photo as u64, side);
            length += bytes.len() as u64;
            facts.push(put(&laptop, &name, bytes).await);
        }
        let more = n_facts / n_jobs - facts.len();
        facts.extend(
            (0..more)
                .map(|n| decided(&format!("{job}.{n}: {}", "as agreed with the owner ".repeat(6)), vec![])),
        );
        add(&laptop, &name, "week", &facts).await;
    }
    // The shop went on meanwhile.
    add(&at_shop, "Q-0", "e1", &[opened("Q-0", "an invented place"), decided("at the shop", vec![])]).await;
    let line = PoorLine::to(shop.address(), every, rate).await;
    let began = Instant::now();
    let report = exchange(&laptop, &errand(line.address, code(&shop, Role::Electrician).await)).await;
    let took = began.elapsed();
    // What was stored and its answer lost is found there at the next try, and counted as neither.
    assert!(0 < report.n_facts_sent && report.n_facts_sent < n_facts, "{report:?}");
    assert!(report.n_facts_fetched <= 1, "{report:?}");
    assert_eq!((report.n_photos_sent, report.not_taken.len()), (n_photos, 0), "{report:?}");
    assert_eq!(all(&laptop).await, all(&at_shop).await);
    has_all_forms(&at_shop).await;
    let tries = line.photos.lock().expect("not poisoned").clone();
    let most = tries.values().copied().max().unwrap_or_default();
    let twice = tries.values().filter(|n| 1 < **n).count();
    let arrived = photo_bytes(&shop).await;
    println!(
        "{n_facts} facts and {n_photos} photos ({length} bytes) in {:.1} s over {rate} bytes/s cut every {:.1} s: {} \
         cuts, {} connections lost; photos sent once {}, twice at most: {twice} (most tries {most}); photo bytes that \
         arrived {arrived}",
        took.as_secs_f64(),
        every.as_secs_f64(),
        line.n_cuts.load(std::sync::atomic::Ordering::Relaxed),
        report.n_cuts,
        tries.len() - twice,
    );
    assert_eq!(tries.len(), n_photos);
    assert!(most <= 2, "a photo went more than once and a retry: {tries:?}");
    assert!(0 < report.n_cuts, "the line broke");
    // Only the rest of a photo is sent again.
    assert!(
        length <= arrived && arrived <= length + report.n_cuts as u64 * 64 * 1024,
        "{arrived} of {length}"
    );
    shop.stop().await;
}
