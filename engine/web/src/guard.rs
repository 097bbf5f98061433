//! What holds for every request, whatever it asks for.

use crate::fault::{Detail, Fault};
use crate::handle::Handle;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::net::IpAddr;
use std::time::Duration;

/// From the first byte of a request to the last of its answer. A device that sends more slowly is gone.
pub(crate) const REQUEST_TIME: Duration = Duration::from_secs(30);

/// Bytes of a request's body at most; photos have a limit of their own.
pub(crate) const BODY_BYTES_MAX: usize = 256 << 10;

/// Bytes of a photo at most, as it is sent, with the form around it: 12 MiB and 64 KiB.
pub(crate) const PHOTO_BODY_BYTES_MAX: usize = (12 << 20) + (64 << 10);

/// Nothing runs or is shown but what this program serves; nobody frames it; no form goes elsewhere.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; \
     form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const HEADERS: [(&str, &str); 7] = [
    ("content-security-policy", POLICY),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(self), microphone=(), geolocation=()"),
    ("x-frame-options", "DENY"),
];

pub(crate) async fn guard(State(handle): State<Handle>, request: Request, next: Next) -> Response {
    let what = format!("{} {}", request.method(), request.uri().path());
    let mut response = match refused(&handle, &request) {
        Some(fault) => fault.into_response(),
        None => match tokio::time::timeout(REQUEST_TIME, next.run(request)).await {
            Ok(response) => response,
            Err(_) => StatusCode::REQUEST_TIMEOUT.into_response(),
        },
    };
    if let Some(Detail(detail)) = response.extensions().get() {
        handle.log(&format!("{what}: {detail}"));
    }
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        // A card brings its own policy.
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

/// A request that came by a name that is not ours (a page elsewhere whose name was pointed at this machine), or a form
/// that another site's page sent.
fn refused(handle: &Handle, request: &Request) -> Option<Fault> {
    let host = request.headers().get(header::HOST).and_then(|host| host.to_str().ok()).unwrap_or_default();
    if !is_ours(host, handle.hosts()) {
        return Some(Fault::Forbidden(
            "This program is not reached by that name. Whoever runs it can allow the name with `--host`."
                .to_owned(),
        ));
    }
    let length = request.headers().get(header::CONTENT_LENGTH).and_then(|length| length.to_str().ok());
    let length: Option<u64> = length.and_then(|length| length.parse().ok());
    if length.is_some_and(|length| length > PHOTO_BODY_BYTES_MAX as u64) {
        return Some(Fault::TooLarge);
    }
    let changes = !matches!(*request.method(), Method::GET | Method::HEAD);
    if changes && is_from_elsewhere(request.headers(), host) {
        return Some(Fault::Forbidden("This form was sent by a page of another site.".to_owned()));
    }
    None
}

/// An address cannot be pointed elsewhere; a name can, so names are ours only if whoever runs the program says so.
fn is_ours(host: &str, names: &[String]) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if !port.is_empty() && port.bytes().all(|digit| digit.is_ascii_digit()) => name,
        _ => host,
    };
    let bare = name.strip_prefix('[').and_then(|name| name.strip_suffix(']')).unwrap_or(name);
    bare.parse::<IpAddr>().is_ok()
        || name.eq_ignore_ascii_case("localhost")
        || names.iter().any(|ours| name.eq_ignore_ascii_case(ours))
}

fn is_from_elsewhere(headers: &HeaderMap, host: &str) -> bool {
    let text = |name: header::HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    let origin = text(header::ORIGIN).is_some_and(|origin| {
        origin.split_once("://").is_none_or(|(_, from)| !from.eq_ignore_ascii_case(host))
    });
    let site = text(header::HeaderName::from_static("sec-fetch-site"));
    origin || site.is_some_and(|site| !matches!(site, "same-origin" | "none"))
}

#[cfg(test)]
mod tests {
    use super::is_ours;

    #[test]
    fn names_are_ours_only_if_told_so() {
        let names = ["tablet.depot.example".to_owned()];
        for host in [
            "127.0.0.1:8080",
            "localhost",
            "LOCALHOST:1",
            "[::1]:80",
            "192.0.2.7",
            "Tablet.depot.example:8080",
        ] {
            assert!(is_ours(host, &names), "{host}");
        }
        for host in [
            "",
            "example.invalid",
            "example.invalid:8080",
            "127.0.0.1.example.invalid",
            "localhost.example.invalid",
        ] {
            assert!(!is_ours(host, &names), "{host}");
        }
    }
}
