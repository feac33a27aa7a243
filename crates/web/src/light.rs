//! The light in which pages are read: a choice of the device, kept in its cookie.

use crate::failure::Failure;
use crate::sent::Sent;
use axum::extract::Request;
use axum::http::header::{HeaderValue, SET_COOKIE};
use axum::response::{IntoResponse, Redirect, Response};
use pages::{Light, Route};

/// Keeps the choice and goes back. It changes nothing on the bench, so it needs no token.
pub(crate) async fn choose(request: Request) -> Result<Response, Failure> {
    let sent = Sent::of(request).await?;
    let light = Light::of_word(sent.first("light").unwrap_or_default());
    let back = sent.first("back").and_then(Route::of_path).unwrap_or(Route::Jobs);
    // The script reads it too, for pages that were kept in another light.
    let cookie = format!("light={}; Path=/; Max-Age=31536000; SameSite=Lax", light.word());
    let mut response = Redirect::to(&back.to_string()).into_response();
    if let Ok(cookie) = HeaderValue::from_str(&cookie) {
        response.headers_mut().insert(SET_COOKIE, cookie);
    }
    Ok(response)
}
