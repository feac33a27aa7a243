//! Requests to a bucket, each on a thread that may wait: TLS in Rust, with the certificates of the system.

use http_body_util::BodyExt;
use object_store::ClientOptions;
use object_store::client::{
    HttpClient, HttpConnector, HttpError, HttpErrorKind, HttpRequest, HttpResponse, HttpResponseBody,
    HttpService,
};
use rustls::crypto::ring;
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;
use ureq::http::header::{EXPECT, HeaderValue};
use ureq::http::{Method, Request, Response};
use ureq::tls::{Certificate, PemItem, RootCerts, TlsConfig, TlsProvider, parse_pem};
use ureq::{Agent, Body};

/// Longest silence of a line.
const SILENCE: Duration = Duration::from_secs(10);

/// Most bytes of an answer: a photo, and room for what a server may add.
const ANSWER_MAX: u64 = crate::PHOTO_MAX_BYTES as u64 + 1024 * 1024;

/// Lines to a server, kept open between requests.
#[derive(Debug, Clone)]
pub(super) struct Lines(Agent);

impl Lines {
    /// With the certificates of a file.
    pub(super) fn new(path: &str) -> Lines {
        // A server without TLS needs none; with it, none means that nobody is proven, and no line comes about.
        let pem = std::fs::read(path).unwrap_or_default();
        let certificates: Vec<Certificate<'static>> = parse_pem(&pem)
            .filter_map(|item| match item {
                Ok(PemItem::Certificate(certificate)) => Some(certificate),
                _ => None,
            })
            .collect();
        let tls = TlsConfig::builder()
            .provider(TlsProvider::Rustls)
            .unversioned_rustls_crypto_provider(Arc::new(ring::default_provider()))
            .root_certs(RootCerts::new_with_certs(&certificates));
        let config = Agent::config_builder()
            .http_status_as_error(false)
            .max_redirects(0)
            .max_redirects_will_error(false)
            .timeout_resolve(Some(SILENCE))
            .timeout_connect(Some(SILENCE))
            .timeout_per_read(Some(SILENCE))
            .timeout_per_write(Some(SILENCE))
            .proxy(None)
            .tls_config(tls.build());
        Lines(config.build().new_agent())
    }
}

impl HttpConnector for Lines {
    fn connect(&self, options: &ClientOptions) -> object_store::Result<HttpClient> {
        let _ = options;
        Ok(HttpClient::new(self.clone()))
    }
}

type Answer<'a> = Pin<Box<dyn Future<Output = Result<HttpResponse, HttpError>> + Send + 'a>>;

impl HttpService for Lines {
    fn call<'here, 'a>(&'here self, asked: HttpRequest) -> Answer<'a>
    where
        'here: 'a,
        Self: 'a,
    {
        let agent = self.0.clone();
        Box::pin(async move {
            let (mut head, body) = asked.into_parts();
            let body = body.collect().await?.to_bytes().to_vec();
            let answered = tokio::task::spawn_blocking(move || {
                let mut answer = if matches!(head.method, Method::GET | Method::HEAD | Method::DELETE) {
                    agent.run(Request::from_parts(head, ()))?
                } else {
                    // A server that has the object already says so and closes, without reading it.
                    head.headers.insert(EXPECT, HeaderValue::from_static("100-continue"));
                    agent.run(Request::from_parts(head, body))?
                };
                let bytes = read_all(&mut answer)?;
                let (head, _) = answer.into_parts();
                Ok(Response::from_parts(head, HttpResponseBody::from(bytes)))
            });
            let answered = answered.await.map_err(|error| HttpError::new(HttpErrorKind::Unknown, error))?;
            answered.map_err(|error: ureq::Error| HttpError::new(kind(&error), error))
        })
    }
}

fn read_all(answer: &mut Response<Body>) -> Result<Vec<u8>, ureq::Error> {
    answer.body_mut().with_config().limit(ANSWER_MAX).read_to_vec()
}

/// What kind of failure it was: that decides whether it is tried again.
fn kind(error: &ureq::Error) -> HttpErrorKind {
    match error {
        ureq::Error::Timeout(_) => HttpErrorKind::Timeout,
        ureq::Error::HostNotFound | ureq::Error::ConnectionFailed => HttpErrorKind::Connect,
        ureq::Error::Io(_) => HttpErrorKind::Interrupted,
        _ => HttpErrorKind::Request,
    }
}
