//! The front end, embedded: a fixed list of files by their exact names, so that no path leads anywhere else.

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};

use quantity::fingerprint;

use super::app::Shared;
use super::trouble::Trouble;

macro_rules! web {
    ($($name:literal $kind:literal),* $(,)?) => {
        const WEB: &[(&str, &str, &[u8])] =
            &[$(($name, $kind, include_bytes!(concat!("../../../../web/dist/", $name)))),*];
    };
}

web! {
    "index.html" "text/html; charset=utf-8",
    "app.js" "text/javascript; charset=utf-8",
    "app.css" "text/css; charset=utf-8",
    "body.woff2" "font/woff2",
    "head.woff2" "font/woff2",
    "OFL.txt" "text/plain; charset=utf-8",
}

/// Where the page expects the token.
const TOKEN_PLACE: &str = "name=\"hillsip-token\" content=\"";

/// A file of the front end; the first page also under `/`.
pub async fn file(State(app): State<Shared>, uri: Uri, headers: HeaderMap) -> Response {
    let name = match uri.path() {
        "/" => "index.html",
        path => path.strip_prefix('/').unwrap_or(path),
    };
    let Some((_, kind, bytes)) = WEB.iter().find(|(known, _, _)| *known == name) else {
        return Trouble::NotFound(format!("there is nothing at {}", uri.path())).into_response();
    };
    if name == "index.html" {
        let page = String::from_utf8_lossy(bytes);
        let page = page.replacen(TOKEN_PLACE, &format!("{TOKEN_PLACE}{}", app.token), 1);
        // The token is this start's: the page is never kept.
        return ([(header::CONTENT_TYPE, *kind), (header::CACHE_CONTROL, "no-store")], page).into_response();
    }
    with_tag(&headers, kind, bytes)
}

/// Bytes with a tag of what they hold, or only that they are still the same.
pub fn with_tag(asked: &HeaderMap, kind: &'static str, bytes: &[u8]) -> Response {
    let tag = format!("\"{}\"", fingerprint(bytes));
    let known = asked.get(header::IF_NONE_MATCH).is_some_and(|known| known.as_bytes() == tag.as_bytes());
    if known {
        return (StatusCode::NOT_MODIFIED, [(header::ETAG, tag)]).into_response();
    }
    ([(header::CONTENT_TYPE, kind.to_owned()), (header::ETAG, tag)], bytes.to_vec()).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_has_a_place_for_the_token() {
        let page = std::str::from_utf8(WEB[0].2).unwrap();
        assert_eq!(page.matches(TOKEN_PLACE).count(), 1);
    }
}
