//! Headers that every response carries.

use axum::extract::Request;
use axum::http::HeaderValue;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HeaderName, REFERRER_POLICY, STRICT_TRANSPORT_SECURITY,
    X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::middleware::Next;
use axum::response::Response;

/// What a page may load and do: only what comes from here, no inline script, no inline style, in no frame.
const PAGE_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; \
     connect-src 'self'; font-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; \
     base-uri 'none'; frame-ancestors 'none'";

/// Not `no-referrer`: with that a browser hides the origin of our own forms too, and they would be refused.
const REFERRER: &str = "same-origin";

/// The camera is opened by a file field, which needs no permission; nothing else of the phone is wanted.
const PERMISSIONS: &str =
    "camera=(), microphone=(), geolocation=(), payment=(), usb=(), bluetooth=(), serial=()";

/// Puts them on; what a handler has set stays.
pub(crate) async fn secure(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    let mut unless_set = |name: HeaderName, value: &'static str| {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    };
    unless_set(CONTENT_SECURITY_POLICY, PAGE_POLICY);
    unless_set(X_CONTENT_TYPE_OPTIONS, "nosniff");
    unless_set(X_FRAME_OPTIONS, "DENY");
    unless_set(REFERRER_POLICY, REFERRER);
    unless_set(HeaderName::from_static("permissions-policy"), PERMISSIONS);
    unless_set(HeaderName::from_static("cross-origin-opener-policy"), "same-origin");
    unless_set(HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
    unless_set(CACHE_CONTROL, "private, no-cache");
    // A machine without its certificate tomorrow must still be reachable: no promise of HTTPS is made.
    headers.remove(STRICT_TRANSPORT_SECURITY);
    response
}
