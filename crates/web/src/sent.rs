//! What a browser sent: fields and files of a form.

use crate::failure::Failure;
use crate::guard::same;
use axum::extract::multipart::MultipartError;
use axum::extract::{Form, FromRequest, Multipart, Query, Request};
use axum::http::header::CONTENT_TYPE;
use axum::http::{HeaderMap, StatusCode, Uri};
use pages::Fields;

/// Most bytes of a form without files.
pub(crate) const FORM_MAX_BYTES: usize = 64 * 1024;

/// Most bytes of one file.
pub(crate) const FILE_MAX_BYTES: usize = 25 * 1024 * 1024;

/// Most files of one form.
pub(crate) const FILES_MAX: usize = 6;

/// Most fields of one form; a panel of 84 spaces has fewer.
const FIELDS_MAX: usize = 2000;

/// A form that was sent.
#[derive(Debug, Default)]
pub(crate) struct Sent {
    /// Its fields, in their order.
    pub(crate) pairs: Vec<(String, String)>,
    /// Its files.
    pub(crate) files: Vec<Vec<u8>>,
    /// The token in the header, where a script sent it.
    token: Option<String>,
}

impl Sent {
    /// Reads a form of either encoding. Its size is limited by the route.
    ///
    /// # Errors
    /// It is no form, or too large.
    pub(crate) async fn of(request: Request) -> Result<Sent, Failure> {
        let token = request.headers().get("x-csrf").and_then(|token| token.to_str().ok()).map(str::to_owned);
        if is_multipart(request.headers()) {
            let mut sent = Sent { token, ..Sent::default() };
            sent.read_parts(request).await?;
            return Ok(sent);
        }
        let form = Form::<Vec<(String, String)>>::from_request(request, &()).await;
        let Form(pairs) = form.map_err(|refused| not_a_form(refused.status(), refused.body_text()))?;
        if FIELDS_MAX < pairs.len() {
            return Err(too_many());
        }
        Ok(Sent { pairs, token, ..Sent::default() })
    }

    async fn read_parts(&mut self, request: Request) -> Result<(), Failure> {
        let parts = Multipart::from_request(request, &()).await;
        let mut parts = parts.map_err(|refused| not_a_form(refused.status(), refused.body_text()))?;
        let mut text_bytes = 0;
        while let Some(mut part) = parts.next_field().await.map_err(torn)? {
            let name = part.name().unwrap_or_default().to_owned();
            let is_file = part.file_name().is_some();
            let most = if is_file { FILE_MAX_BYTES } else { FORM_MAX_BYTES };
            let mut bytes = Vec::new();
            while let Some(chunk) = part.chunk().await.map_err(torn)? {
                if most < bytes.len() + chunk.len() {
                    return Err(too_large(is_file));
                }
                bytes.extend_from_slice(&chunk);
            }
            if is_file {
                // A file field that nobody filled is sent as an empty file.
                if !bytes.is_empty() {
                    self.files.push(bytes);
                }
                if FILES_MAX < self.files.len() {
                    return Err(too_many());
                }
                continue;
            }
            text_bytes += bytes.len();
            let text = String::from_utf8(bytes)
                .map_err(|_| not_a_form(StatusCode::BAD_REQUEST, format!("the field `{name}` is no text")))?;
            self.pairs.push((name, text));
            if FIELDS_MAX < self.pairs.len() || FORM_MAX_BYTES < text_bytes {
                return Err(too_many());
            }
        }
        Ok(())
    }

    /// Does it carry the token of this browser?
    ///
    /// # Errors
    /// It does not.
    pub(crate) fn check_token(&self, csrf: &str) -> Result<(), Failure> {
        let token = self.token.as_deref().or_else(|| self.first("csrf"));
        if token.is_some_and(|token| same(token, csrf)) { Ok(()) } else { Err(Failure::stale_token()) }
    }

    /// First value of a field, as it was sent.
    pub(crate) fn first(&self, name: &str) -> Option<&str> {
        self.pairs.iter().find(|(field, _)| field == name).map(|(_, value)| value.as_str())
    }

    /// All fields, for the pages.
    pub(crate) fn fields(&self) -> Fields {
        Fields::from_pairs(self.pairs.iter().cloned())
    }
}

/// Fields of the query of an address.
pub(crate) fn query(uri: &Uri) -> Fields {
    let pairs = Query::<Vec<(String, String)>>::try_from_uri(uri).map(|Query(pairs)| pairs);
    Fields::from_pairs(pairs.unwrap_or_default())
}

fn is_multipart(headers: &HeaderMap) -> bool {
    let kind = headers.get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    kind.to_ascii_lowercase().starts_with("multipart/form-data")
}

fn torn(error: MultipartError) -> Failure {
    match error.status() {
        StatusCode::PAYLOAD_TOO_LARGE => too_large(true),
        status => not_a_form(status, error.body_text()),
    }
}

fn not_a_form(status: StatusCode, why: String) -> Failure {
    match status {
        StatusCode::PAYLOAD_TOO_LARGE => too_large(false),
        StatusCode::UNSUPPORTED_MEDIA_TYPE => Failure::new(
            status,
            "Not a form",
            "This was not sent as a form.",
            "Open the form again from the job.",
        ),
        // Whoever sends a form that cannot be read sends the same one again; it is no fault of the server.
        _ => {
            let message = format!("The form cannot be read: {why}.");
            Failure::new(StatusCode::BAD_REQUEST, "Not a form", message, "Open the form again from the job.")
        }
    }
}

fn too_large(is_file: bool) -> Failure {
    let message = if is_file {
        format!("A photo is larger than {} MB; nothing was stored.", FILE_MAX_BYTES / 1024 / 1024)
    } else {
        format!("The form is larger than {} kB; nothing was stored.", FORM_MAX_BYTES / 1024)
    };
    let field = if is_file { "photo" } else { "" };
    Failure::new(StatusCode::PAYLOAD_TOO_LARGE, "Too large", message, "Send it in smaller parts.").at(field)
}

fn too_many() -> Failure {
    let message = format!("The form has too many parts; at most {FILES_MAX} photos at once can be sent.");
    Failure::new(StatusCode::PAYLOAD_TOO_LARGE, "Too large", message, "Send it in smaller parts.")
}
