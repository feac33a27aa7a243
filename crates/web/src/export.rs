//! A job as one file, streamed.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::members::Member;
use crate::sent::query;
use crate::trouble::trouble;
use axum::Extension;
use axum::body::{Body, Bytes};
use axum::extract::{Path, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_LENGTH, CONTENT_TYPE};
use axum::http::{HeaderValue, Uri};
use axum::response::{IntoResponse, Response};
use std::fs::File;
use std::io::{self, Read};
use store::Give;

/// Bytes that are read at once.
const CHUNK: usize = 64 * 1024;

/// Gives the file: with the photos as they are handed to others, or with the originals where they are asked for.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    Path(job): Path<String>,
    uri: Uri,
) -> Result<Response, Failure> {
    let give = if query(&uri).text("photos") == Some("originals") { Give::Originals } else { Give::Pages };
    let exported = bench.inner.store.export_job_to_send(&job, give).await;
    let (mut file, exported) = exported.map_err(|error| trouble(&error))?;
    bench.note(store::Act::Exported, member.actor(), &store::job_digest(&job)).await;
    let body = async_stream::stream! {
        loop {
            let read = tokio::task::spawn_blocking(move || chunk(file)).await;
            match read.map_err(io::Error::other).flatten() {
                Ok((bytes, _)) if bytes.is_empty() => return,
                Ok((bytes, rest)) => {
                    file = rest;
                    yield Ok(bytes);
                }
                Err(error) => {
                    yield Err(error);
                    return;
                }
            }
        }
    };
    let name: String =
        job.chars().map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' }).collect();
    let disposition = HeaderValue::from_str(&format!("attachment; filename=\"{name}.zip\""));
    let headers = [
        (CONTENT_TYPE, HeaderValue::from_static("application/zip")),
        (CONTENT_LENGTH, HeaderValue::from(exported.bytes)),
        (CACHE_CONTROL, HeaderValue::from_static("no-store")),
        (CONTENT_DISPOSITION, disposition.unwrap_or(HeaderValue::from_static("attachment"))),
    ];
    Ok((headers, Body::from_stream(body)).into_response())
}

fn chunk(mut file: File) -> io::Result<(Bytes, File)> {
    let mut bytes = Vec::with_capacity(CHUNK);
    (&mut file).take(CHUNK as u64).read_to_end(&mut bytes)?;
    Ok((bytes.into(), file))
}
