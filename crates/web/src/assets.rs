//! Files that the pages load: scripts, look, icon. They are part of the program.

mod joined;

use crate::failure::Failure;
use axum::extract::Request;
use axum::http::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG, IF_NONE_MATCH};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};
use std::borrow::Cow;
use std::sync::LazyLock;

/// A file.
struct Asset {
    name: &'static str,
    bytes: Cow<'static, [u8]>,
    etag: String,
}

macro_rules! assets {
    ($($name:literal),+ $(,)?) => {
        &[$(($name, include_bytes!(concat!("../assets/", $name)))),+]
    };
}

/// All of them. `sw.js` lies at the root like the others, so that it may see to all pages.
const FILES: &[(&str, &[u8])] = assets![
    "app.js",
    "begun.js",
    "chain.js",
    "drafts.js",
    "forms.js",
    "icon.svg",
    "layout.js",
    "lend.js",
    "light.js",
    "live.js",
    "look.css",
    "manifest.webmanifest",
    "outbox.js",
    "pad.js",
    "phone.js",
    "pins.js",
    "place.js",
    "spaces.js",
    "stored.js",
    "sw.js",
    "tally.js",
    "waiting.js",
];

/// The module that makes pages and judgements on a phone, where this program was built with it.
#[cfg(phone_module)]
const MODULE: Option<(&str, &[u8])> = Some(("phone.wasm", include_bytes!("../built/phone.wasm")));
#[cfg(not(phone_module))]
const MODULE: Option<(&str, &[u8])> = None;

/// The script that every page loads: all that pages need, in one file.
const OF_PAGES: &str = "app.js";

static ASSETS: LazyLock<Vec<Asset>> = LazyLock::new(|| {
    let asset = |(name, bytes): &(&'static str, &'static [u8])| {
        // One that could not be joined would still import the others by itself; a test sees to it that it can.
        let bytes = match (*name == OF_PAGES).then(joined).flatten() {
            Some(text) => Cow::Owned(text.into_bytes()),
            None => Cow::Borrowed(*bytes),
        };
        Asset { name, etag: format!("\"{}\"", short_hash(&bytes)), bytes }
    };
    FILES.iter().chain(&MODULE).map(asset).collect()
});

fn joined() -> Option<String> {
    joined::joined(OF_PAGES, &text_of).ok()
}

/// Text of a script.
fn text_of(file: &str) -> Option<&'static str> {
    let (_, bytes) = FILES.iter().find(|(name, _)| *name == file)?;
    std::str::from_utf8(bytes).ok()
}

/// Version of all files together and of the program that makes the pages.
static VERSION: LazyLock<String> = LazyLock::new(|| {
    let etags: String = ASSETS.iter().map(|asset| asset.etag.as_str()).collect();
    format!("{}-{}", env!("CARGO_PKG_VERSION"), short_hash(etags.as_bytes()))
});

/// The version, for the list of what works without a network.
pub(crate) fn version() -> &'static str {
    &VERSION
}

/// What the service worker and the threads that a page lends it may do: fetch what comes from here, and run the module. No
/// page may run one.
const WORKER_POLICY: &str =
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'; frame-ancestors 'none'";

/// Files that run the module.
const RUN_MODULE: [&str; 2] = ["chain.js", "sw.js"];

/// Addresses of the files that pages load: of the scripts the one that holds the others, and that of the threads.
pub(crate) fn addresses() -> impl Iterator<Item = String> {
    let loaded = |name: &str| !name.ends_with(".js") || [OF_PAGES, "chain.js"].contains(&name);
    FILES.iter().filter(move |(name, _)| loaded(name)).map(|(name, _)| format!("/{name}"))
}

/// Address of the phone's module, by its content, where there is one.
pub(crate) fn module() -> Option<String> {
    let (name, _) = MODULE?;
    let asset = ASSETS.iter().find(|asset| asset.name == name)?;
    Some(format!("/{name}?{}", asset.etag.trim_matches('"')))
}

/// Names of the files, to make routes of.
pub(crate) fn names() -> impl Iterator<Item = &'static str> {
    FILES.iter().chain(&MODULE).map(|(name, _)| *name)
}

/// Gives a file, or says that the browser has it already.
pub(crate) async fn give(request: Request) -> Result<Response, Failure> {
    let name = request.uri().path().trim_start_matches('/');
    let asset = ASSETS.iter().find(|asset| asset.name == name).ok_or_else(Failure::not_found)?;
    let kept = request.headers().get(IF_NONE_MATCH).and_then(|kept| kept.to_str().ok()).unwrap_or_default();
    let etag = HeaderValue::from_str(&asset.etag).unwrap_or(HeaderValue::from_static("\"\""));
    // Always asked for again, so that page and script are of one version; the answer is mostly that nothing changed.
    let caching = HeaderValue::from_static("no-cache");
    let always = [(ETAG, etag), (CACHE_CONTROL, caching)];
    // A compressed answer may carry the mark of weakness.
    let is_kept = kept.split(',').any(|one| one.trim().trim_start_matches("W/") == asset.etag);
    let mut response = match is_kept {
        true => (StatusCode::NOT_MODIFIED, always).into_response(),
        false => {
            let kind = HeaderValue::from_static(kind_of(name));
            (always, [(CONTENT_TYPE, kind)], asset.bytes.as_ref()).into_response()
        }
    };
    // Also where nothing changed: what this answer says takes the place of what the browser has kept of the earlier one, and
    // a service worker that is registered anew would have the policy of a page, under which no module runs.
    if RUN_MODULE.contains(&name) {
        let policy = HeaderValue::from_static(WORKER_POLICY);
        response.headers_mut().insert(CONTENT_SECURITY_POLICY, policy);
    }
    Ok(response)
}

fn kind_of(name: &str) -> &'static str {
    match name.rsplit('.').next() {
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("wasm") => "application/wasm",
        Some("webmanifest") => "application/manifest+json",
        _ => "application/octet-stream",
    }
}

fn short_hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn an_answer_that_nothing_changed_has_the_policy_of_the_file() {
        for name in RUN_MODULE {
            let ask = |kept: Option<&HeaderValue>| {
                let builder = axum::http::Request::get(format!("/{name}"));
                let builder =
                    kept.into_iter().fold(builder, |builder, kept| builder.header(IF_NONE_MATCH, kept));
                builder.body(axum::body::Body::empty()).expect("a request")
            };
            let first = give(ask(None)).await.expect("it is there");
            let again = give(ask(first.headers().get(ETAG))).await.expect("it is there");
            assert_eq!((first.status(), again.status()), (StatusCode::OK, StatusCode::NOT_MODIFIED));
            for response in [first, again] {
                let policy = response.headers().get(CONTENT_SECURITY_POLICY).expect("a policy");
                assert_eq!(policy, WORKER_POLICY, "{name}");
            }
        }
    }

    #[test]
    fn the_scripts_of_pages_are_joined() {
        let text = joined::joined(OF_PAGES, &text_of).expect("they can be joined");
        for (name, _) in FILES.iter().filter(|(name, _)| name.ends_with(".js")) {
            let of_page = !["chain.js", "phone.js", "stored.js", "sw.js"].contains(name);
            assert_eq!(text.contains(&format!("parts['{name}'] =")), of_page, "{name}");
        }
        let left = text.lines().find(|line| line.starts_with("import ") || line.starts_with("export "));
        assert_eq!(left, None);
    }

    #[test]
    fn every_file_of_the_folder_is_served() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/assets");
        let mut lying: Vec<String> = std::fs::read_dir(folder)
            .expect("the folder is there")
            .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
            .collect();
        lying.sort();
        let listed: Vec<_> = names().filter(|name| *name != "phone.wasm").collect();
        assert_eq!(lying, listed, "a file in assets/ is missing in the list here");
        for name in names() {
            assert_ne!(kind_of(name), "application/octet-stream", "{name}");
        }
    }
}
