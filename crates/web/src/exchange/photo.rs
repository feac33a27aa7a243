//! Photos, in pieces: how far one has arrived, the rest of it, and a photo of the shop from a place on.

use super::parts::Part;
use super::take::check_token;
use super::wire::{Offset, Piece};
use crate::bench::Bench;
use crate::failure::Failure;
use crate::members::Member;
use crate::photo::render::{self, PhotoFault};
use crate::sent::FILE_MAX_BYTES;
use crate::trouble::{sentence, trouble};
use axum::body::Body;
use axum::extract::{Query, Request, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use futures_util::StreamExt;
use std::io;
use store::{Form, Store};

/// How far a photo has arrived.
pub(crate) async fn offset(
    State(bench): State<Bench>,
    Query(of): Query<Piece>,
) -> Result<Json<Offset>, Failure> {
    check(&of)?;
    let whole = is_whole(&bench.inner.store, &of.job, &of.photo).await.map_err(|error| trouble(&error))?;
    let at = if whole { 0 } else { Part::length_of(bench.inner.store.folder(), &of.photo) };
    Ok(Json(Offset { whole, at }))
}

/// Takes a piece. What arrives is kept even where the line breaks in the middle of it.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    Query(of): Query<Piece>,
    request: Request,
) -> Result<Json<Offset>, Failure> {
    check(&of)?;
    check_token(request.headers(), &member)?;
    if FILE_MAX_BYTES as u64 <= of.bytes {
        return Err(Failure::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            "Too large",
            "A photo has 25 MB at most.",
            "",
        ));
    }
    let store = &bench.inner.store;
    if store.revision(&of.job).await.map_err(|error| trouble(&error))?.is_none() {
        return Err(Failure::no_job(&of.job));
    }
    let mut part = Part::of(store.folder(), &of.photo).map_err(not_kept)?;
    let mut at = of.at;
    if part.length().map_err(not_kept)? < at {
        // A part that went meanwhile: whoever sends asks again.
        return Ok(Json(Offset { whole: false, at: part.length().map_err(not_kept)? }));
    }
    let mut body = request.into_body().into_data_stream();
    // A line that breaks ends the stream, or this whole answer: what was written stays.
    while let Some(Ok(bytes)) = body.next().await {
        if of.bytes < at + bytes.len() as u64 {
            let message = "The photo is longer than was said.";
            return Err(Failure::new(StatusCode::PAYLOAD_TOO_LARGE, "Too long", message, ""));
        }
        part.write(at, &bytes).map_err(not_kept)?;
        at += bytes.len() as u64;
        bench.inner.watch.photo_bytes(bytes.len());
    }
    if at < of.bytes {
        return Ok(Json(Offset { whole: false, at }));
    }
    // It lies in memory from here on.
    let _turn = bench.inner.uploads.acquire().await.map_err(|_| Failure::busy())?;
    let Some(bytes) = part.whole(&of.photo).map_err(not_kept)? else {
        return Ok(Json(Offset { whole: false, at: 0 }));
    };
    let kept = keep(store, &of.job, &of.photo, bytes).await.map_err(|error| trouble(&error))?;
    Part::done(store.folder(), &of.photo);
    match kept {
        Ok(()) => {
            bench.inner.exchanges.took_photo(&member);
            Ok(Json(Offset { whole: true, at: 0 }))
        }
        Err(fault) => {
            let message = sentence(&fault.to_string());
            Err(Failure::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "No photo", message, ""))
        }
    }
}

/// Gives a photo as it was taken, from a place on.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    Query(of): Query<Piece>,
) -> Result<Response, Failure> {
    check(&of)?;
    let photo = bench.inner.store.photo(&of.job, &of.photo, Form::Original).await;
    let mut bytes = photo.map_err(|error| trouble(&error))?.bytes;
    bench.inner.exchanges.gave_photo(&member, &of.photo);
    let from = usize::try_from(of.at).unwrap_or(usize::MAX).min(bytes.len());
    Ok(([(CONTENT_TYPE, "application/octet-stream")], Body::from(bytes.split_off(from))).into_response())
}

/// Has the job the original of this photo?
pub(super) async fn is_whole(store: &Store, job: &str, photo: &str) -> Result<bool, store::Error> {
    let lines = store.photos(job).await?;
    Ok(lines.iter().any(|line| line.sha256 == photo && line.forms.contains(&Form::Original)))
}

/// Makes the forms of a photo and stores all of it: bytes that are no photo are not.
///
/// # Errors
/// The store fails.
pub(super) async fn keep(
    store: &Store,
    job: &str,
    photo: &str,
    bytes: Vec<u8>,
) -> Result<Result<(), PhotoFault>, store::Error> {
    let develop = move || render::render(&bytes).map(|forms| (forms, bytes));
    let developed = tokio::task::spawn_blocking(develop).await.map_err(|_| store::Error::Closed)?;
    let (forms, bytes) = match developed {
        Ok(developed) => developed,
        Err(fault) => return Ok(Err(fault)),
    };
    let media_type = if bytes.starts_with(&[0xff, 0xd8]) { "image/jpeg" } else { "image/png" };
    store.put_form(photo, Form::Page, "image/jpeg", forms.page).await?;
    store.put_form(photo, Form::Thumb, "image/jpeg", forms.thumb).await?;
    // Last: whoever finds the original in the job finds its forms.
    store.put_photo(job, media_type, bytes).await?;
    Ok(Ok(()))
}

fn check(of: &Piece) -> Result<(), Failure> {
    if store::is_sha256(&of.photo) { Ok(()) } else { Err(Failure::not_found()) }
}

fn not_kept(error: io::Error) -> Failure {
    match error.kind() {
        io::ErrorKind::StorageFull => {
            let message = "No room is left on the disk of the shop.";
            Failure::new(
                StatusCode::INSUFFICIENT_STORAGE,
                "The disk is full",
                message,
                "Tell who looks after it.",
            )
        }
        _ => Failure::busy(),
    }
}
