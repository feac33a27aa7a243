//! Changes reach open pages at once, and only those who are in.

use crate::ground::{Ground, JOB, touch, touch_form};
use axum::body::BodyDataStream;
use axum::http::{Method, StatusCode};
use futures_util::StreamExt;
use serde_json::Value;
use std::time::{Duration, Instant};

/// The next event of a stream; `None` where it ended.
async fn next(stream: &mut BodyDataStream) -> Option<Value> {
    loop {
        let chunk = tokio::time::timeout(Duration::from_secs(60), stream.next()).await.expect("in time")?;
        let text = String::from_utf8(chunk.expect("a chunk").to_vec()).expect("text");
        if let Some(data) = text.lines().find_map(|line| line.strip_prefix("data: ")) {
            assert!(text.contains("event: change"), "{text}");
            return Some(serde_json::from_str(data).expect("JSON"));
        }
    }
}

async fn stream(ground: &Ground, browser: &crate::ground::Browser) -> BodyDataStream {
    let _ = ground;
    let request = browser.request(Method::GET, &format!("/jobs/{JOB}/live"), &[("accept-encoding", "gzip")]);
    let response = browser.open(request).await;
    assert_eq!(response.status(), StatusCode::OK);
    assert_eq!(response.headers()["content-type"], "text/event-stream");
    assert!(!response.headers().contains_key("content-encoding"), "a packed stream would arrive late");
    response.into_body().into_data_stream()
}

#[tokio::test]
async fn a_fact_of_the_phone_is_told_to_the_laptop_within_a_second_and_then_its_judgement() {
    let ground = Ground::new().await;
    let (laptop, phone) = (ground.joined("laptop").await, ground.joined("phone").await);
    let mut events = stream(&ground, &laptop).await;
    let start = next(&mut events).await.expect("it begins with where the job is");
    assert_eq!(start["revision"], ground.n_facts().await);
    let sent = Instant::now();
    let answer = phone.post_script(&touch_form(), &touch("e-1", "main/5", "warm")).await.json();
    let revision = answer["revision"].clone();
    let mut told = None;
    let mut judged = false;
    while !judged {
        let event = next(&mut events).await.expect("it goes on");
        if event["revision"] == revision {
            told.get_or_insert(sent.elapsed());
            judged = event["judged"] == true;
        }
    }
    let told = told.expect("it was told");
    assert!(told < Duration::from_secs(1), "{told:?}");
}

#[tokio::test]
async fn a_stream_ends_when_its_device_is_shut_out() {
    let ground = Ground::new().await;
    let (laptop, phone) = (ground.joined("laptop").await, ground.joined("phone").await);
    let (mut of_laptop, mut of_phone) = (stream(&ground, &laptop).await, stream(&ground, &phone).await);
    next(&mut of_phone).await.expect("it begins");
    let devices = ground.bench.store().devices().await.expect("the store answers");
    let id = &devices.iter().find(|device| device.name == "phone").expect("it joined").id;
    let act = [("csrf", laptop.csrf.as_str()), ("act", "revoke"), ("device", id)];
    assert_eq!(laptop.post("/devices", &act).await.status, StatusCode::SEE_OTHER);
    let since = Instant::now();
    while next(&mut of_phone).await.is_some() {}
    assert!(since.elapsed() < Duration::from_secs(1), "at once");
    let answer = phone.send(phone.request(
        Method::GET,
        &format!("/jobs/{JOB}/live"),
        &[("accept", "text/event-stream")],
    ));
    assert_eq!(answer.await.status, StatusCode::UNAUTHORIZED);
    next(&mut of_laptop).await.expect("the other goes on");
}

#[tokio::test]
async fn streams_end_when_the_bench_closes() {
    let ground = Ground::new().await;
    let mut events = stream(&ground, &ground.joined("laptop").await).await;
    ground.bench.close();
    let ended =
        tokio::time::timeout(Duration::from_secs(2), async { while next(&mut events).await.is_some() {} });
    ended.await.expect("it ends");
}
