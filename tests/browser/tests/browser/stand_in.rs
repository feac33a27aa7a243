//! A stand-in for the server: the scripts of the program, one form, and answers as a test wants them.

use serde_json::json;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch;

/// What it answers to a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mood {
    /// Stores it.
    Stores,
    /// Stores it, but the answer is lost on the way.
    LosesTheAnswer,
    /// Finds a field wrong.
    Refuses,
    /// Does not know the device any more.
    Unknown,
    /// The token of the form has run out.
    OldToken,
    /// Something else answers: the portal of a guest network.
    Portal,
    /// Is in trouble.
    Broken,
}

/// What arrived.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Arrived {
    pub(crate) path: String,
    /// The id of the entry.
    pub(crate) entry: String,
    /// The field `words`.
    pub(crate) words: String,
    /// Bytes of the body.
    pub(crate) size: usize,
}

struct State {
    mood: Mood,
    token: u32,
    arrived: Vec<Arrived>,
}

/// A running stand-in.
pub(crate) struct StandIn {
    pub(crate) address: SocketAddr,
    state: Arc<Mutex<State>>,
    stop: watch::Sender<bool>,
}

impl StandIn {
    /// Starts it on a port, 0 for any.
    pub(crate) async fn start(port: u16) -> StandIn {
        let listener = TcpListener::bind(("127.0.0.1", port)).await.expect("a port");
        let address = listener.local_addr().expect("an address");
        let state = Arc::new(Mutex::new(State { mood: Mood::Stores, token: 1, arrived: Vec::new() }));
        let (stop, stopped) = watch::channel(false);
        let shared = Arc::clone(&state);
        tokio::spawn(async move {
            let mut ended = stopped.clone();
            loop {
                let stream = tokio::select! {
                    taken = listener.accept() => taken.expect("a connection").0,
                    _ = ended.changed() => return,
                };
                let mut ended = stopped.clone();
                let shared = Arc::clone(&shared);
                tokio::spawn(async move {
                    tokio::select! { _ = serve(stream, &shared) => (), _ = ended.changed() => () }
                });
            }
        });
        StandIn { address, state, stop }
    }

    pub(crate) fn url(&self, path: &str) -> String {
        format!("http://{}{path}", self.address)
    }

    pub(crate) fn is(&self, mood: Mood) {
        self.state.lock().unwrap_or_else(PoisonError::into_inner).mood = mood;
    }

    /// Every delivery of a form, stored or not, in the order of arrival.
    pub(crate) fn arrived(&self) -> Vec<Arrived> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner).arrived.clone()
    }

    pub(crate) fn stop(&self) {
        self.stop.send(true).expect("it still runs");
    }
}

/// One request a connection.
async fn serve(mut stream: TcpStream, state: &Mutex<State>) -> Option<()> {
    let mut bytes = Vec::new();
    let (head, length) = loop {
        let mut part = [0; 16_384];
        let n_read = stream.read(&mut part).await.ok()?;
        if n_read == 0 {
            return None;
        }
        bytes.extend_from_slice(&part[..n_read]);
        if let Some(end) = bytes.windows(4).position(|four| four == b"\r\n\r\n") {
            let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
            let length =
                header(&head, "content-length").and_then(|text| text.parse().ok()).unwrap_or(0_usize);
            bytes.drain(..end + 4);
            break (head, length);
        }
    };
    while bytes.len() < length {
        let mut part = [0; 16_384];
        let n_read = stream.read(&mut part).await.ok()?;
        if n_read == 0 {
            return None;
        }
        bytes.extend_from_slice(&part[..n_read]);
    }
    let mut words = head.split(' ');
    let (method, path) = (words.next()?, words.next()?.to_owned());
    let answer = if method == "POST" { posted(state, &path, &head, &bytes)? } else { got(state, &path)? };
    stream.write_all(&answer).await.ok()?;
    stream.shutdown().await.ok()
}

fn header<'a>(head: &'a str, name: &str) -> Option<&'a str> {
    let line =
        head.lines().find(|line| line.split(':').next().is_some_and(|at| at.eq_ignore_ascii_case(name)))?;
    line.split_once(':').map(|(_, value)| value.trim())
}

fn response(status: &str, kind: &str, body: &[u8]) -> Vec<u8> {
    let policy = "default-src 'self'; script-src 'self'; style-src 'self'; object-src 'none'";
    let head = format!(
        "HTTP/1.1 {status}\r\ncontent-type: {kind}\r\ncontent-length: {}\r\ncontent-security-policy: {policy}\r\n\
         cache-control: no-cache\r\nconnection: close\r\n\r\n",
        body.len()
    );
    [head.as_bytes(), body].concat()
}

fn posted(state: &Mutex<State>, path: &str, head: &str, body: &[u8]) -> Option<Vec<u8>> {
    let mut state = state.lock().unwrap_or_else(PoisonError::into_inner);
    let text = String::from_utf8_lossy(body);
    let arrived = Arrived {
        path: path.to_owned(),
        entry: field(&text, "entry"),
        words: field(&text, "words"),
        size: body.len(),
    };
    let json = |status: &str, body: serde_json::Value| {
        Some(response(status, "application/json", body.to_string().as_bytes()))
    };
    let is_right_token = header(head, "x-csrf") == Some(&format!("token-{}", state.token));
    if state.mood == Mood::OldToken {
        state.token += 1;
        state.mood = Mood::Stores;
        return json("403 Forbidden", json!({ "csrf": true }));
    }
    state.arrived.push(arrived.clone());
    match state.mood {
        Mood::Stores if !is_right_token => json("403 Forbidden", json!({ "csrf": true })),
        Mood::Stores => {
            let already = 1 < state.arrived.iter().filter(|other| other.entry == arrived.entry).count();
            json(
                "200 OK",
                json!({ "stored": 1, "already": already, "revision": state.arrived.len(), "go": "/jobs/J-1" }),
            )
        }
        Mood::LosesTheAnswer => {
            state.mood = Mood::Stores;
            None
        }
        Mood::Refuses => json(
            "422 Unprocessable Content",
            json!({ "errors": [{ "field": "words", "message": "These words are not a reading." }] }),
        ),
        Mood::Unknown => json("401 Unauthorized", json!({ "join": true })),
        Mood::Portal => Some(response("200 OK", "text/html", b"<h1>Welcome to the guest network</h1>")),
        Mood::Broken => Some(response("503 Service Unavailable", "text/plain", b"busy")),
        Mood::OldToken => None,
    }
}

/// A field of a body, of either kind of form.
fn field(body: &str, name: &str) -> String {
    if let Some((_, rest)) = body.split_once(&format!("name=\"{name}\"\r\n\r\n")) {
        return rest.split("\r\n").next().unwrap_or("").to_owned();
    }
    let pairs = body.split('&').filter_map(|pair| pair.split_once('='));
    let value = pairs.filter(|(key, _)| *key == name).map(|(_, value)| value).next().unwrap_or("");
    value.replace('+', " ")
}

fn got(state: &Mutex<State>, path: &str) -> Option<Vec<u8>> {
    let token = state.lock().unwrap_or_else(PoisonError::into_inner).token;
    let plain = path.split('?').next()?;
    Some(match plain {
        "/token" => {
            let body = json!({ "csrf": format!("token-{token}") }).to_string();
            response("200 OK", "application/json", body.as_bytes())
        }
        "/offline.json" => {
            let body = json!({
                "version": "1",
                "assets": assets(),
                "pages": ["/", "/jobs/J-1", "/jobs/J-1/enter/touch", "/jobs/J-1/gone"],
            });
            response("200 OK", "application/json", body.to_string().as_bytes())
        }
        "/" | "/jobs/J-1" => response("200 OK", "text/html", page(token, plain, "").as_bytes()),
        "/jobs/J-1/enter/touch" | "/jobs/J-1/photos" => {
            response("200 OK", "text/html", page(token, plain, FORM).as_bytes())
        }
        _ => match asset(plain) {
            Some((kind, body)) => response("200 OK", kind, &body),
            None => response("404 Not Found", "text/html", b"<h1>Not here</h1>"),
        },
    })
}

const FORM: &str = r#"<div class="field"><label for="words">Words</label><input id="words" name="words" required></div>
<fieldset class="pick"><legend>Place</legend><div class="tiles">
<label><input type="radio" name="place" value="main/13"><span>13</span></label>
<label><input type="radio" name="place" value="main/15"><span>15</span></label></div></fieldset>
<div class="keypad"><div class="entry"><label for="amps">Amps</label><input id="amps" name="amps" inputmode="decimal"></div>
<div class="keys"><button type="button" data-key="1">1</button><button type="button" data-key="5">5</button>
<button type="button" data-key="." aria-label="point">.</button><button type="button" data-key="back">back</button>
<button type="button" data-key="sign">±</button></div></div>
<input type="file" name="photo" aria-label="Photos" multiple><button class="big">Keep</button>"#;

fn page(token: u32, action: &str, fields: &str) -> String {
    let form = if fields.is_empty() {
        String::new()
    } else {
        let kind = if action.ends_with("photos") { r#" enctype="multipart/form-data""# } else { "" };
        format!(
            r#"<form method="post" action="{action}" data-queue{kind}><input type="hidden" name="csrf" value="token-{token}">
<input type="hidden" name="entry" value="from-the-page"><input type="hidden" name="at" value="">{fields}</form>"#
        )
    };
    format!(
        r##"<!doctype html><html lang="en" data-light="auto"><head><meta charset="utf-8"><title>Stand-in</title>
<meta name="viewport" content="width=device-width"><link rel="stylesheet" href="/look.css">
<script src="/app.js" type="module"></script></head><body><header class="bar"><a href="/">Jobs</a>
<a id="waiting" href="/guide#waiting">Outbox</a></header><main id="main"><h1>Page {action}</h1>{form}</main></body></html>"##
    )
}

/// Where the program has its scripts.
fn folder() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../crates/web/assets"))
}

/// Addresses of all files that a page loads.
fn assets() -> Vec<String> {
    let files = std::fs::read_dir(folder()).expect("the scripts are there");
    let names = files.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    names
        .filter(|name| asset(&format!("/{name}")).is_some() && name != "sw.js")
        .map(|name| format!("/{name}"))
        .collect()
}

/// A file of the program, as it would be served.
fn asset(path: &str) -> Option<(&'static str, Vec<u8>)> {
    let name = path.strip_prefix('/').filter(|name| !name.contains('/'))?;
    let kind = match name.rsplit_once('.')?.1 {
        "js" => "text/javascript",
        "css" => "text/css",
        "svg" => "image/svg+xml",
        _ => return None,
    };
    std::fs::read(folder().join(name)).ok().map(|bytes| (kind, bytes))
}
