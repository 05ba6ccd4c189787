//! Who may ask, and what bad requests get.

use axum::body::Body;
use axum::http::{Method, Request, StatusCode};
use proptest::prelude::*;

use super::{Bench, taken};
use crate::serve::guard::TOKEN;

fn asked(method: Method, path: &str, headers: &[(&str, &str)]) -> Request<Body> {
    let mut request = Request::builder().method(method).uri(path);
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    request.body(Body::from("{}")).unwrap()
}

#[tokio::test]
async fn only_our_own_page_on_this_machine_may_ask() {
    let bench = Bench::demo();
    let own = ("host", "127.0.0.1:8460");
    for (headers, expected) in [
        (vec![own], StatusCode::OK),
        (vec![own, ("origin", "http://127.0.0.1:8460")], StatusCode::OK),
        (vec![("host", "localhost:8460")], StatusCode::OK),
        (vec![("host", "example.com:8460")], StatusCode::FORBIDDEN),
        (vec![], StatusCode::FORBIDDEN),
        (vec![own, ("origin", "null")], StatusCode::FORBIDDEN),
        (vec![own, ("origin", "http://example.com")], StatusCode::FORBIDDEN),
        (vec![own, ("origin", "http://localhost:8460")], StatusCode::FORBIDDEN),
        (vec![own, ("origin", "https://127.0.0.1:8460")], StatusCode::FORBIDDEN),
    ] {
        let answer = bench.send(asked(Method::GET, "/api/site", &headers)).await;
        assert_eq!(answer.status(), expected, "{headers:?}");
        assert!(answer.headers()["content-security-policy"].to_str().unwrap().contains("default-src 'self'"));
    }
}

#[tokio::test]
async fn what_changes_something_needs_the_token_of_this_start() {
    let bench = Bench::demo();
    let own = ("host", "127.0.0.1:8460");
    for (path, method) in [
        ("/api/undo", Method::POST),
        ("/api/edit", Method::POST),
        ("/api/field-book", Method::POST),
        ("/api/photo?date=2026-11-25", Method::POST),
        ("/api/jobs/1", Method::DELETE),
    ] {
        for token in [None, Some(""), Some("0123")] {
            let headers: Vec<(&str, &str)> =
                [own].into_iter().chain(token.map(|token| (TOKEN, token))).collect();
            let answer = bench.send(asked(method.clone(), path, &headers)).await;
            assert_eq!(answer.status(), StatusCode::FORBIDDEN, "{path} {token:?}");
        }
        let answer = bench.send(asked(method, path, &[own, (TOKEN, &bench.app.token)])).await;
        assert_ne!(answer.status(), StatusCode::FORBIDDEN, "{path}");
    }
}

#[tokio::test]
async fn no_path_leads_out() {
    let bench = Bench::demo();
    for path in [
        "/../site.toml",
        "/..%2fsite.toml",
        "/site.toml",
        "/app.js/..",
        "//etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/api/../site.toml",
    ] {
        let (status, body) = bench.get(path).await;
        assert_eq!(status, StatusCode::NOT_FOUND, "{path}");
        assert!(!String::from_utf8_lossy(&body).contains("[[line]]"), "{path}");
    }
    let (status, page) = bench.get("/").await;
    assert_eq!(status, StatusCode::OK);
    assert!(String::from_utf8(page).unwrap().contains(&bench.app.token));
}

#[tokio::test]
async fn bodies_are_limited_and_bad_ones_are_told_in_words() {
    let bench = Bench::demo();
    let deep = format!("{}1{}", "[".repeat(100_000), "]".repeat(100_000));
    let huge = format!("{{\"base_revision\":1,\"edit\":\"{}\"}}", "x".repeat(400_000));
    for (body, expected) in [
        ("", StatusCode::BAD_REQUEST),
        ("{", StatusCode::BAD_REQUEST),
        ("[]", StatusCode::BAD_REQUEST),
        ("{\"base_revision\":-1,\"edit\":{}}", StatusCode::BAD_REQUEST),
        ("{\"base_revision\":1,\"edit\":{\"do\":\"fly\"}}", StatusCode::BAD_REQUEST),
        ("{\"base_revision\":1,\"edit\":{\"do\":\"move_peg\"}}", StatusCode::BAD_REQUEST),
        (deep.as_str(), StatusCode::BAD_REQUEST),
        (huge.as_str(), StatusCode::PAYLOAD_TOO_LARGE),
    ] {
        let (status, told) = bench.ask(Method::POST, "/api/edit", body).await;
        assert_eq!(status, expected, "{}", &body[..body.len().min(60)]);
        assert!(!told["says"].as_str().unwrap().is_empty());
    }
    let (_, told) =
        bench.ask(Method::POST, "/api/edit", "{\"base_revision\":1,\"edit\":{\"do\":\"fly\"}}").await;
    assert!(told["says"].as_str().unwrap().contains("unknown variant `fly`"), "{told}");
    assert_eq!(bench.ask(Method::PUT, "/api/edit", "{}").await.0, StatusCode::METHOD_NOT_ALLOWED);
}

/// A panic in a handler or behind it is words, and the next question is answered.
#[tokio::test]
async fn a_panic_becomes_words() {
    use axum::Router;
    use axum::middleware;
    use axum::routing::get;
    use tower::ServiceExt;

    let app = Router::new()
        .route(
            "/",
            get(|| async {
                if true {
                    panic!("a test of what a panic looks like")
                }
            }),
        )
        .layer(middleware::from_fn(crate::serve::guard::catch));
    let answer = app.oneshot(Request::get("/").body(Body::empty()).unwrap()).await.unwrap();
    let (status, body) = taken(answer).await;
    assert_eq!(status, StatusCode::INTERNAL_SERVER_ERROR);
    assert!(String::from_utf8(body).unwrap().contains("nothing was changed"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Anything at any address: an answer with a status, never our own fault, and the plan untouched.
    #[test]
    fn odd_requests_do_no_harm(
        path in "/api/(site|ground|contours|height|rain|rain/frames|edit|undo|field-book|photo|photo/[.a-z]{0,9}|jobs/[0-9x]{1,30}|live|[a-z]{0,6})(\\?[a-z_]{0,9}=[-0-9a-zé.%&=]{0,30})?",
        body in "(\\{\"base_revision\":[0-9]{1,25},\"edit\":\\{\"do\":\"[a-z_]{1,9}\",\"line\":\"[a-z]{0,5}\"\\}\\})|.{0,80}",
        post in any::<bool>(),
    ) {
        let Ok(uri) = path.parse::<axum::http::Uri>() else { return Ok(()) };
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            let bench = Bench::on(|dir| std::fs::write(dir.join("site.toml"), folder::starter("A")).unwrap());
            let before = bench.plan();
            let method = if post { Method::POST } else { Method::GET };
            let (status, _) = bench.ask(method, &uri.to_string(), &body).await;
            prop_assert!(!status.is_server_error(), "{} {} {}", status, uri, body);
            prop_assert_eq!(bench.plan(), before);
            Ok(())
        })?;
    }
}
