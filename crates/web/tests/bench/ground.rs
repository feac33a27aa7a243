//! A bench to test, and a browser that talks to it without a network.

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::Request;
use axum::http::{Method, StatusCode};
use axum::response::Response;
use model::Date;
use serde_json::Value;
use study::Settings;
use tempfile::TempDir;
use tower::ServiceExt;
use web::{Bench, Setup};

/// The day of all tests.
pub(crate) const DAY: Date = Date::constant(2025, 12, 1);

/// A job file of the demo; everything in it is invented.
pub(crate) const CASE: &str = include_str!("../../../../cases/2-overload.toml");

/// Name of its job.
pub(crate) const JOB: &str = "Q-0121";

/// Settings that judge fast; how well is tested elsewhere.
pub(crate) fn settings() -> Settings {
    Settings { n_sweeps: 60, ..Settings::on(DAY) }
}

/// How such a bench is set up.
pub(crate) fn setup() -> Setup {
    Setup {
        settings: settings(),
        day: Some(DAY),
        names: vec!["bench.example".to_owned()],
        address: "http://bench.example:7117".to_owned(),
        https: false,
        authority: None,
    }
}

/// A bench with one job on a store of its own.
pub(crate) struct Ground {
    pub(crate) bench: Bench,
    pub(crate) router: Router,
    pub(crate) folder: TempDir,
}

impl Ground {
    pub(crate) async fn new() -> Ground {
        Ground::with(store::Options::default()).await
    }

    pub(crate) async fn with(options: store::Options) -> Ground {
        Ground::laid(options, settings()).await
    }

    /// As [`Ground::new`], judging with these settings.
    pub(crate) async fn judging(settings: Settings) -> Ground {
        Ground::laid(store::Options::default(), settings).await
    }

    async fn laid(options: store::Options, settings: Settings) -> Ground {
        let folder = tempfile::tempdir().expect("a folder");
        let store = store::Store::open_as(folder.path(), options).await.expect("a store");
        let facts = record::read_job("case", CASE, DAY).facts;
        store.append(JOB, "case", None, &facts).await.expect("the case is stored");
        let bench = Bench::new(store, Setup { settings, ..setup() }).expect("a bench");
        Ground { router: web::router(bench.clone()), bench, folder }
    }

    /// A browser that has joined.
    pub(crate) async fn joined(&self, name: &str) -> Browser {
        let code = self.bench.invite().await.expect("an invitation").code;
        self.joined_by(&code, name).await
    }

    /// A browser that has joined by this code.
    pub(crate) async fn joined_by(&self, code: &str, name: &str) -> Browser {
        let mut browser = self.stranger();
        let answer = browser.post("/join", &[("code", code), ("name", name)]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
        let cookie = answer.header("set-cookie").split(';').next().expect("a value").to_owned();
        browser.cookie = Some(cookie);
        let token: Value = serde_json::from_str(&browser.get("/token").await.text()).expect("JSON");
        browser.csrf = token["csrf"].as_str().expect("a token").to_owned();
        browser
    }

    /// A browser that has not.
    pub(crate) fn stranger(&self) -> Browser {
        Browser { router: self.router.clone(), cookie: None, csrf: String::new() }
    }

    pub(crate) async fn n_facts(&self) -> i64 {
        self.bench.store().revision(JOB).await.expect("the store answers").expect("the job is there")
    }
}

/// A browser.
#[derive(Clone)]
pub(crate) struct Browser {
    pub(crate) router: Router,
    pub(crate) cookie: Option<String>,
    pub(crate) csrf: String,
}

/// An answer, read to its end.
pub(crate) struct Answer {
    pub(crate) status: StatusCode,
    pub(crate) headers: axum::http::HeaderMap,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    pub(crate) fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().expect("text"))
    }

    pub(crate) fn text(&self) -> String {
        String::from_utf8(self.body.clone()).expect("text")
    }

    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body).expect("JSON")
    }
}

impl Browser {
    /// A request as this browser makes it.
    pub(crate) fn request(&self, method: Method, path: &str, more: &[(&str, &str)]) -> Request {
        self.request_with(method, path, more, Body::empty())
    }

    pub(crate) fn request_with(
        &self,
        method: Method,
        path: &str,
        more: &[(&str, &str)],
        body: Body,
    ) -> Request {
        let mut request = Request::builder().method(method).uri(path);
        if !more.iter().any(|(name, _)| *name == "host") {
            request = request.header("host", "bench.example:7117");
        }
        if let Some(cookie) = &self.cookie {
            request = request.header("cookie", cookie);
        }
        for (name, value) in more {
            request = request.header(*name, *value);
        }
        request.body(body).expect("a request")
    }

    pub(crate) async fn open(&self, request: Request) -> Response {
        self.router.clone().oneshot(request).await.expect("a router does not fail")
    }

    pub(crate) async fn send(&self, request: Request) -> Answer {
        let response = self.open(request).await;
        let (parts, body) = response.into_parts();
        let body = to_bytes(body, 1 << 28).await.expect("a body").to_vec();
        Answer { status: parts.status, headers: parts.headers, body }
    }

    pub(crate) async fn get(&self, path: &str) -> Answer {
        self.send(self.request(Method::GET, path, &[])).await
    }

    /// A form without a script.
    pub(crate) async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        self.post_with(path, fields, &[("origin", "http://bench.example:7117")]).await
    }

    /// A form as the script sends it.
    pub(crate) async fn post_script(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        self.post_with(path, fields, &[("x-bench", "1"), ("x-csrf", &self.csrf)]).await
    }

    pub(crate) async fn post_with(
        &self,
        path: &str,
        fields: &[(&str, &str)],
        more: &[(&str, &str)],
    ) -> Answer {
        let mut headers = vec![("content-type", "application/x-www-form-urlencoded")];
        headers.extend(more);
        self.send(self.request_with(Method::POST, path, &headers, Body::from(encoded(fields)))).await
    }

    /// Photos as the script sends them.
    pub(crate) async fn post_photos(&self, fields: &[(&str, &str)], photos: &[&[u8]]) -> Answer {
        let mut body = Vec::new();
        for (name, value) in fields {
            body.extend(
                format!("--frontier\r\ncontent-disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
                    .bytes(),
            );
        }
        for photo in photos {
            let head = "content-disposition: form-data; name=\"photo\"; filename=\"a.jpg\"\r\ncontent-type: image/jpeg";
            body.extend(format!("--frontier\r\n{head}\r\n\r\n").bytes());
            body.extend(*photo);
            body.extend(b"\r\n");
        }
        body.extend(b"--frontier--\r\n");
        let headers = [
            ("content-type", "multipart/form-data; boundary=frontier"),
            ("x-bench", "1"),
            ("x-csrf", self.csrf.as_str()),
        ];
        let path = format!("/jobs/{JOB}/photos");
        self.send(self.request_with(Method::POST, &path, &headers, Body::from(body))).await
    }

    /// A file as a form without a script sends it, with the token of this browser where `fields` has none.
    pub(crate) async fn post_file(&self, path: &str, fields: &[(&str, &str)], file: &[u8]) -> Answer {
        let own = ("csrf", self.csrf.as_str());
        let token = fields.iter().find(|(name, _)| *name == "csrf").copied().unwrap_or(own);
        let mut body = Vec::new();
        for (name, value) in fields.iter().filter(|(name, _)| *name != "csrf").chain([&token]) {
            let head = format!("content-disposition: form-data; name=\"{name}\"");
            body.extend(format!("--frontier\r\n{head}\r\n\r\n{value}\r\n").bytes());
        }
        let head =
            "content-disposition: form-data; name=\"file\"; filename=\"a.csv\"\r\ncontent-type: text/csv";
        body.extend(format!("--frontier\r\n{head}\r\n\r\n").bytes());
        body.extend(file);
        body.extend(b"\r\n--frontier--\r\n");
        let headers = [
            ("content-type", "multipart/form-data; boundary=frontier"),
            ("origin", "http://bench.example:7117"),
        ];
        self.send(self.request_with(Method::POST, path, &headers, Body::from(body))).await
    }
}

/// Fields as a browser encodes them.
pub(crate) fn encoded(fields: &[(&str, &str)]) -> String {
    let one = |text: &str| -> String {
        text.bytes()
            .map(|byte| match byte {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' => char::from(byte).to_string(),
                byte => format!("%{byte:02X}"),
            })
            .collect()
    };
    fields.iter().map(|(name, value)| format!("{}={}", one(name), one(value))).collect::<Vec<_>>().join("&")
}

/// A touch on a space of the job, as the form sends it.
pub(crate) fn touch<'a>(entry: &'a str, place: &'a str, feel: &'a str) -> Vec<(&'a str, &'a str)> {
    vec![("entry", entry), ("at", "2025-11-30T10:00:00"), ("place", place), ("feel", feel)]
}

/// Address of that form.
pub(crate) fn touch_form() -> String {
    format!("/jobs/{JOB}/enter/touch")
}
