//! Photos: each goes once, from where it broke off.

use super::AtJob;
use super::line::{ExchangeError, Line, encoded};
use crate::exchange::parts::Part;
use crate::exchange::photo::keep;
use crate::exchange::wire::{Names, Offset};
use std::collections::BTreeSet;
use store::{Form, Store};

/// Tries of a photo whose bytes arrive otherwise than they were sent.
const WHOLE_AGAIN: usize = 2;

fn lacking<'a>(one: &'a Names, other: &Names) -> Vec<&'a (String, String, u64)> {
    let known: BTreeSet<&String> = other.photos.iter().map(|(photo, ..)| photo).collect();
    one.photos.iter().filter(|(photo, ..)| !known.contains(photo)).collect()
}

/// Sends what the shop lacks.
pub(super) async fn send(at: &mut AtJob<'_>, here: &Names, there: &Names) -> Result<(), ExchangeError> {
    let AtJob { store, line, job, report } = at;
    let all = store.photos(job).await?;
    report.n_photos_without_original += all.iter().filter(|one| !one.forms.contains(&Form::Original)).count();
    for (photo, ..) in lacking(here, there) {
        let bytes = match store.photo(job, photo, Form::Original).await {
            Ok(found) => found.bytes,
            Err(error) => {
                report.refuse(job, photo, error.to_string());
                continue;
            }
        };
        match one(line, job, photo, &bytes) {
            Ok(true) => report.n_photos_sent += 1,
            Ok(false) => report.refuse(job, photo, "it arrives otherwise than it was sent"),
            Err(ExchangeError::Refused { why, .. }) => report.refuse(job, photo, why),
            Err(error) => return Err(error),
        }
    }
    Ok(())
}

/// Sends a photo. Is it there now?
fn one(line: &mut Line, job: &str, photo: &str, bytes: &[u8]) -> Result<bool, ExchangeError> {
    let of = format!("job={}&photo={photo}", encoded(job));
    let ask = format!("/exchange/offset?{of}");
    let mut known: Offset = line.get_json(&ask)?;
    let mut n_from_start = 0;
    while !known.whole {
        let at = usize::try_from(known.at).unwrap_or(0).min(bytes.len());
        if at == 0 {
            n_from_start += 1;
            if WHOLE_AGAIN + 1 < n_from_start {
                return Ok(false);
            }
        }
        let to = format!("/exchange/photo?{of}&at={at}&bytes={}", bytes.len());
        known = match line.post_once::<Offset>(&to, &bytes[at..])? {
            Some(known) => known,
            // The line broke: what arrived is there.
            None => {
                let now: Offset = line.get_json(&ask)?;
                if at < usize::try_from(now.at).unwrap_or(0) {
                    n_from_start = 0;
                    line.goes_on();
                }
                now
            }
        };
    }
    Ok(true)
}

/// Takes what is lacking here.
pub(super) async fn fetch(at: &mut AtJob<'_>, here: &Names, there: &Names) -> Result<(), ExchangeError> {
    let AtJob { store, line, job, report } = at;
    for (photo, _, length) in lacking(there, here) {
        if !store::is_sha256(photo) {
            continue;
        }
        match fetched(store, line, job, photo, *length) {
            Ok(Some(bytes)) => {
                match keep(store, job, photo, bytes).await? {
                    Ok(()) => report.n_photos_fetched += 1,
                    Err(fault) => report.refuse(job, photo, fault.to_string()),
                }
                Part::done(store.folder(), photo);
            }
            Ok(None) => report.refuse(job, photo, "it arrives otherwise than the shop has it"),
            Err(ExchangeError::Refused { why, .. }) => report.refuse(job, photo, why),
            Err(error) => return Err(error),
        }
    }
    Ok(())
}

fn fetched(
    store: &Store,
    line: &mut Line,
    job: &str,
    photo: &str,
    length: u64,
) -> Result<Option<Vec<u8>>, ExchangeError> {
    let data = store.folder();
    let failed = |source| ExchangeError::File { path: data.to_owned(), source };
    for _ in 0..WHOLE_AGAIN {
        let mut part = Part::of(data, photo).map_err(failed)?;
        let mut at = part.length().map_err(failed)?;
        while at < length {
            let address = format!("/exchange/photo?job={}&photo={photo}&at={at}", encoded(job));
            let before = at;
            let ended = line.get_once(&address, |bytes| {
                part.write(at, bytes)?;
                at += bytes.len() as u64;
                Ok(())
            })?;
            if before < at {
                line.goes_on();
            } else if ended {
                // The shop has less than it said.
                break;
            }
        }
        if let Some(bytes) = part.whole(photo).map_err(failed)? {
            return Ok(Some(bytes));
        }
    }
    Ok(None)
}
