//! The code book over HTTP: its pages, the papers for a permit, and meter files that are read and not kept.

use crate::ground::{Ground, JOB};
use axum::http::StatusCode;

#[tokio::test]
async fn pages_and_papers_come_from_the_record() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    for (page, words) in [
        ("code", "Quenmarsh"),
        ("load", "Standard method"),
        ("sizes", "Service conductors, 100 A, copper"),
        ("asks", "Directory"),
        ("editions", "Asked differently"),
        ("meter", "Read a file"),
    ] {
        let answer = browser.get(&format!("/jobs/{JOB}/{page}")).await;
        assert_eq!(answer.status, StatusCode::OK, "{page}");
        assert!(answer.text().contains(words), "{page}: {}", answer.text());
    }
    let drawing = browser.get(&format!("/jobs/{JOB}/permit/one-line-q-0121.svg")).await;
    assert_eq!(drawing.status, StatusCode::OK, "{}", drawing.text());
    assert!(drawing.text().starts_with("<svg") && drawing.header("content-type").starts_with("image/svg"));
    for other in ["../one-line-q-0121.svg", "one-line.svg", "load-calculation-q-0121.docx"] {
        let answer = browser.get(&format!("/jobs/{JOB}/permit/{}", other.replace('/', "%2F"))).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{other}");
    }
}

#[tokio::test]
async fn an_appliance_is_entered_and_counts() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let load = || async { browser.get(&format!("/jobs/{JOB}/load")).await.text() };
    let before = load().await;
    let fields = [
        ("entry", "a-1"),
        ("what", "appliance"),
        ("name", "water heater"),
        ("rating", "4500 W"),
        ("wires", "leg-to-leg"),
        ("status", "existing"),
        ("at", "2025-11-30T10:00:00"),
    ];
    let answer = browser.post_script(&format!("/jobs/{JOB}/enter/appliance"), &fields).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    assert!(load().await != before, "the load has grown");
    let wrong = [("entry", "a-2"), ("what", "appliance"), ("name", "x"), ("rating", "4500")];
    let answer = browser.post_script(&format!("/jobs/{JOB}/enter/appliance"), &wrong).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text());
    assert!(answer.text().contains("19 A at 240 V"), "{}", answer.text());
}

fn csv() -> String {
    let mut text = "Start time,Usage (kWh)\n".to_owned();
    for day in 1..=28 {
        for month in ["01", "02"] {
            for hour in 0..24 {
                text.push_str(&format!("2025-{month}-{day:02} {hour:02}:00,1.5\n"));
            }
        }
    }
    text
}

#[tokio::test]
async fn a_meter_file_is_read_and_not_kept() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let before = ground.n_facts().await;
    let path = format!("/jobs/{JOB}/meter");
    let answer = browser.post_file(&path, &[], csv().as_bytes()).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    assert!(answer.text().contains("class=\"meter-chart\""), "{}", answer.text());
    for (file, why) in [
        (&b"%PDF-1.7 ..."[..], "ask the utility for interval data"),
        (b"<gas/>", "root element"),
        (b"\x89PNG\r\n\x1a\n\0\0", "no text"),
    ] {
        let answer = browser.post_file(&path, &[], file).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text());
        assert!(answer.text().contains(why), "{why}: {}", answer.text());
    }
    let answer = browser.post_file(&path, &[("csrf", "forged")], csv().as_bytes()).await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN, "{}", answer.text());
    assert_eq!(ground.n_facts().await, before, "nothing of it is stored");
}
