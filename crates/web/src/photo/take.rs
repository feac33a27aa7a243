//! Taking photos in, and giving them.

use super::render::{self, Rendered};
use crate::bench::Bench;
use crate::entry::{again, entry_name, taken};
use crate::failure::{Failure, is_script};
use crate::members::Member;
use crate::page::{Ground, made, route_of};
use crate::sent::Sent;
use crate::trouble::{sentence, trouble};
use axum::Extension;
use axum::extract::{Path, Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG, IF_NONE_MATCH,
};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use pages::{Entry, FieldError, Fields, Refusal};
use std::sync::Arc;
use std::time::Duration;
use store::Form;

/// How long an upload waits for its turn.
const TURN: Duration = Duration::from_secs(30);

/// Name of the field in which the pages find the hashes of the photos that arrived.
const HASHES: &str = "sha256";

/// A photo whose forms are made.
struct Developed {
    sha256: String,
    media_type: &'static str,
    original: Vec<u8>,
    forms: Rendered,
}

/// Takes photos: each is stored with its forms before the fact that names it.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let route = route_of(&request)?;
    let Some(job) = route.job().map(str::to_owned) else { return Err(Failure::not_found()) };
    let headers = request.headers().clone();
    let script = is_script(&headers);
    let ground = Ground::of(&bench, &route, Some(&member), &headers).await?;
    // Photos lie in memory while they are taken in: only a few at once.
    let turn = tokio::time::timeout(TURN, bench.inner.uploads.acquire()).await;
    let _turn = turn.map_err(|_| Failure::busy())?.map_err(|_| Failure::busy())?;
    let mut sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    let files = std::mem::take(&mut sent.files);
    let hashes: Vec<String> = files.iter().map(|bytes| store::sha256(bytes)).collect();
    let entry = entry_name(&route, &sent, &hashes)?;
    if let Some(answer) = bench.answered(&route, &entry, &sent, script).await? {
        return Ok(answer);
    }
    if files.is_empty() {
        return again(script, route, sent.fields(), refusal("photo", "Choose a photo.".to_owned()), ground)
            .await;
    }
    let mut developed = Vec::new();
    for (original, sha256) in files.into_iter().zip(hashes) {
        match bench.develop(sha256, original).await? {
            Ok(photo) => developed.push(photo),
            Err(fault) => {
                let refusal = refusal("photo", sentence(&fault.to_string()));
                let mut response = again(script, route, sent.fields(), refusal, ground).await?;
                if matches!(fault, render::PhotoFault::Kind { .. }) {
                    *response.status_mut() = StatusCode::UNSUPPORTED_MEDIA_TYPE;
                }
                return Ok(response);
            }
        }
    }
    let hashes = developed.iter().map(|photo| (HASHES.to_owned(), photo.sha256.clone()));
    let fields =
        Fields::from_pairs(sent.pairs.iter().filter(|(name, _)| name != HASHES).cloned().chain(hashes));
    let (read, ground, fields, route) = made(move || {
        let read = pages::read(&route, &fields, &ground.context());
        (read, ground, fields, route)
    })
    .await?;
    let Entry { facts, go, .. } = match read {
        Ok(read) => read,
        Err(refusal) => return again(script, route, fields, refusal, ground).await,
    };
    for photo in developed {
        bench.keep(&job, photo).await.map_err(|error| trouble(&error))?;
    }
    let stored = bench.inner.store.append(&job, &entry, Some(&member.id), &facts).await;
    match stored {
        Ok(appended) => Ok(taken(appended, &go, script)),
        Err(error) => match bench.answered(&route, &entry, &sent, script).await? {
            Some(answer) => Ok(answer),
            None => Err(trouble(&error)),
        },
    }
}

impl Bench {
    async fn develop(
        &self,
        sha256: String,
        original: Vec<u8>,
    ) -> Result<Result<Developed, render::PhotoFault>, Failure> {
        let lamp = Arc::clone(&self.inner.darkroom).acquire_owned().await.map_err(|_| Failure::busy())?;
        let develop = move || {
            let _lamp = lamp;
            let forms = render::render(&original)?;
            let media_type = if original.starts_with(&[0xff, 0xd8]) { "image/jpeg" } else { "image/png" };
            Ok(Developed { sha256, media_type, original, forms })
        };
        let developed = tokio::task::spawn_blocking(develop).await;
        developed.map_err(|_| Failure::internal("The photo could not be read: a fault of the program."))
    }

    async fn keep(&self, job: &str, photo: Developed) -> Result<(), store::Error> {
        let store = &self.inner.store;
        let Developed { sha256, media_type, original, forms } = photo;
        store.put_photo(job, media_type, original).await?;
        store.put_form(&sha256, Form::Page, "image/jpeg", forms.page).await?;
        store.put_form(&sha256, Form::Thumb, "image/jpeg", forms.thumb).await
    }
}

/// Gives a form of a photo.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Path((job, photo, form)): Path<(String, String, String)>,
    headers: HeaderMap,
) -> Result<Response, Failure> {
    let form = Form::of_word(&form).filter(|_| store::is_sha256(&photo)).ok_or_else(Failure::not_found)?;
    let found = bench.inner.store.photo(&job, &photo, form).await.map_err(|error| trouble(&error))?;
    let etag = HeaderValue::from_str(&format!("\"{}\"", found.sha256)).ok();
    // Only the device itself may keep it, and it must ask each time whether it is still let in.
    let caching = HeaderValue::from_static("private, no-cache");
    if etag.is_some() && headers.get(IF_NONE_MATCH) == etag.as_ref() {
        return Ok((StatusCode::NOT_MODIFIED, [(CACHE_CONTROL, caching)]).into_response());
    }
    let kind = match found.media_type.as_str() {
        "image/png" => "image/png",
        _ => "image/jpeg",
    };
    let sandbox = HeaderValue::from_static("default-src 'none'; sandbox; frame-ancestors 'none'");
    let mut response = (
        [
            (CONTENT_TYPE, HeaderValue::from_static(kind)),
            (CACHE_CONTROL, caching),
            (CONTENT_SECURITY_POLICY, sandbox),
            (CONTENT_DISPOSITION, HeaderValue::from_static("inline")),
        ],
        found.bytes,
    )
        .into_response();
    if let Some(etag) = etag {
        response.headers_mut().insert(ETAG, etag);
    }
    Ok(response)
}

fn refusal(field: &str, message: String) -> Refusal {
    Refusal { errors: vec![FieldError { field: field.to_owned(), message }] }
}
