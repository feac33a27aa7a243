//! What is told to those who watch over the program: who may see it, and that it names nobody.

use crate::ground::{Ground, JOB, touch, touch_form};
use axum::extract::ConnectInfo;
use axum::http::{Method, StatusCode};
use std::net::SocketAddr;

#[tokio::test]
async fn counts_are_for_this_machine_or_for_the_token() {
    let ground = Ground::new().await;
    let browser = ground.joined("phone of JD").await;
    browser.get(&format!("/jobs/{JOB}")).await;
    browser.get(&format!("/jobs/{JOB}/verdict")).await;
    let entered = browser.post_script(&touch_form(), &touch("e-1", "main/5", "warm")).await;
    assert_eq!(entered.status, StatusCode::OK);
    let from = |address: &str, more: &[(&str, &str)]| {
        let mut request = browser.request(Method::GET, "/metrics", more);
        let address: SocketAddr = address.parse().expect("an address");
        request.extensions_mut().insert(ConnectInfo(address));
        request
    };
    let seen = browser.send(from("127.0.0.1:9", &[])).await;
    assert_eq!(seen.status, StatusCode::OK);
    let text = seen.text();
    for line in [
        "panelwright_requests_total{method=\"GET\",route=\"/jobs/{job}\",status=\"200\"} 1",
        "panelwright_requests_total{method=\"GET\",route=\"/jobs/{job}/verdict\",status=\"200\"} 1",
        "panelwright_request_seconds_count{method=\"POST\",route=\"/jobs/{job}/enter\"} 1",
        "panelwright_store_commit_seconds_bucket{le=\"+Inf\"}",
        "panelwright_judge_jobs{state=\"waiting\"}",
        "# TYPE panelwright_request_seconds histogram",
    ] {
        assert!(text.contains(line), "{line} is not in {text}");
    }
    // Each line is a comment or a name, labels and a number.
    for line in text.lines().filter(|line| !line.starts_with("# ")) {
        let (name, value) = line.rsplit_once(' ').expect("a value");
        assert!(value.parse::<f64>().is_ok() && name.starts_with("panelwright_"), "{line}");
    }
    assert!(!text.contains(JOB) && !text.contains("main/5"), "it names a job or a place");
    // From elsewhere, and through a proxy on this machine, there is nothing.
    for (address, more) in
        [("192.168.7.9:9", &[][..]), ("127.0.0.1:9", &[("x-forwarded-for", "198.51.100.7")][..])]
    {
        assert_eq!(browser.send(from(address, more)).await.status, StatusCode::NOT_FOUND);
    }
    assert_eq!(browser.get("/metrics").await.status, StatusCode::NOT_FOUND, "nobody knows from where");
}

#[tokio::test]
async fn it_is_ready_only_while_the_database_answers() {
    let ground = Ground::new().await;
    let ready = ground.stranger().get("/health").await;
    assert_eq!((ready.status, ready.text().as_str()), (StatusCode::OK, "ok\n"));
    ground.bench.store().clone().close().await;
    let gone = ground.stranger().get("/health").await;
    assert_eq!(gone.status, StatusCode::SERVICE_UNAVAILABLE);
    assert_eq!(gone.text(), "the database does not answer\n");
}
