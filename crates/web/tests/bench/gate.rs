//! Who is let in, and who is not.

use crate::ground::{Ground, touch, touch_form};
use axum::body::Body;
use axum::http::{Method, StatusCode};

#[tokio::test]
async fn a_stranger_sees_nothing_but_the_way_in() {
    let ground = Ground::new().await;
    let stranger = ground.stranger();
    for path in ["/", "/new", "/devices", "/jobs/Q-0121", "/jobs/Q-0121/log", "/jobs/none", "/no/such/page"] {
        let answer = stranger.get(path).await;
        assert_eq!((answer.status, answer.header("location")), (StatusCode::SEE_OTHER, "/join"), "{path}");
        assert!(!answer.text().contains("Q-0121"));
        let script = stranger.request(Method::GET, path, &[("x-bench", "1")]);
        assert_eq!(stranger.send(script).await.status, StatusCode::UNAUTHORIZED, "{path}");
    }
    for path in [
        "/token",
        "/offline.json",
        "/phone.json",
        "/jobs/Q-0121/facts.json",
        "/jobs/Q-0121/live",
        "/jobs/Q-0121/export",
        "/jobs/Q-0121/papers/a.pdf",
        "/jobs/Q-0121/photos/0/thumb",
    ] {
        let request = stranger.request(Method::GET, path, &[("accept", "*/*")]);
        assert_eq!(stranger.send(request).await.status, StatusCode::UNAUTHORIZED, "{path}");
    }
    let sent = stranger.post_script(&touch_form(), &touch("e-1", "main/1", "warm")).await;
    assert_eq!(sent.status, StatusCode::UNAUTHORIZED);
    for path in ["/join", "/guide", "/health", "/look.css", "/app.js", "/sw.js"] {
        assert_eq!(stranger.get(path).await.status, StatusCode::OK, "{path}");
    }
}

#[tokio::test]
async fn a_cookie_that_was_not_given_out_opens_nothing() {
    let ground = Ground::new().await;
    let mut browser = ground.stranger();
    for value in ["", "x", &"a".repeat(64), &"A".repeat(64), "'; DROP TABLE devices; --"] {
        browser.cookie = Some(format!("bench={value}"));
        assert_eq!(browser.get("/").await.header("location"), "/join", "{value}");
    }
}

#[tokio::test]
async fn a_device_that_is_shut_out_is_out_at_once() {
    let ground = Ground::new().await;
    let (laptop, phone) = (ground.joined("laptop").await, ground.joined("phone").await);
    assert_eq!(phone.get("/").await.status, StatusCode::OK);
    let devices = ground.bench.store().devices().await.expect("the store answers");
    let id = &devices.iter().find(|device| device.name == "phone").expect("it joined").id;
    let act = [("csrf", laptop.csrf.as_str()), ("act", "revoke"), ("device", id)];
    assert_eq!(laptop.post("/devices", &act).await.header("location"), "/devices");
    assert_eq!(phone.get("/").await.header("location"), "/join");
    let sent = phone.post_script(&touch_form(), &touch("e-1", "main/1", "warm")).await;
    assert_eq!(sent.status, StatusCode::UNAUTHORIZED);
    assert_eq!(laptop.get("/").await.status, StatusCode::OK, "only that one");
}

#[tokio::test]
async fn the_cookie_is_kept_from_scripts_and_other_sites() {
    let ground = Ground::new().await;
    let code = ground.bench.invite().await.expect("an invitation").code;
    let joined = ground.stranger().post("/join", &[("code", &code), ("name", "phone")]).await;
    let cookie = joined.header("set-cookie");
    for part in ["HttpOnly", "SameSite=Lax", "Path=/", "Max-Age=2592000"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Secure"), "it would not be sent over plain HTTP");
    let again = ground.stranger().post("/join", &[("code", &code), ("name", "thief")]).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "a code is used once");
    assert!(again.header("set-cookie").is_empty());
}

#[tokio::test]
async fn another_name_for_this_machine_is_refused() {
    let ground = Ground::new().await;
    let browser = ground.joined("laptop").await;
    for host in ["evil.example", "bench.example.evil.example:7117", "192.0.2.1", "localhost.evil.example"] {
        for path in ["/", "/join", "/look.css"] {
            let answer = browser.send(browser.request(Method::GET, path, &[("host", host)])).await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{host}{path}");
            assert!(!answer.text().contains("Q-0121"));
        }
    }
    for host in ["localhost:7117", "127.0.0.1", "[::1]:7117", "bench.example"] {
        let answer = browser.send(browser.request(Method::GET, "/", &[("host", host)])).await;
        assert_eq!(answer.status, StatusCode::OK, "{host}");
    }
}

#[tokio::test]
async fn a_form_of_another_site_is_refused_though_it_has_the_token() {
    let ground = Ground::new().await;
    let browser = ground.joined("laptop").await;
    let before = ground.n_facts().await;
    for foreign in [
        ("origin", "http://evil.example"),
        ("origin", "null"),
        ("origin", "https://bench.example:7117"),
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-site", "same-site"),
    ] {
        let more = [("x-bench", "1"), ("x-csrf", browser.csrf.as_str()), foreign];
        let answer = browser.post_with(&touch_form(), &touch("e-1", "main/1", "warm"), &more).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{foreign:?}");
        assert_eq!(answer.json()["csrf"], serde_json::Value::Null, "a new token would not help");
    }
    assert_eq!(ground.n_facts().await, before);
}

#[tokio::test]
async fn a_form_without_its_token_is_refused_and_a_script_told_why() {
    let ground = Ground::new().await;
    let (browser, other) = (ground.joined("laptop").await, ground.joined("phone").await);
    let before = ground.n_facts().await;
    for token in ["", "x", other.csrf.as_str()] {
        let more = [("x-bench", "1"), ("x-csrf", token)];
        let answer = browser.post_with(&touch_form(), &touch("e-1", "main/1", "warm"), &more).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN);
        assert_eq!(answer.json()["csrf"], true);
    }
    let answer = browser.post(&touch_form(), &touch("e-1", "main/1", "warm")).await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
    assert!(answer.text().contains("<h1>"), "a person is told by a page");
    assert_eq!(ground.n_facts().await, before);
}

#[tokio::test]
async fn guessing_codes_is_slowed() {
    let ground = Ground::new().await;
    let stranger = ground.stranger();
    let mut statuses = Vec::new();
    for n in 0..8 {
        let code = format!("AAAA{n}-AAAAA");
        statuses.push(stranger.post("/join", &[("code", &code), ("name", "thief")]).await.status);
    }
    assert!(statuses[..5].iter().all(|status| *status == StatusCode::UNPROCESSABLE_ENTITY), "{statuses:?}");
    assert!(statuses[5..].iter().all(|status| *status == StatusCode::TOO_MANY_REQUESTS), "{statuses:?}");
    let right = ground.bench.invite().await.expect("an invitation").code;
    let answer = stranger.post("/join", &[("code", &right), ("name", "thief")]).await;
    assert_eq!(answer.status, StatusCode::TOO_MANY_REQUESTS, "the right one does not pass either");
    assert!(!answer.header("retry-after").is_empty());
}

#[tokio::test]
async fn every_answer_carries_the_headers() {
    let ground = Ground::new().await;
    let browser = ground.joined("laptop").await;
    let stranger = ground.stranger();
    let mut answers = Vec::new();
    for path in ["/", "/jobs/Q-0121", "/look.css", "/token", "/offline.json", "/no/such/page", "/jobs/none"] {
        answers.push((path, browser.get(path).await));
        answers.push((path, stranger.get(path).await));
    }
    let request = browser.request(Method::GET, "/", &[("host", "evil.example")]);
    answers.push(("foreign host", browser.send(request).await));
    answers.push(("delete", browser.send(browser.request(Method::DELETE, "/", &[])).await));
    let huge = browser.request_with(Method::POST, &touch_form(), &[], Body::from(vec![b'a'; 200_000]));
    answers.push(("huge", browser.send(huge).await));
    for (path, answer) in answers {
        let policy = answer.header("content-security-policy");
        for part in ["default-src 'none'", "frame-ancestors 'none'"] {
            assert!(policy.contains(part), "{path}: {policy}");
        }
        assert!(!policy.contains("unsafe"), "{path}: {policy}");
        assert_eq!(answer.header("x-content-type-options"), "nosniff", "{path}");
        assert_eq!(answer.header("referrer-policy"), "same-origin", "{path}");
        assert!(!answer.header("permissions-policy").is_empty(), "{path}");
        assert!(!answer.header("cache-control").is_empty(), "{path}");
    }
}

#[tokio::test]
async fn an_invitation_is_shown_once_and_lets_one_device_in() {
    let ground = Ground::new().await;
    let laptop = ground.joined("laptop").await;
    let shown = laptop.post("/devices", &[("csrf", &laptop.csrf), ("act", "invite")]).await;
    assert_eq!((shown.status, shown.header("cache-control")), (StatusCode::OK, "no-store"));
    let page = shown.text();
    let start = page.find("join?code=").expect("the address is shown") + "join?code=".len();
    let code: String =
        page[start..].chars().take_while(|letter| letter.is_ascii_alphanumeric() || *letter == '-').collect();
    assert!(page.contains("<svg"), "and its QR code");
    assert!(!laptop.get("/devices").await.text().contains(&code), "it is not shown again");
    let joined = ground.stranger().post("/join", &[("code", &code.to_lowercase()), ("name", "phone")]).await;
    assert_eq!(joined.status, StatusCode::SEE_OTHER);
    let refused = ground.stranger().post("/join", &[("code", "ZZZZZ-ZZZZZ"), ("name", "my phone")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text().contains("my phone"), "what was typed is kept");
}

#[tokio::test]
async fn a_page_that_is_not_there_says_so() {
    let ground = Ground::new().await;
    let browser = ground.joined("laptop").await;
    for path in
        ["/no/such/page", "/jobs/none", "/jobs/Q-0121/enter/none", "/jobs/Q-0121/papers/../../etc/passwd"]
    {
        let answer = browser.get(path).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
        assert!(answer.text().contains("<h1>"), "{path}");
    }
}
