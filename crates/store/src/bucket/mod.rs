//! Photos in a bucket: an object store that speaks the S3 protocol, by its address and what the environment says of it.

mod line;

use crate::Error;
use line::Lines;
use object_store::aws::{AmazonS3Builder, AmazonS3ConfigKey};
use object_store::path::Path;
use object_store::prefix::PrefixStore;
use object_store::{ObjectStore, RetryConfig};
use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;
use std::time::Duration;

/// How long a photo is tried. A page waits for it.
const PATIENCE: Duration = Duration::from_secs(20);

/// Certificates that vouch for servers on this system, where Debian and others keep them.
const OF_THE_SYSTEM: &str = "/etc/ssl/certs/ca-certificates.crt";

/// Settings without which no server is asked: else one of a cloud would be asked for keys.
const NEEDED: [&str; 2] = ["AWS_ACCESS_KEY_ID", "AWS_SECRET_ACCESS_KEY"];

/// A bucket that has the photos.
#[derive(Clone)]
pub struct Bucket {
    address: String,
    settings: BTreeMap<String, String>,
}

impl Bucket {
    /// A bucket by its address `s3://bucket/prefix`, with settings under the names that are usual for this protocol:
    /// `AWS_ACCESS_KEY_ID`, `AWS_SECRET_ACCESS_KEY`, `AWS_ENDPOINT_URL`, `AWS_REGION`; plain HTTP only with `AWS_ALLOW_HTTP`
    /// `true`; certificates that vouch for the server in the file `SSL_CERT_FILE`. They are looked at when a store is opened.
    pub fn new(
        address: &str,
        settings: impl IntoIterator<Item = (impl Into<String>, impl Into<String>)>,
    ) -> Bucket {
        let settings = settings.into_iter().map(|(key, value)| (key.into(), value.into()));
        Bucket { address: address.to_owned(), settings: settings.collect() }
    }

    /// The same, with what the environment of this program says.
    pub fn from_env(address: &str) -> Bucket {
        let is_ours = |key: &str| key.starts_with("AWS_") || key == "SSL_CERT_FILE";
        let all = std::env::vars_os()
            .filter_map(|(key, value)| Some((key.into_string().ok()?, value.into_string().ok()?)));
        Bucket::new(address, all.filter(|(key, _)| is_ours(key)))
    }

    /// Has the other one its photos in the same place?
    pub(crate) fn is_same(&self, other: &Bucket) -> bool {
        let server = |of: &Bucket| of.settings.get("AWS_ENDPOINT_URL").cloned();
        let place = |of: &Bucket| of.address.trim_end_matches('/').to_owned();
        place(self) == place(other) && server(self) == server(other)
    }

    /// The store of objects.
    pub(crate) fn open(&self) -> Result<Arc<dyn ObjectStore>, Error> {
        let failed = |why: String| Error::Bucket { address: self.address.clone(), why };
        let rest = self.address.strip_prefix("s3://");
        let rest = rest.ok_or_else(|| failed("it begins with `s3://`".to_owned()))?;
        let (bucket, prefix) = rest.split_once('/').unwrap_or((rest, ""));
        let is_name = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '.');
        if bucket.is_empty() || !bucket.chars().all(is_name) {
            return Err(failed("the name of a bucket has small letters, digits, `-` and `.`".to_owned()));
        }
        let prefix = Path::parse(prefix.trim_end_matches('/')).map_err(|error| failed(error.to_string()))?;
        if let Some(lacking) = NEEDED.into_iter().find(|key| !self.settings.contains_key(*key)) {
            return Err(failed(format!("{lacking} is not set in the environment")));
        }
        let authority = self.settings.get("SSL_CERT_FILE").map_or(OF_THE_SYSTEM, String::as_str);
        let retry = RetryConfig { max_retries: 5, retry_timeout: PATIENCE, ..RetryConfig::default() };
        let mut builder = AmazonS3Builder::new()
            .with_bucket_name(bucket)
            .with_retry(retry)
            .with_http_connector(Lines::new(authority));
        for (key, value) in &self.settings {
            // Of other settings under such names nothing is known here.
            if let Ok(key) = key.to_ascii_lowercase().parse::<AmazonS3ConfigKey>() {
                builder = builder.with_config(key, value);
            }
        }
        let store = builder.build().map_err(|error| failed(error.to_string()))?;
        Ok(match prefix.as_ref() {
            "" => Arc::new(store),
            _ => Arc::new(PrefixStore::new(store, prefix)),
        })
    }
}

impl fmt::Debug for Bucket {
    /// Without the keys.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Bucket").field("address", &self.address).finish_non_exhaustive()
    }
}
