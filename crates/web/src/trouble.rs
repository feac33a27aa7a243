//! What the store refuses or fails at, as an answer.

use crate::failure::Failure;
use axum::http::StatusCode;
use store::{Error, Kind};
pub(crate) use study::words::sentence;

/// The answer. What is the machine's trouble is told on the terminal too: whoever can mend it sits there.
pub(crate) fn trouble(error: &Error) -> Failure {
    let (status, title) = match error {
        Error::DiskFull { .. } => (StatusCode::INSUFFICIENT_STORAGE, "The disk is full"),
        Error::ReadOnly { .. } | Error::ReadingOnly => {
            (StatusCode::SERVICE_UNAVAILABLE, "The data folder is read-only")
        }
        Error::EntryDiffers { .. } | Error::FactDiffers { .. } => (StatusCode::CONFLICT, "Entered before"),
        Error::NoJob { .. } | Error::NoPhoto { .. } | Error::NoForm { .. } => {
            (StatusCode::NOT_FOUND, "Not found")
        }
        Error::PhotoTooLarge { .. } => (StatusCode::PAYLOAD_TOO_LARGE, "Too large"),
        Error::Closed => (StatusCode::SERVICE_UNAVAILABLE, "The bench is closing"),
        _ => match error.kind() {
            Kind::Asked => (StatusCode::UNPROCESSABLE_ENTITY, "Not possible"),
            Kind::Data => (StatusCode::INTERNAL_SERVER_ERROR, "Damaged data"),
            Kind::Machine => (StatusCode::SERVICE_UNAVAILABLE, "The bench cannot store or read"),
        },
    };
    if error.kind() != Kind::Asked {
        // Without the name of a job, fact or photo: others read the log.
        let what = match error {
            Error::FactNotRead { .. } => "a fact cannot be read by this program".to_owned(),
            Error::PhotoGone { .. } => "the bytes of a photo are gone".to_owned(),
            Error::PhotoDamaged { .. } => "the bytes of a photo are damaged".to_owned(),
            error => error.to_string(),
        };
        eprintln!("panelwright: {what}; {}", error.hint());
    }
    Failure::new(status, title, sentence(&error.to_string()), sentence(error.hint()))
}
