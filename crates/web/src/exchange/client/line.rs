//! The line to the shop: every question is asked again where it breaks, for as long as one is patient. Whatever is
//! sent may be sent twice: it is stored once.

use super::joined::Joined;
use crate::members::COOKIE_NAME;
use rustls::crypto::ring;
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};
use ureq::http::Response;
use ureq::tls::{Certificate, PemItem, RootCerts, TlsConfig, TlsProvider, parse_pem};
use ureq::{Agent, Body};

/// Longest silence of a line.
const SILENCE: Duration = Duration::from_secs(20);

/// Waits between tries: from the first to the longest.
const WAIT: (Duration, Duration) = (Duration::from_millis(100), Duration::from_secs(2));

/// Most bytes of an answer that is no photo.
const ANSWER_MAX: u64 = 64 * 1024 * 1024;

/// Certificates that vouch for servers on this system, where Debian and others keep them.
const OF_THE_SYSTEM: &str = "/etc/ssl/certs/ca-certificates.crt";

/// Whom to exchange with, and how.
#[derive(Debug, Clone)]
pub struct Errand {
    /// Address of the shop, `https://host:port`.
    pub shop: String,
    /// Code to join by; without one this machine has joined before.
    pub code: Option<String>,
    /// Name of this machine there, when it joins.
    pub name: String,
    /// File with the certificates that vouch for the shop; without one those of the system.
    pub authority: Option<PathBuf>,
    /// Only these jobs; all where none is named.
    pub jobs: Vec<String>,
    /// Jobs of one name that are the same house although the two sides share no entry of them yet.
    pub same: Vec<String>,
    /// Compare every job, also those that were agreed upon: after a backup was restored on either side.
    pub every_job: bool,
    /// How long a line that gives nothing is tried.
    pub patience: Duration,
    /// Who has it done, for the audit trail of this bench: ids of person and device; empty for the command line.
    pub by: (String, String),
}

/// Why an exchange ended early.
#[derive(Debug, thiserror::Error)]
#[expect(missing_docs, reason = "the message of each variant says what its fields are")]
pub enum ExchangeError {
    #[error("{shop:?} is no address of a shop: {why}")]
    Address { shop: String, why: String },
    #[error("this machine has not joined {shop}")]
    NotJoined { shop: String },
    #[error("{shop} does not let this machine in: {why}")]
    NotLetIn { shop: String, why: String },
    #[error("{shop} refuses it: {why}")]
    Refused { shop: String, why: String },
    #[error("{shop} cannot be reached: {why}")]
    Lost { shop: String, why: String },
    #[error("{shop} answers in a way this program does not understand")]
    Answer { shop: String },
    #[error("{} cannot be read or written: {source}", .path.display())]
    File { path: PathBuf, source: std::io::Error },
    #[error("{} holds no certificate", .path.display())]
    NoCertificate { path: PathBuf },
    #[error(transparent)]
    Store(#[from] store::Error),
}

impl ExchangeError {
    /// What to do next.
    pub fn hint(&self) -> &'static str {
        match self {
            ExchangeError::Address { .. } => "write it as `https://host:port`",
            ExchangeError::NotJoined { .. } | ExchangeError::NotLetIn { .. } => {
                "have a code made on the page Devices of the shop, and give it with --code"
            }
            ExchangeError::Refused { .. } => "ask who looks after the shop",
            ExchangeError::Lost { .. } => {
                "try again where the line is better; what went over is stored, and the rest goes on from there"
            }
            ExchangeError::Answer { .. } => "look whether both sides run the same version of the program",
            ExchangeError::File { .. } | ExchangeError::NoCertificate { .. } => {
                "look whether the file is there and may be used"
            }
            ExchangeError::Store(error) => error.hint(),
        }
    }
}

/// The line.
pub(super) struct Line {
    agent: Agent,
    shop: String,
    cookie: String,
    csrf: String,
    patience: Duration,
    /// When it last gave something.
    since: Instant,
    wait: Duration,
    /// How often it broke.
    pub(super) n_cuts: usize,
}

/// What one try gave.
enum Tried {
    Answered(u16, Vec<u8>),
    /// Worth another try: why.
    Broken(String),
}

impl Line {
    /// Joins the shop where a code is given, and else comes in by what was kept.
    pub(super) fn open(data: &Path, errand: &Errand) -> Result<Line, ExchangeError> {
        let shop = errand.shop.trim_end_matches('/').to_owned();
        let agent = agent(errand, &shop)?;
        let (since, wait) = (Instant::now(), WAIT.0);
        let (cookie, csrf, patience) = (String::new(), String::new(), errand.patience);
        let mut line = Line { agent, shop, cookie, csrf, patience, since, wait, n_cuts: 0 };
        if let Some(code) = &errand.code {
            let token = line.join(code, &errand.name)?;
            Joined { shop: line.shop.clone(), token }.write(data, errand)?;
        }
        let Some(joined) = Joined::read(data, errand) else {
            return Err(ExchangeError::NotJoined { shop: line.shop });
        };
        line.cookie = format!("{COOKIE_NAME}={}", joined.token);
        let answer: serde_json::Value = line.get_json("/token")?;
        line.csrf = answer.get("csrf").and_then(|token| token.as_str()).unwrap_or_default().to_owned();
        Ok(line)
    }

    /// A code serves once, so this is tried once.
    fn join(&self, code: &str, name: &str) -> Result<String, ExchangeError> {
        let shop = self.shop.clone();
        let form = [("code", code), ("name", name)];
        let request = self.agent.post(format!("{shop}/join")).header("x-bench", "1");
        let answer = wait(|| request.send_form(form));
        let mut answer =
            answer.map_err(|error| ExchangeError::Lost { shop: shop.clone(), why: error.to_string() })?;
        let cookies = answer.headers().get_all("set-cookie").iter().filter_map(|cookie| cookie.to_str().ok());
        let start = format!("{COOKIE_NAME}=");
        let token = cookies.filter_map(|cookie| cookie.strip_prefix(start.as_str())).next();
        let token = token.and_then(|cookie| cookie.split(';').next()).map(str::to_owned);
        match token {
            Some(token) => Ok(token),
            None => {
                let status = answer.status().as_u16();
                let body = wait(|| answer.body_mut().read_to_vec()).unwrap_or_default();
                Err(ExchangeError::NotLetIn { shop, why: why(status, &body) })
            }
        }
    }

    /// The line gives something.
    pub(super) fn goes_on(&mut self) {
        (self.since, self.wait) = (Instant::now(), WAIT.0);
    }

    pub(super) fn get_json<T: DeserializeOwned>(&mut self, address: &str) -> Result<T, ExchangeError> {
        let body = self.until_answered(|line| line.try_get(address))?;
        self.read(&body)
    }

    pub(super) fn post_json<T: DeserializeOwned>(
        &mut self,
        address: &str,
        asked: &impl Serialize,
    ) -> Result<T, ExchangeError> {
        let text = serde_json::to_vec(asked).unwrap_or_default();
        self.post(address, "application/json", &text)
    }

    pub(super) fn post_text(
        &mut self,
        address: &str,
        asked: &impl Serialize,
    ) -> Result<String, ExchangeError> {
        let text = serde_json::to_vec(asked).unwrap_or_default();
        let body = self.until_answered(|line| line.try_post(address, "application/json", &text))?;
        String::from_utf8(body).map_err(|_| ExchangeError::Answer { shop: self.shop.clone() })
    }

    pub(super) fn post<T: DeserializeOwned>(
        &mut self,
        address: &str,
        kind: &str,
        body: &[u8],
    ) -> Result<T, ExchangeError> {
        let answer = self.until_answered(|line| line.try_post(address, kind, body))?;
        self.read(&answer)
    }

    /// One try; `None` where the line breaks, and one waits a little then.
    pub(super) fn post_once<T: DeserializeOwned>(
        &mut self,
        address: &str,
        body: &[u8],
    ) -> Result<Option<T>, ExchangeError> {
        match self.try_post(address, "application/octet-stream", body) {
            Tried::Answered(status, answer) => {
                self.goes_on();
                let answer = self.accept(status, answer)?;
                self.read(&answer).map(Some)
            }
            Tried::Broken(why) => self.broke(why).map(|()| None),
        }
    }

    /// Tells the shop that all is done, for its audit trail. What was exchanged stands without it, too; a shop of an earlier
    /// version does not know it.
    pub(super) fn says_done(&mut self) {
        const TRIES: usize = 3;
        for _ in 0..TRIES {
            if !matches!(self.post_once::<()>("/exchange/done", b""), Ok(None)) {
                return;
            }
        }
    }

    /// One try; gives what arrives to `take`. Did the answer come to its end?
    pub(super) fn get_once(
        &mut self,
        address: &str,
        mut take: impl FnMut(&[u8]) -> std::io::Result<()>,
    ) -> Result<bool, ExchangeError> {
        let request = self.agent.get(format!("{}{address}", self.shop)).header("cookie", &self.cookie);
        let answer = wait(|| request.header("x-bench", "1").call());
        let mut answer = match answer {
            Ok(answer) => answer,
            Err(error) => return self.broke(error.to_string()).map(|()| false),
        };
        let status = answer.status().as_u16();
        if status != 200 {
            let body = read_all(&mut answer);
            return match body {
                Ok(body) if !again(status) => self.accept(status, body).map(|_| true),
                _ => self.broke(format!("it answers {status}")).map(|()| false),
            };
        }
        let mut reader = answer.body_mut().with_config().limit(store::PHOTO_MAX_BYTES as u64 + 1).reader();
        let mut bytes = vec![0; 32 * 1024];
        loop {
            match wait(|| reader.read(&mut bytes)) {
                Ok(0) => return Ok(true),
                Ok(n) => take(&bytes[..n])
                    .map_err(|source| ExchangeError::File { path: PathBuf::from("exchange"), source })?,
                Err(error) => return self.broke(error.to_string()).map(|()| false),
            }
        }
    }

    fn until_answered(&mut self, tried: impl Fn(&Line) -> Tried) -> Result<Vec<u8>, ExchangeError> {
        loop {
            match tried(self) {
                Tried::Answered(status, body) => {
                    self.goes_on();
                    return self.accept(status, body);
                }
                Tried::Broken(why) => self.broke(why)?,
            }
        }
    }

    /// Waits before the next try, or gives up.
    fn broke(&mut self, why: String) -> Result<(), ExchangeError> {
        self.n_cuts += 1;
        if self.patience < self.since.elapsed() {
            return Err(ExchangeError::Lost { shop: self.shop.clone(), why });
        }
        wait(|| thread::sleep(self.wait));
        self.wait = (self.wait * 2).min(WAIT.1);
        Ok(())
    }

    fn accept(&self, status: u16, body: Vec<u8>) -> Result<Vec<u8>, ExchangeError> {
        let shop = || self.shop.clone();
        match status {
            200..=299 => Ok(body),
            401 => Err(ExchangeError::NotLetIn { shop: shop(), why: why(status, &body) }),
            400..=499 => Err(ExchangeError::Refused { shop: shop(), why: why(status, &body) }),
            _ => Err(ExchangeError::Lost { shop: shop(), why: why(status, &body) }),
        }
    }

    fn read<T: DeserializeOwned>(&self, body: &[u8]) -> Result<T, ExchangeError> {
        serde_json::from_slice(body).map_err(|_| ExchangeError::Answer { shop: self.shop.clone() })
    }

    fn try_get(&self, address: &str) -> Tried {
        let request = self.agent.get(format!("{}{address}", self.shop)).header("cookie", &self.cookie);
        tried(wait(|| request.header("x-bench", "1").call()))
    }

    fn try_post(&self, address: &str, kind: &str, body: &[u8]) -> Tried {
        let request = self.agent.post(format!("{}{address}", self.shop)).header("cookie", &self.cookie);
        let request = request.header("x-bench", "1").header("x-csrf", &self.csrf).content_type(kind);
        tried(wait(|| request.send(body)))
    }
}

fn tried(answer: Result<Response<Body>, ureq::Error>) -> Tried {
    let mut answer = match answer {
        Ok(answer) => answer,
        Err(error) => return Tried::Broken(error.to_string()),
    };
    let status = answer.status().as_u16();
    match read_all(&mut answer) {
        Ok(_) if again(status) => Tried::Broken(format!("it answers {status}")),
        Ok(body) => Tried::Answered(status, body),
        Err(error) => Tried::Broken(error.to_string()),
    }
}

fn read_all(answer: &mut Response<Body>) -> Result<Vec<u8>, ureq::Error> {
    wait(|| answer.body_mut().with_config().limit(ANSWER_MAX).read_to_vec())
}

/// Too much at once, closing, or a proxy before it that finds nobody: later it may go.
fn again(status: u16) -> bool {
    matches!(status, 408 | 429 | 502..=504)
}

/// What the shop says is wrong.
fn why(status: u16, body: &[u8]) -> String {
    let said: Option<serde_json::Value> = serde_json::from_slice(body).ok();
    let message = said.as_ref().and_then(|said| said["errors"][0]["message"].as_str());
    message.map_or_else(|| format!("it answers {status}"), |message| message.trim_end_matches('.').to_owned())
}

/// Waits for the line on a thread of the runtime that others may leave meanwhile.
fn wait<T>(act: impl FnOnce() -> T) -> T {
    tokio::task::block_in_place(act)
}

fn agent(errand: &Errand, shop: &str) -> Result<Agent, ExchangeError> {
    let fine = shop.strip_prefix("https://").or_else(|| shop.strip_prefix("http://"));
    if fine.is_none_or(|rest| rest.is_empty() || rest.contains(['/', '?', '#', '@'])) {
        let why = "it begins with `https://` or `http://` and has no path".to_owned();
        return Err(ExchangeError::Address { shop: shop.to_owned(), why });
    }
    let mut config = Agent::config_builder()
        .http_status_as_error(false)
        .max_redirects(0)
        .max_redirects_will_error(false)
        .timeout_resolve(Some(SILENCE))
        .timeout_connect(Some(SILENCE))
        .timeout_per_read(Some(SILENCE * 3))
        .timeout_per_write(Some(SILENCE))
        .proxy(None);
    if shop.starts_with("https://") {
        let tls = TlsConfig::builder()
            .provider(TlsProvider::Rustls)
            .unversioned_rustls_crypto_provider(Arc::new(ring::default_provider()))
            .root_certs(RootCerts::new_with_certs(&certificates(errand)?));
        config = config.tls_config(tls.build());
    }
    Ok(config.build().new_agent())
}

fn certificates(errand: &Errand) -> Result<Vec<Certificate<'static>>, ExchangeError> {
    let path = errand.authority.clone().unwrap_or_else(|| PathBuf::from(OF_THE_SYSTEM));
    let pem = std::fs::read(&path).map_err(|source| ExchangeError::File { path: path.clone(), source })?;
    let items = parse_pem(&pem).filter_map(|item| match item {
        Ok(PemItem::Certificate(certificate)) => Some(certificate),
        _ => None,
    });
    let certificates: Vec<_> = items.collect();
    if certificates.is_empty() { Err(ExchangeError::NoCertificate { path }) } else { Ok(certificates) }
}

/// A text as it stands in a query.
pub(super) fn encoded(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_') {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}
