//! Forms become facts, once.

use crate::ground::{Ground, JOB, touch, touch_form};
use axum::body::Body;
use axum::http::{Method, StatusCode};

#[tokio::test]
async fn an_entry_sent_twice_is_stored_once() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let before = ground.n_facts().await;
    let first = browser.post_script(&touch_form(), &touch("e-1", "main/5", "warm")).await;
    assert_eq!(first.status, StatusCode::OK, "{}", first.text());
    let (first, second) =
        (first.json(), browser.post_script(&touch_form(), &touch("e-1", "main/5", "warm")).await.json());
    assert_eq!((&first["already"], &second["already"]), (&false.into(), &true.into()));
    assert_eq!((&first["stored"], &second["stored"]), (&1.into(), &1.into()));
    assert_eq!(first["revision"], second["revision"]);
    assert!(first["go"].as_str().is_some_and(|go| go.starts_with("/jobs/Q-0121")), "{first}");
    assert_eq!(ground.n_facts().await, before + 1);
    let facts = ground.bench.store().facts(JOB).await.expect("the store answers");
    assert_eq!(facts.last().expect("one").by.as_deref(), Some("JD"), "the device's name is the author");
}

#[tokio::test]
async fn the_same_form_from_ten_at_once_is_stored_once() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let before = ground.n_facts().await;
    let sends = (0..10).map(|_| {
        let browser = browser.clone();
        tokio::spawn(async move {
            browser.post_script(&touch_form(), &touch("e-1", "main/5", "hot")).await.json()
        })
    });
    let mut fresh = 0;
    for send in sends.collect::<Vec<_>>() {
        fresh += i32::from(send.await.expect("it ran")["already"] == false);
    }
    assert_eq!((fresh, ground.n_facts().await), (1, before + 1));
}

#[tokio::test]
async fn going_back_and_changing_a_figure_is_another_entry() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let before = ground.n_facts().await;
    for feel in ["warm", "hot"] {
        let mut fields = touch("e-1", "main/5", feel);
        fields.push(("csrf", &browser.csrf));
        let answer = browser.post(&touch_form(), &fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
        assert!(answer.header("location").starts_with("/jobs/Q-0121"));
    }
    assert_eq!(ground.n_facts().await, before + 2, "the second is not lost for having the first one's name");
}

#[tokio::test]
async fn a_job_begun_twice_by_one_form_is_one_job() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let page = browser.get("/new").await.text();
    assert!(page.contains("name=\"entry\""), "{page}");
    let fields = [
        ("entry", "n-1"),
        ("at", "2025-11-30T10:00:00"),
        ("job", "T-9"),
        ("place", "1 Test Row"),
        ("town", "Nowhere"),
    ];
    let first = browser.post_script("/new", &fields).await;
    assert_eq!(first.status, StatusCode::OK, "{}", first.text());
    let second = browser.post_script("/new", &fields).await;
    assert_eq!(second.status, StatusCode::OK, "{}", second.text());
    assert_eq!(second.json()["already"], true);
    assert_eq!(ground.bench.store().jobs().await.expect("jobs").len(), 2);
}

#[tokio::test]
async fn a_form_with_a_mistake_comes_back_with_what_was_typed() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let before = ground.n_facts().await;
    let path = format!("/jobs/{JOB}/enter/clamp");
    let fields = [("entry", "e-1"), ("csrf", &browser.csrf), ("place", "main/5"), ("amps", "13.5 elephants")];
    let page = browser.post(&path, &fields).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let script = browser.post_script(&path, &fields).await;
    assert_eq!(script.status, StatusCode::UNPROCESSABLE_ENTITY);
    let errors = script.json();
    let errors = errors["errors"].as_array().expect("a list");
    assert!(
        !errors.is_empty() && errors.iter().all(|error| error["message"].as_str().is_some()),
        "{errors:?}"
    );
    assert_eq!(ground.n_facts().await, before);
    assert!(page.text().contains("13.5 elephants"), "what was typed is kept");
}

#[tokio::test]
async fn a_form_that_is_none_or_too_large_stores_nothing() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let before = ground.n_facts().await;
    let send = async |kind: &str, body: Vec<u8>| {
        let headers = [("content-type", kind), ("x-bench", "1"), ("x-csrf", browser.csrf.as_str())];
        browser.send(browser.request_with(Method::POST, &touch_form(), &headers, Body::from(body))).await
    };
    assert_eq!(send("text/plain", b"entry=e-1".to_vec()).await.status, StatusCode::UNSUPPORTED_MEDIA_TYPE);
    assert_eq!(send("application/json", b"{}".to_vec()).await.status, StatusCode::UNSUPPORTED_MEDIA_TYPE);
    let form = "application/x-www-form-urlencoded";
    let large = send(form, [b"entry=e-1&words=".to_vec(), vec![b'a'; 70_000]].concat()).await;
    assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(large.json()["errors"][0]["message"].as_str().is_some_and(|words| words.contains("64 kB")));
    assert_eq!(send(form, b"%ff=%fe&entry=e-1".to_vec()).await.status.as_u16() / 100, 4);
    let nameless = browser.post_script(&touch_form(), &[("place", "main/5"), ("feel", "warm")]).await;
    assert_eq!(nameless.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(ground.n_facts().await, before);
}

#[tokio::test]
async fn the_list_for_the_time_without_a_network_names_pages_that_are_there() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let list = browser.get("/offline.json").await.json();
    let pages: Vec<&str> =
        list["pages"].as_array().expect("a list").iter().filter_map(|page| page.as_str()).collect();
    assert!(20 < pages.len(), "{pages:?}");
    for page in pages
        .iter()
        .copied()
        .chain(list["assets"].as_array().expect("a list").iter().filter_map(|one| one.as_str()))
    {
        assert_eq!(browser.get(page).await.status, StatusCode::OK, "{page}");
    }
    assert!(list["version"].as_str().is_some_and(|version| 8 < version.len()));
}

#[tokio::test]
async fn the_light_is_kept_and_leads_back_only_to_our_own_pages() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let answer = browser.post("/light", &[("light", "glare"), ("back", "/jobs/Q-0121")]).await;
    assert_eq!(answer.header("location"), "/jobs/Q-0121");
    assert!(answer.header("set-cookie").starts_with("light=glare;"));
    let answer = browser.post("/light", &[("light", "x; evil"), ("back", "https://evil.example/")]).await;
    assert!(answer.header("location").starts_with('/') && !answer.header("location").starts_with("//"));
    assert!(answer.header("set-cookie").starts_with("light=auto;"));
}

#[tokio::test]
async fn a_full_disk_is_said_and_nothing_is_half_stored() {
    let ground = Ground::with(store::Options { max_pages: Some(60), ..store::Options::default() }).await;
    let browser = ground.joined("JD").await;
    let words = "w".repeat(3000);
    let path = format!("/jobs/{JOB}/enter/decision");
    let mut refused = None;
    for n in 0..200 {
        let before = ground.n_facts().await;
        let (entry, at) = (format!("e-{n}"), format!("2025-11-30T{:02}:{:02}:00", n / 60, n % 60));
        let fields = [("entry", entry.as_str()), ("at", &at), ("words", &words)];
        let answer = browser.post_script(&path, &fields).await;
        if answer.status == StatusCode::OK {
            assert_eq!(ground.n_facts().await, before + 1);
            continue;
        }
        assert_eq!(ground.n_facts().await, before);
        refused = Some(answer);
        break;
    }
    let refused = refused.expect("the quota was reached");
    assert_eq!(refused.status, StatusCode::INSUFFICIENT_STORAGE, "{}", refused.text());
    let said = refused.json()["errors"][0]["message"].as_str().expect("words").to_owned();
    assert!(said.contains("No room is left") && said.contains("Free some space"), "{said}");
    let fields =
        [("entry", "last"), ("csrf", &browser.csrf), ("at", "2025-11-30T10:00:00"), ("words", &words)];
    let page = browser.post(&path, &fields).await;
    assert!(page.status == StatusCode::INSUFFICIENT_STORAGE && page.text().contains("<h1>The disk is full"));
    assert_eq!(browser.get(&format!("/jobs/{JOB}")).await.status, StatusCode::OK, "it can still be read");
}
