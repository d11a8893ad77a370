//! Headers that keep a browser strict.

use axum::http::{HeaderName, HeaderValue, header};
use axum::response::Response;

/// Nothing inline, nothing from elsewhere, in nobody's frame.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; \
                      connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Adds what is not set already.
pub(super) fn strict(mut response: Response) -> Response {
    let fixed: [(HeaderName, &'static str); 6] = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::REFERRER_POLICY, "same-origin"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::CACHE_CONTROL, "no-store"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    ];
    for (name, value) in fixed {
        response.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
    response
}
