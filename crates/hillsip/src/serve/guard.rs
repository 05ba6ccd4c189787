//! Who may ask: only a page that we served, on this machine.
//!
//! Any page in the browser can send requests to loopback. So a request must name a loopback host (a foreign name that
//! was made to point here is refused), come from our own origin where the browser tells one (pages of others, and files
//! opened from disk, whose origin is `null`, are refused), and carry the token of this start where it changes something.
//! No GET changes anything. Every answer forbids the page to load or run what is not ours.

use axum::extract::{Request, State};
use axum::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use axum::http::{Method, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::app::Shared;
use super::trouble::Trouble;

/// Header that carries the token.
pub const TOKEN: &str = "x-hillsip-token";

/// What is said when the program failed.
pub const OUR_FAULT: Trouble = Trouble::Broken(
    "the program failed at this question; nothing was changed. Please report what you asked, and go on",
);

const POLICY: &str = "default-src 'self'; img-src 'self' data: blob:; frame-ancestors 'none'; base-uri 'none'; \
                      form-action 'none'";

/// Headers of every answer.
const HEADERS: [(HeaderName, HeaderValue); 4] = [
    (header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY)),
    (header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff")),
    (header::REFERRER_POLICY, HeaderValue::from_static("no-referrer")),
    (HeaderName::from_static("cross-origin-resource-policy"), HeaderValue::from_static("same-origin")),
];

/// Lets a request through, or says why not.
pub async fn check(State(app): State<Shared>, request: Request, next: Next) -> Response {
    let refused = refused(request.method(), request.uri(), request.headers(), &app.token);
    let mut answer = match refused {
        Some(why) => Trouble::Forbidden(why).into_response(),
        None => next.run(request).await,
    };
    for (name, value) in HEADERS {
        answer.headers_mut().insert(name, value);
    }
    answer.headers_mut().entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-cache"));
    answer
}

/// Turns a panic into words.
pub async fn catch(request: Request, next: Next) -> Response {
    let answered = tokio::spawn(next.run(request)).await;
    answered.unwrap_or_else(|_| OUR_FAULT.into_response())
}

/// Why a request is refused; none where it is not.
fn refused(method: &Method, uri: &Uri, headers: &HeaderMap, token: &str) -> Option<&'static str> {
    let text = |name: HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or(""));
    let host =
        text(header::HOST).or_else(|| uri.authority().map(|authority| authority.as_str())).unwrap_or("");
    if !is_loopback(host) {
        return Some("only this machine may ask: open the address that the program printed");
    }
    if let Some(origin) = text(header::ORIGIN)
        && origin != format!("http://{host}")
    {
        return Some("this request comes from another page than the app's own");
    }
    let changes = !matches!(*method, Method::GET | Method::HEAD);
    let given = headers.get(TOKEN).map_or(&b""[..], HeaderValue::as_bytes);
    if changes && !is_same(given, token.as_bytes()) {
        return Some("the page is from another start of the program: load it again");
    }
    None
}

/// Whether a host is a name of this machine itself, with or without a port.
fn is_loopback(host: &str) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.bytes().all(|digit| digit.is_ascii_digit()) && !port.is_empty() => name,
        _ => host,
    };
    matches!(name, "127.0.0.1" | "localhost" | "[::1]")
}

/// Compares every byte whatever differs, so that time tells nothing.
pub fn is_same(given: &[u8], token: &[u8]) -> bool {
    given.len() == token.len() && given.iter().zip(token).fold(0, |differ, (a, b)| differ | (a ^ b)) == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_machine_are_loopback() {
        for own in ["127.0.0.1:8460", "localhost", "localhost:1", "[::1]:8460", "[::1]"] {
            assert!(is_loopback(own), "{own}");
        }
        for foreign in [
            "",
            "example.com",
            "127.0.0.1.example.com",
            "localhost.example.com:8460",
            "127.0.0.2",
            "localhost:x",
        ] {
            assert!(!is_loopback(foreign), "{foreign}");
        }
    }
}
